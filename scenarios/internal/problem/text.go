package problem

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"sumpward/scenarios/units"
)

// Quoted quotes text from a file for a message, shortened; see units.Shorten.
func Quoted(text string) string { return fmt.Sprintf("%q", units.Shorten(text)) }

// mostNamed is how many names a message lists.
const mostNamed = 12

// QuotedList quotes names from a file for a message, at most twelve.
func QuotedList(names []string) string {
	var list []string
	for i, name := range names {
		if i == mostNamed {
			list = append(list, "…")
			break
		}
		list = append(list, Quoted(name))
	}
	return strings.Join(list, ", ")
}

// NotUTF8 gives the place of the first byte of text that is no UTF-8; -1 where all
// is.
func NotUTF8(text string) int {
	for i := 0; i < len(text); {
		r, n := utf8.DecodeRuneInString(text[i:])
		if r == utf8.RuneError && n == 1 {
			return i
		}
		i += n
	}
	return -1
}
