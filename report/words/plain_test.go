package words

import (
	"encoding/json"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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

func TestPlainJSONIsTheSameJSON(t *testing.T) {
	text := "red \x1b[31m \u009b \x7f \u202e \u200b \U000e0041 \u2028 é 漢 \U0001f6e2 \"\\"
	written, err := json.Marshal(text)
	require.NoError(t, err)
	plain := PlainJSON("{\n  \"a\": " + string(written) + "\n}")
	assert.Equal(t, plain, PlainJSON(plain))
	for _, r := range plain {
		assert.True(t, r == '\n' || !unicode.IsControl(r) && !unicode.Is(unicode.Cf, r), "%U", r)
	}
	var back map[string]string
	require.NoError(t, json.Unmarshal([]byte(plain), &back))
	assert.Equal(t, text, back["a"])
}
