package report

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"sumpward/scenarios"
	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// none stands where a value does not apply.
const none = "-"

// decimals of the units of table columns.
var columnDecimals = map[string]int{
	"%": 0, "mm": 0, "in": 2, "L": 2, "US qt": 2, "L/min": 1, "cfm": 2, "kPa": 2, "inH2O": 1,
	"°C": 0, "°F": 0, "s": 1, "m/s": 1, "ft/s": 1, "g": 2, "g/s": 2, "mL": 0, "US fl oz": 1, "oz": 3,
	"mL/min": 0, "US fl oz/min": 1,
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

// masses is a column of small masses.
func masses(s units.System) column {
	c := columnOf(units.Mass, s)
	if c.unit.Symbol == "g" {
		c.decimals = 1
	}
	return c
}

// oilFlow is the unit of flows of oil, far smaller than those of gas.
func oilFlow(s units.System) units.Unit {
	small := smallVolumes(s).unit
	return units.Unit{Symbol: small.Symbol + "/min", Factor: small.Factor / 60, Dimension: units.VolumeFlow}
}

// fineLength is a column of lengths with one more decimal below 1 mm.
type fineLength struct{ column }

func (c fineLength) text(si float64) string {
	if math.Abs(si) < 1e-3 && si != 0 {
		c.decimals++
	}
	return c.column.text(si)
}

func (c fineLength) withUnit(si float64) string { return c.unit.Attach(c.text(si)) }

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
	if q.Per != "" {
		return notationPer(q, s)
	}
	return q.Distribution.Format(q.Dimension, s)
}

// showIn writes one value with three digits in a unit.
func showIn(si float64, u units.Unit) string {
	if math.IsNaN(si) {
		return none
	}
	v := u.FromSI(si)
	decimals := 0
	if v != 0 {
		decimals = max(0, 2-int(math.Floor(math.Log10(math.Abs(v)))))
	}
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return u.Attach(text)
}

// alike writes the times of one line in one unit, that of the longest.
func alike(s units.System, seconds ...float64) []string {
	longest := 0.0
	for _, t := range seconds {
		if !math.IsInf(t, 0) && !math.IsNaN(t) {
			longest = max(longest, t)
		}
	}
	u := units.SensibleUnit(longest, units.Time, s)
	var list []string
	for _, t := range seconds {
		list = append(list, showIn(t, u))
	}
	return list
}

// notationPer writes what is counted per something ("per L"): its SI values are
// per m3, those that people read are not.
func notationPer(q *scenarios.Quantity, s units.System) string {
	text := q.Notation(units.Metric)
	d, err := uncertainty.Parse(strings.TrimSuffix(text, " "+q.Per), q.Dimension)
	if err != nil || s == units.Metric {
		return text
	}
	return d.Format(q.Dimension, s) + " " + q.Per
}

// inHand writes times of full throttle in hand, all in one unit.
func inHand(s units.System, seconds ...float64) []string {
	more := func(t float64) bool { return t >= sim.HandHorizon || math.IsInf(t, 1) }
	shown := make([]float64, len(seconds))
	for i, t := range seconds {
		if !more(t) {
			shown[i] = round(t, 1)
		}
	}
	list := alike(s, shown...)
	for i, t := range seconds {
		if more(t) {
			list[i] = "more than " + show(sim.HandHorizon, units.Time, s)
		}
	}
	return list
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
