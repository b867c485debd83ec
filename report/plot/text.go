package plot

import (
	"strings"

	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"

	"sumpward/report/words"
)

// clean makes a text of unknown origin one plain line that any XML reader takes.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		if r == 0xFFFE || r == 0xFFFF { // no characters of XML
			return '\uFFFD'
		}
		return r
	}, words.OneLine(s))
}

// wrap breaks a text into lines no wider than a length, so many at most; what
// doesn't fit is left out and marked by an ellipsis.
func wrap(s string, style text.Style, widest vg.Length, most int) []string {
	var lines []string
	rest := strings.Fields(s)
	for len(rest) > 0 && len(lines) < most {
		n := 1
		for n < len(rest) && style.Width(strings.Join(rest[:n+1], " ")) <= widest {
			n++
		}
		line := strings.Join(rest[:n], " ")
		rest = rest[n:]
		if len(lines) == most-1 && len(rest) > 0 {
			line += " …"
		}
		lines = append(lines, shortened(line, style, widest))
	}
	return lines
}

// shortened cuts a text that is wider than a length.
func shortened(s string, style text.Style, widest vg.Length) string {
	if style.Width(s) <= widest {
		return s
	}
	r := []rune(s)
	low, high := 0, len(r) // so many runes fit, so many don't
	for high-low > 1 {
		mid := (low + high) / 2
		if style.Width(string(r[:mid])+"…") <= widest {
			low = mid
		} else {
			high = mid
		}
	}
	return strings.TrimSpace(string(r[:low])) + "…"
}
