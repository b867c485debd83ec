package units

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Error says what is wrong with a quantity. Error() leaves the hint out, so
// that a reader can print it on a line of its own.
type Error struct {
	What   string // what is wrong, "unit is missing"
	Got    string // what was written, shortened if it is long
	Wanted string // what would be right, "a length in mm, cm, m, …"; may be empty
	Hint   string // how to mend it, "write 120 mm"; may be empty
}

// Error returns what is wrong, what was written and what is wanted.
func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.What)
	fmt.Fprintf(&b, " (got %q", Shorten(e.Got))
	if e.Wanted != "" {
		b.WriteString(", wanted " + e.Wanted)
	}
	b.WriteString(")")
	return b.String()
}

// What stands in Error.What where a reader may want to give a better hint.
const (
	MissingUnit  = "unit is missing"
	BareFraction = "a bare fraction is at most 1"
)

// longest is how much of what was written an error shows, in characters.
const longest = 48

// Shorten cuts text for a message to 48 characters, and replaces what can't
// be printed by "?".
func Shorten(text string) string {
	if len(text) > 4*longest {
		text = text[:4*longest]
		for !utf8.ValidString(text) && len(text) > 4*longest-utf8.UTFMax {
			text = text[:len(text)-1]
		}
	}
	var b strings.Builder
	n := 0
	for _, r := range text {
		if n == longest {
			b.WriteRune('…')
			break
		}
		if r == utf8.RuneError || !unicode.IsPrint(r) {
			r = '?'
		}
		b.WriteRune(r)
		n++
	}
	return b.String()
}

// allowed says which units d takes: "a length in mm, cm, m, in or ft".
func allowed(d Dimension) string {
	switch d {
	case Number:
		return "a bare number"
	case Fraction:
		return "a bare number up to 1, or %"
	}
	list := d.Units()
	if d == Length {
		list = append(list, "dash size")
	}
	if len(list) == 1 {
		return d.article() + " in " + list[0]
	}
	last := len(list) - 1
	return d.article() + " in " + strings.Join(list[:last], ", ") + " or " + list[last]
}

// unitError says why spelling is no unit of d.
func unitError(spelling string, d Dimension) *Error {
	e := &Error{Got: spelling, Wanted: allowed(d)}
	if spelling == "" {
		e.What = MissingUnit
		e.Hint = "write " + table[d][0].symbol + " behind the number"
		return e
	}
	measured, known := Known(spelling)
	pair, twofold := ambiguous[spelling]
	switch {
	case known && measured != d && !(twofold && d == Volume):
		e.What = fmt.Sprintf("%s is %s, %s is wanted", spelling, measured.article(), d.article())
	case twofold:
		e.What = fmt.Sprintf("%s can be %s or %s", spelling, pair[0], pair[1])
		e.Hint = fmt.Sprintf("write %s or %s", pair[0], pair[1])
		return e
	default:
		e.What = fmt.Sprintf("unknown unit %s", Shorten(spelling))
	}
	switch near := otherCase(spelling, d); {
	case near != "":
		e.What += ", capitals count"
		e.Hint = "write " + near
	case d == Number:
		e.Hint = "write the number without a unit"
	default:
		e.Hint = "write " + table[d][0].symbol
	}
	return e
}

// otherCase returns the unit of d that differs from spelling in capitals
// alone, or "". It never turns milli into mega: "mPa" is not offered "MPa".
func otherCase(spelling string, d Dimension) string {
	if strings.HasPrefix(spelling, "m") {
		return ""
	}
	for _, symbol := range d.Units() {
		if strings.EqualFold(symbol, spelling) {
			return symbol
		}
	}
	return ""
}
