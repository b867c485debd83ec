package problem

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestQuoted(t *testing.T) {
	assert.Equal(t, `"1\"2?"`, Quoted("1\"2\a"))
	assert.Equal(t, `"`+strings.Repeat("ä", 48)+`…"`, Quoted(strings.Repeat("ä", 100)))
}

func TestQuotedList(t *testing.T) {
	assert.Empty(t, QuotedList(nil))
	assert.Equal(t, `"a", ""`, QuotedList([]string{"a", ""}))
	twelve := strings.Split("abcdefghijkl", "")
	assert.True(t, strings.HasSuffix(QuotedList(twelve), `, "l"`))
	assert.True(t, strings.HasSuffix(QuotedList(append(twelve, "m")), `, "l", …`))
}

func TestNotUTF8(t *testing.T) {
	for text, want := range map[string]int{"": -1, "a°\uFFFD": -1, "\xff": 0, "a°\uFFFD\xe4b": 6, "ab\xc2": 2} {
		assert.Equal(t, want, NotUTF8(text), "%q", text)
	}
}
