package words

import (
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
)

func TestPlainLeavesNothingThatSteersATerminal(t *testing.T) {
	assert.Equal(t, `red \x1b[31mtext`, Plain("red \x1b[31mtext"))
	assert.Equal(t, `bell\x07 del\x7f csi\x9b cr\x0d`, Plain("bell\a del\x7f csi\u009b cr\r"))
	assert.Equal(t, `turned \u202egnp.exe, joined\u200d`, Plain("turned \u202egnp.exe, joined\u200d"))
	assert.Equal(t, "two\nlines é 漢", Plain("two\nlines é 漢"))
	for r := rune(0); r < 0x300; r++ {
		for _, out := range Plain(string(r)) {
			assert.True(t, out == '\n' || !unicode.IsControl(out), "%U", r)
		}
	}
	assert.Equal(t, `one \x1b line`, OneLine("one\n  \x1b line "))
}

func TestMarkdownOfTheUserStaysText(t *testing.T) {
	assert.Equal(t, `a\|b \*c\* \[d\](e) &lt;f&gt; g\_h \\ i &amp;`, EscapeMarkdown(`a|b *c* [d](e) <f> g_h \ i &`))
}
