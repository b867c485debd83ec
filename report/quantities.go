package report

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// none stands where a value does not apply.
const none = "-"

// decimals of the units of table columns.
var columnDecimals = map[string]int{
	"%": 0, "mm": 0, "in": 2, "L": 2, "US qt": 2, "L/min": 1, "cfm": 2, "kPa": 2, "inH2O": 1,
	"°C": 0, "°F": 0, "s": 1, "m/s": 1, "ft/s": 1, "g": 2, "g/s": 2, "mL": 0, "US fl oz": 1,
}

// column writes the values of one column of a table in one unit.
type column struct {
	unit     units.Unit
	decimals int
}

func columnOf(d units.Dimension, s units.System) column {
	u := units.DisplayUnit(d, s)
	return column{u, columnDecimals[u.Symbol]}
}

// smallVolumes is a column of volumes well below a litre.
func smallVolumes(s units.System) column {
	symbol := "mL"
	if s == units.US {
		symbol = "US fl oz"
	}
	u, _ := units.ParseUnit(symbol, units.Volume) // a unit of the table
	return column{u, columnDecimals[symbol]}
}

func (c column) text(si float64) string {
	switch {
	case math.IsNaN(si):
		return none
	case math.IsInf(si, 0):
		return "never"
	}
	v := c.unit.FromSI(si)
	if shown := round(v, c.decimals); shown == 0 {
		v = 0 // no minus before a rounded zero
	}
	return strconv.FormatFloat(v, 'f', c.decimals, 64)
}

func (c column) withUnit(si float64) string { return c.unit.Attach(c.text(si)) }

// headed puts the unit below the name of a column.
func (c column) headed(name string) string {
	if c.unit.Symbol == "" {
		return name
	}
	return name + "\n" + c.unit.Symbol
}

// show writes one value for people in a unit of sensible size.
func show(si float64, d units.Dimension, s units.System) string {
	if math.IsNaN(si) {
		return none
	}
	return units.Format(si, d, s)
}

// manyDigits finds a number that is too long to read.
var manyDigits = regexp.MustCompile(`[0-9][0-9.]{6,}`)

// notation writes the distribution of an input: exactly where its numbers are
// short, else with three digits.
func notation(q *scenarios.Quantity, s units.System) string {
	if text := q.Notation(s); !manyDigits.MatchString(text) {
		return text
	}
	if q.Per != "" { // counted per litre: stays metric
		return q.Notation(units.Metric)
	}
	return q.Distribution.Format(q.Dimension, s)
}

// inHand writes a time of full throttle in hand.
func inHand(seconds float64, s units.System) string {
	if seconds >= sim.HandHorizon || math.IsInf(seconds, 1) {
		return "more than " + show(sim.HandHorizon, units.Time, s)
	}
	return show(round(seconds, 1), units.Time, s)
}

// length writes the length of a session.
func length(seconds float64, s units.System) string {
	if seconds < 7200 && seconds >= 60 && math.Mod(seconds, 60) == 0 {
		return strconv.FormatFloat(seconds/60, 'f', 0, 64) + " min"
	}
	return show(seconds, units.Time, s)
}

// sentence begins a text with a capital letter.
func sentence(text string) string {
	if text == "" {
		return text
	}
	return strings.ToUpper(text[:1]) + text[1:]
}
