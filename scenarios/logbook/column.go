package logbook

import (
	"fmt"
	"math"
	"strings"
	"time"
	"unicode"

	"sumpward/scenarios/units"
)

// column is one column of a logbook. One of date, text, number and mark is set.
type column struct {
	name string   // as a new logbook's header has it, without unit
	also []string // other spellings, letters and digits only

	date   func(*Entry) *time.Time
	text   func(*Entry) *string
	number func(*Entry) *float64
	mark   func(*Entry) *Mark

	dimension units.Dimension // of a number
	unit      string          // of a number, in a new logbook
	low, high float64         // of a number, SI: what is allowed
	yes, no   string          // of a mark
	needed    bool
}

// columns of a logbook, in the order of a new one.
var columns = []*column{
	{name: "date", needed: true, date: func(e *Entry) *time.Time { return &e.Date }, also: []string{"day"}},
	{name: "car", needed: true, text: func(e *Entry) *string { return &e.Car }, also: []string{"carnumber", "vehicle"}},
	{name: "layout", text: func(e *Entry) *string { return &e.Layout }, also: []string{"variant", "fitted"}},
	{name: "session", number: func(e *Entry) *float64 { return &e.Length }, dimension: units.Time, unit: "min", low: 1, high: 100 * 3600, also: []string{"sessionlength", "length"}},
	{name: "done", text: func(e *Entry) *string { return &e.Done }, also: []string{"whatwasdone", "work"}},
	{name: "drained", number: func(e *Entry) *float64 { return &e.Drained }, dimension: units.Volume, unit: "mL", high: 30e-3, also: []string{"emptied", "caught"}},
	{name: "topped up", number: func(e *Entry) *float64 { return &e.ToppedUp }, dimension: units.Volume, unit: "L", high: 30e-3, also: []string{"topup", "added"}},
	{name: "crankcase full throttle", number: func(e *Entry) *float64 { return &e.Crankcase }, dimension: units.Pressure, unit: "kPa", low: -50e3, high: 50e3, also: []string{"crankcase", "crankcasepressure"}},
	{name: "U-tube", number: func(e *Entry) *float64 { return &e.UTube }, dimension: units.Length, unit: "mm", low: -5, high: 5, also: []string{"column"}},
	{name: "vent hose", mark: func(e *Entry) *Mark { return &e.VentHose }, yes: "wet", no: "dry", also: []string{"hose"}},
	{name: "pour", number: func(e *Entry) *float64 { return &e.Pour }, dimension: units.Volume, unit: "mL", low: 1e-6, high: 30e-3, also: []string{"poured"}},
	{name: "pour took", number: func(e *Entry) *float64 { return &e.PourTook }, dimension: units.Time, unit: "s", low: 0.1, high: 1800, also: []string{"took"}},
	{name: "oil temperature", number: func(e *Entry) *float64 { return &e.OilTemperature }, dimension: units.Temperature, unit: "C", low: 243.15, high: 423.15, also: []string{"pouredat", "temperature"}},
	{name: "forecast overflow", number: func(e *Entry) *float64 { return &e.ForecastOverflow }, dimension: units.Fraction, unit: "%", high: 1},
	{name: "forecast choked", number: func(e *Entry) *float64 { return &e.ForecastChoked }, dimension: units.Fraction, unit: "%", high: 1, also: []string{"forecastbackedup"}},
	{name: "overflowed", mark: func(e *Entry) *Mark { return &e.Overflowed }, yes: "yes", no: "no", also: []string{"overflow", "gotpast"}},
	{name: "backed up", mark: func(e *Entry) *Mark { return &e.BackedUp }, yes: "yes", no: "no", also: []string{"choked"}},
	{name: "drain returns", mark: func(e *Entry) *Mark { return &e.Returns }, yes: "yes", no: "no", also: []string{"returns", "drainsback"}},
	{name: "note", text: func(e *Entry) *string { return &e.Note }, also: []string{"notes", "remark", "comment"}},
}

// bare keeps letters and digits, in lower case.
func bare(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, s)
}

// columnNamed returns the column that a header, without its unit, stands for.
func columnNamed(name string) *column {
	want := bare(name)
	for _, c := range columns {
		if want == bare(c.name) {
			return c
		}
		for _, other := range c.also {
			if want == other {
				return c
			}
		}
	}
	return nil
}

// header is what stands above the column in a unit.
func (c *column) header(unit string) string {
	if c.number == nil {
		return c.name
	}
	return c.name + " [" + unit + "]"
}

// splitUnit takes a unit in brackets off the end of a header.
func splitUnit(header string) (name, unit string) {
	for _, pair := range []string{"[]", "()"} {
		open := strings.LastIndexByte(header, pair[0])
		if open > 0 && strings.HasSuffix(header, pair[1:]) {
			return strings.TrimSpace(header[:open]), strings.TrimSpace(header[open+1 : len(header)-1])
		}
	}
	return header, ""
}

// within says why a value, SI, is not allowed; empty if it is. Got is how it was written;
// empty: not by hand.
func (c *column) within(v float64, got string) string {
	if v >= c.low && v <= c.high && !math.IsNaN(v) {
		return ""
	}
	show := func(x float64) string { return units.Format(x, c.dimension, units.Metric) }
	if got == "" {
		got = show(v)
	}
	return fmt.Sprintf("out of range (got %s, allowed %s to %s)", got, show(c.low), show(c.high))
}

// written reports whether an entry holds something for the column.
func (c *column) written(e *Entry) bool {
	switch {
	case c.date != nil:
		return !c.date(e).IsZero()
	case c.text != nil:
		return tidied(*c.text(e)) != ""
	case c.mark != nil:
		return *c.mark(e) != NotSeen
	}
	return Written(*c.number(e))
}
