package report

import (
	"strings"

	"github.com/mattn/go-runewidth"

	"sumpward/scenarios/units"
)

// Width is the widest line of a text report, columns of a terminal.
const Width = 80

// columns is how many columns of a terminal a text takes.
func columns(text string) int { return runewidth.StringWidth(text) }

// wrap breaks a text into lines of at most width columns: at spaces, and
// within a word that is wider after one of its joints, or anywhere.
func wrap(text string, width int) []string {
	width = max(width, 2)
	var lines []string
	for line := range strings.SplitSeq(text, "\n") {
		lines = append(lines, wrapLine(line, width)...)
	}
	return lines
}

func wrapLine(text string, width int) []string {
	var lines []string
	line := ""
	for _, word := range unbroken(text) {
		switch {
		case line == "":
			line = word
		case columns(line)+1+columns(word) <= width:
			line += " " + word
		default:
			lines = append(lines, line)
			line = word
		}
		for columns(line) > width {
			head := breakWord(line, width)
			lines = append(lines, strings.TrimRight(head, " "))
			line = strings.TrimLeft(line[len(head):], " ")
		}
	}
	return append(lines, line)
}

// unbroken returns what stays on one line: a number with its unit, a range.
func unbroken(text string) []string {
	var list []string
	for _, word := range strings.Fields(text) {
		if last := len(list) - 1; last >= 0 && together(list[last], word) {
			list[last] += " " + word
			continue
		}
		list = append(list, word)
	}
	return list
}

func together(before, word string) bool {
	const joins = " .. +- ± x/ < > "
	last := before[strings.LastIndexByte(before, ' ')+1:]
	digit := last[len(last)-1] >= '0' && last[len(last)-1] <= '9'
	if strings.Contains(joins, " "+last+" ") {
		return true
	}
	if strings.Contains(joins, " "+word+" ") {
		return digit || last == "%"
	}
	_, unit := units.Known(strings.Trim(word, ",;:.()"))
	return unit && digit
}

// breakWord returns the part of a word that goes on one line.
func breakWord(word string, width int) string {
	used, end, space, joint := 0, 0, 0, 0
	for i, r := range word {
		if used += runewidth.RuneWidth(r); used > width {
			break
		}
		end = i + len(string(r))
		switch {
		case r == ' ':
			space = end
		case strings.ContainsRune("._/,-:", r):
			joint = end
		}
	}
	switch {
	case space > 0:
		return word[:space]
	case joint > 0:
		return word[:joint]
	}
	return word[:max(end, 1)]
}
