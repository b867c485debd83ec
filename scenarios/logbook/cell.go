package logbook

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode"

	"sumpward/scenarios/internal/problem"
	"sumpward/scenarios/units"
)

// tidied is a text without what steers a terminal, and without blanks around it.
// Line ends stay.
func tidied(text string) string {
	text = strings.ReplaceAll(text, "\r\n", "\n")
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		if r != '\n' && unicode.IsControl(r) || r == '\ufeff' {
			return ' '
		}
		return r
	}, text))
}

// formula begins what a spreadsheet would take for a formula, and the mark that
// keeps it from that.
const formula = "=+-@'"

// guarded keeps a spreadsheet from taking a text for a formula.
func guarded(text string) string {
	if text != "" && strings.ContainsRune(formula, rune(text[0])) {
		return "'" + text
	}
	return text
}

// unguarded undoes guarded. A mark before anything else is part of the text.
func unguarded(text string) string {
	if len(text) > 1 && text[0] == '\'' && strings.ContainsRune(formula, rune(text[1])) {
		return text[1:]
	}
	return text
}

// dates are the ways in which a day may be written. A day and a month with a
// stroke between them can be read two ways and is none of them.
var dates = []string{time.DateOnly, "2006/1/2", "2006-1-2", "2.1.2006", "2006-01-02 15:04", "2006-01-02T15:04"}

// parseDate reads a day.
func parseDate(text string) (time.Time, error) {
	for _, form := range dates {
		if t, err := time.Parse(form, text); err == nil && t.Year() >= 1900 {
			return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC), nil
		}
	}
	return time.Time{}, &Problem{What: "not a date (got " + problem.Quoted(text) + ")", Hint: "write year-month-day: 2026-05-09"}
}

// ParseDate reads a day: 2026-05-09, 2026/5/9 or 9.5.2026.
func ParseDate(text string) (time.Time, error) { return parseDate(strings.TrimSpace(text)) }

// parseMark reads a yes or a no of a column.
func (c *column) parseMark(text string) (Mark, error) {
	switch word := strings.ToLower(text); word {
	case "":
		return NotSeen, nil
	case c.yes, "yes", "y", "x", "true", "1":
		return Yes, nil
	case c.no, "no", "n", "false", "0":
		return No, nil
	}
	return NotSeen, &Problem{What: fmt.Sprintf("not understood (got %s)", problem.Quoted(text)), Hint: fmt.Sprintf("write %s, %s, or nothing", c.yes, c.no)}
}

// number is how a file writes numbers: the unit of a column, and the decimal
// sign, 0 until a number shows it.
type number struct {
	decimal byte
	comma   bool // a decimal comma may be meant: commas don't part the fields
	alone   bool // of no file: no header says what its unit is
}

// parse reads a number in a unit, or one that brings its own.
func (n *number) parse(text string, c *column, unit *units.Unit) (float64, error) {
	plain, err := n.plain(strings.Replace(text, "−", "-", 1))
	if err != nil {
		return 0, err
	}
	v, err := strconv.ParseFloat(plain, 64)
	got := text
	switch {
	case err == nil && unit == nil:
		return 0, n.unitMissing(text, c)
	case err == nil:
		v, got = unit.ToSI(v), unit.Attach(text)
	default:
		if v, err = units.Parse(plain, c.dimension); err != nil {
			return 0, asProblem(err)
		}
	}
	if what := c.within(v, problem.Quoted(got)); what != "" {
		return 0, &Problem{What: what}
	}
	return v, nil
}

// unitMissing says where the unit of a number belongs.
func (n *number) unitMissing(text string, c *column) error {
	hint := "name it in the header: " + c.header(c.unit)
	if n.alone {
		hint = "write it with its unit: " + text + " " + c.unit
	}
	return &Problem{What: "unit is missing (got " + problem.Quoted(text) + ")", Hint: hint}
}

// plain gives a number with a decimal point.
func (n *number) plain(text string) (string, error) {
	at := strings.IndexAny(text, ".,")
	if at < 0 {
		return text, nil
	}
	sign := text[at]
	switch {
	case sign == ',' && !n.comma:
		return "", &Problem{What: "a comma within a number (got " + problem.Quoted(text) + ")", Hint: "write a decimal point, and no grouping of digits, where commas part the fields"}
	case strings.ContainsAny(text[at+1:], ","):
		return "", &Problem{What: "more than one decimal sign (got " + problem.Quoted(text) + ")", Hint: "write numbers without grouping of digits"}
	case n.decimal != 0 && n.decimal != sign:
		return "", &Problem{What: fmt.Sprintf("the decimal sign changes within the file (got %s, the numbers before have %q)", problem.Quoted(text), string(rune(n.decimal))),
			Hint: "write every number with the same decimal sign and no grouping of digits"}
	}
	n.decimal = sign
	return text[:at] + "." + text[at+1:], nil
}

// asProblem keeps the hint of a quantity's error.
func asProblem(err error) error {
	var q *units.Error
	if errors.As(err, &q) {
		return &Problem{What: q.Error(), Hint: q.Hint}
	}
	return &Problem{What: err.Error()}
}

// ParseQuantity reads a quantity with its unit as a column of the logbook, named
// as in a new one's header without unit, would.
func ParseQuantity(name, text string) (float64, error) {
	c := columnNamed(name)
	if c == nil || c.number == nil {
		return 0, fmt.Errorf("a logbook has no quantity %q", name)
	}
	n := number{alone: true}
	return n.parse(strings.TrimSpace(text), c, nil)
}

// ParseMark reads a yes or a no as a column of the logbook would.
func ParseMark(name, text string) (Mark, error) {
	c := columnNamed(name)
	if c == nil || c.mark == nil {
		return NotSeen, fmt.Errorf("a logbook has no mark %q", name)
	}
	return c.parseMark(strings.TrimSpace(text))
}
