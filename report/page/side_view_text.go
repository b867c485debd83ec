package page

import (
	"cmp"
	"regexp"
	"slices"
	"strings"
	"unicode"
)

// box is a rectangle on the drawing, in its own units; y counts downwards.
type box struct{ x, y, w, h float64 }

func (b box) overlaps(o box) bool {
	return b.x < o.x+o.w && o.x < b.x+b.w && b.y < o.y+o.h && o.y < b.y+b.h
}

func (b box) within(o box) bool {
	return b.x >= o.x && b.y >= o.y && b.x+b.w <= o.x+o.w && b.y+b.h <= o.y+o.h
}

// Sizes of text, in the drawing's units: a drawing is 340 wide.
const (
	textSize   = 12.0
	noteSize   = 11.0
	lineHeight = 1.25 // of the size
)

// textWidth is how wide a line is at most in a common sans-serif face: widths of
// letters are rounded up from those of a wide one.
func textWidth(text string, size float64) float64 {
	w := 0.0
	for _, r := range text {
		switch {
		case r == ' ' || r == '\u00a0' || strings.ContainsRune("iljI|.,:;'!()ft", r):
			w += 0.38
		case strings.ContainsRune("mwMW%", r):
			w += 0.98
		case unicode.IsUpper(r):
			w += 0.76
		case r > 0x2fff:
			w += 1.1
		default:
			w += 0.62
		}
	}
	return w * size
}

// unitBreak finds where a number would be parted from its unit.
var unitBreak = regexp.MustCompile(`(\d|\d\x{a0}US) ([%A-Za-z°])`)

// rangeBreak finds where a range would be parted.
var rangeBreak = regexp.MustCompile(`(\d) to (\d)`)

// joinUnits keeps numbers and their units, and ranges, on one line.
func joinUnits(text string) string {
	const joined = "$1\u00a0$2"
	text = rangeBreak.ReplaceAllString(text, "$1\u00a0to\u00a0$2")
	return unitBreak.ReplaceAllString(unitBreak.ReplaceAllString(text, joined), joined) // twice: "US qt"
}

// wrapText breaks a text into lines no wider than that, none between a number
// and its unit. A word that is wider is broken itself.
func wrapText(text string, size, width float64) []string {
	var lines []string
	line := ""
	for _, word := range strings.Split(joinUnits(text), " ") {
		for textWidth(word, size) > width {
			head := fitting(word, size, width)
			if line != "" {
				lines, line = append(lines, line), ""
			}
			lines, word = append(lines, head), strings.TrimPrefix(word, head)
		}
		switch {
		case line == "":
			line = word
		case textWidth(line+" "+word, size) <= width:
			line += " " + word
		default:
			lines, line = append(lines, line), word
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// fitting is as much of the start of a word as fits, one letter at least.
func fitting(word string, size, width float64) string {
	letters := []rune(word)
	n := 1
	for n < len(letters) && textWidth(string(letters[:n+1]), size) <= width {
		n++
	}
	return string(letters[:n])
}

// label is a text with the place that it speaks of.
type label struct {
	x, y  float64 // of what it speaks of
	text  string
	bold  bool
	aside float64  // where a number for it goes first, rad, clockwise from above
	lines []string // where it is broken: given, or found by stack
	box   box
}

// boldness is how much wider bold letters are.
const boldness = 1.1

// size is the size to reckon widths with.
func (l *label) size() float64 {
	if l.bold {
		return textSize * boldness
	}
	return textSize
}

// stack puts labels of one column below each other, each as near the height of
// its place as it can, with a gap between them, from top on. It returns where
// the column ends.
func stack(labels []*label, x, width, top, bottom, gap float64) float64 {
	slices.SortStableFunc(labels, func(a, b *label) int { return cmp.Compare(a.y, b.y) })
	all := -gap
	for _, l := range labels {
		if l.lines == nil {
			l.lines = wrapText(l.text, l.size(), width)
		}
		l.box = box{x, 0, width, float64(len(l.lines)) * textSize * lineHeight}
		all += l.box.h + gap
	}
	bottom = max(bottom, top+all)
	at := top
	for _, l := range labels {
		l.box.y = max(at, l.y-l.box.h/2)
		at = l.box.y + l.box.h + gap
	}
	for i, below := len(labels)-1, bottom; i >= 0; i-- {
		l := labels[i]
		l.box.y = min(l.box.y, below-l.box.h)
		below = l.box.y - gap
	}
	return bottom
}
