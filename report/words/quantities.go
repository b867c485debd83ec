package words

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

// Show writes one value for people in a unit of sensible size.
func Show(si float64, d units.Dimension, s units.System) string {
	if math.IsNaN(si) {
		return None
	}
	return units.Format(si, d, s)
}

// manyDigits finds a number that is too long to read.
var manyDigits = regexp.MustCompile(`[0-9][0-9.]{6,}`)

// Notation writes the distribution of an input: exactly where its numbers are
// short, else with three digits.
func Notation(q *scenarios.Quantity, s units.System) string {
	if text := q.Notation(s); !manyDigits.MatchString(text) {
		return text
	}
	if q.Per != "" {
		return notationPer(q, s)
	}
	return q.Distribution.Format(q.Dimension, s)
}

// ShowIn writes one value with three digits in a unit.
func ShowIn(si float64, u units.Unit) string {
	if math.IsNaN(si) {
		return None
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

// Alike writes the times of one line in one unit, that of the longest.
func Alike(s units.System, seconds ...float64) []string {
	longest := 0.0
	for _, t := range seconds {
		if !math.IsInf(t, 0) && !math.IsNaN(t) {
			longest = max(longest, t)
		}
	}
	u := units.SensibleUnit(longest, units.Time, s)
	var list []string
	for _, t := range seconds {
		list = append(list, ShowIn(t, u))
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

// InHand writes times of full throttle in hand, all in one unit.
func InHand(s units.System, seconds ...float64) []string {
	more := func(t float64) bool { return t >= sim.HandHorizon || math.IsInf(t, 1) }
	shown := make([]float64, len(seconds))
	for i, t := range seconds {
		if !more(t) {
			shown[i] = Round(t, 1)
		}
	}
	list := Alike(s, shown...)
	for i, t := range seconds {
		if more(t) {
			list[i] = "more than " + Show(sim.HandHorizon, units.Time, s)
		}
	}
	return list
}

// Length writes the length of a session.
func Length(seconds float64, s units.System) string {
	if seconds < 7200 && seconds >= 60 && math.Mod(seconds, 60) == 0 {
		return strconv.FormatFloat(seconds/60, 'f', 0, 64) + " min"
	}
	return Show(seconds, units.Time, s)
}

// Sentence begins a text with a capital letter.
func Sentence(text string) string {
	if text == "" {
		return text
	}
	return strings.ToUpper(text[:1]) + text[1:]
}
