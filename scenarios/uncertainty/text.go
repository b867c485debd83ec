package uncertainty

import (
	"math"
	"strconv"
	"strings"

	"sumpward/scenarios/units"
)

// Text writes d in the notation that Parse reads, in a unit of sensible size
// of the given system. Numbers have as many digits as give the same value
// again, but for rounding in its last digit. Bounds that the notation stated
// (at_least, at_most) are written; limits that Truncate set are not: whoever
// reads the text sets them again.
func (d Distribution) Text(dim units.Dimension, s units.System) string {
	return writer{dim: dim, unit: d.unit(dim, s), digits: fewestDigits}.text(d)
}

// Format writes d for people, as Text does but with three significant digits
// (geometric standard deviations and shapes too). Read back, it gives a
// rounded distribution.
func (d Distribution) Format(dim units.Dimension, s units.System) string {
	return writer{dim: dim, unit: d.unit(dim, s), digits: threeDigits}.text(d)
}

// unit is the unit in which d is written. A log-normal temperature is
// absolute; so is one so near to absolute zero that the offset of a scale
// would drown it.
func (d Distribution) unit(dim units.Dimension, s units.System) units.Unit {
	if dim == units.Temperature && (d.Kind == LogNormalLaw || math.Abs(d.size()) < 1) {
		return units.Unit{Symbol: "K", Factor: 1, Dimension: dim}
	}
	return units.SensibleUnit(d.size(), dim, s)
}

func (w writer) text(d Distribution) string {
	fields := w.fields(d)
	if !math.IsInf(d.atLeast, -1) && d.Kind != ExactValue {
		fields = append(fields, "at_least: "+w.quantity(d.atLeast))
	}
	if !math.IsInf(d.atMost, 1) && d.Kind != ExactValue {
		fields = append(fields, "at_most: "+w.quantity(d.atMost))
	}
	if len(fields) == 1 && d.Kind != TableLaw {
		return w.line(d)
	}
	return "{" + strings.Join(fields, ", ") + "}"
}

// size is the magnitude by which the unit is chosen.
func (d Distribution) size() float64 {
	switch d.Kind {
	case UniformLaw:
		return math.Max(math.Abs(d.A), math.Abs(d.B))
	case TriangularLaw:
		return math.Max(math.Abs(d.A), math.Abs(d.C))
	case BetaLaw:
		return math.Max(math.Abs(d.From), math.Abs(d.To))
	case TableLaw:
		return math.Max(math.Abs(d.Low), math.Abs(d.High))
	case NormalLaw:
		return math.Max(math.Abs(d.A), d.B)
	}
	return d.A
}

// writer writes quantities of one dimension in one unit.
type writer struct {
	dim    units.Dimension
	unit   units.Unit
	digits func(v float64, si float64, u units.Unit) string
}

// line writes a law that has a notation on one line.
func (w writer) line(d Distribution) string {
	switch d.Kind {
	case NormalLaw:
		return w.normal(d)
	case UniformLaw:
		return w.number(d.A) + " .. " + w.quantity(d.B)
	case TriangularLaw:
		return w.number(d.A) + " .. " + w.number(d.B) + " .. " + w.quantity(d.C)
	case LogNormalLaw:
		return w.number(d.A) + " x/ " + w.unit.Attach(w.pure(d.B))
	}
	return w.quantity(d.A)
}

// normal writes mean and standard deviation; the mean has its own unit where
// it could be taken for a fraction.
func (w writer) normal(d Distribution) string {
	mean, sd := w.number(d.A), w.difference(d.B)
	if w.dim == units.Fraction && w.unit.Symbol == "%" && d.B > math.Abs(d.A) {
		mean = w.quantity(d.A)
	}
	return mean + " +- " + sd
}

// fields writes d as the fields of Spelled.
func (w writer) fields(d Distribution) []string {
	switch d.Kind {
	case BetaLaw:
		return []string{"distribution: beta", "shape: [" + w.pure(d.A) + ", " + w.pure(d.B) + "]",
			"from: " + w.quantity(d.From), "to: " + w.quantity(d.To)}
	case TableLaw:
		values, weights := make([]string, len(d.Values)), make([]string, len(d.Values))
		for i, v := range d.Values {
			values[i], weights[i] = w.quantity(v), w.pure(d.Weights[i])
		}
		return []string{"distribution: table", "values: [" + strings.Join(values, ", ") + "]",
			"weights: [" + strings.Join(weights, ", ") + "]"}
	}
	return []string{"value: " + w.line(d)}
}

func (w writer) quantity(si float64) string { return w.unit.Attach(w.number(si)) }

// number writes si in the unit.
func (w writer) number(si float64) string {
	return w.digits(w.unit.FromSI(si), si, w.unit)
}

// difference writes a standard deviation, without the offset of a scale.
func (w writer) difference(sd float64) string {
	u := w.unit
	u.Offset = 0
	return u.Attach(w.digits(u.FromSI(sd), sd, u))
}

// pure writes a number that has no unit.
func (w writer) pure(v float64) string {
	return w.digits(v, v, units.Unit{Factor: 1})
}

// lastDigit is the relative rounding of a product and a sum, in SI.
const lastDigit = 1e-15

// fewestDigits writes v with the fewest digits that give si again.
func fewestDigits(v, si float64, u units.Unit) string {
	for digits := 1; digits < 17; digits++ {
		text := strconv.FormatFloat(v, 'g', digits, 64)
		back, err := strconv.ParseFloat(text, 64)
		if err == nil && math.Abs(u.ToSI(back)-si) <= lastDigit*math.Abs(si) {
			return plain(back)
		}
	}
	return plain(v)
}

// threeDigits writes v with three significant digits, or all of its whole
// part.
func threeDigits(v, _ float64, _ units.Unit) string {
	if a := math.Abs(v); a >= 1000 && a < 1e9 {
		return plain(math.Round(v))
	}
	return rounded(v)
}

// plain writes v without an exponent unless it is very small or large.
func plain(v float64) string {
	if a := math.Abs(v); a >= 1e-6 && a < 1e15 || a == 0 {
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return number(v)
}
