package uncertainty

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"sumpward/scenarios/units"
)

// Text writes d in the notation that Parse reads, in a unit of sensible size
// of the given system. Numbers have as many digits as give the same value
// again. Bounds that the notation stated (at_least, at_most) are written;
// limits that Truncate set are not: whoever reads the text sets them again.
func (d Distribution) Text(dim units.Dimension, s units.System) string {
	w := writer{dim: dim, unit: units.SensibleUnit(d.size(), dim, s)}
	if d.Kind == LogNormalLaw && dim == units.Temperature {
		w.unit = units.Unit{Symbol: "K", Factor: 1, Dimension: dim}
	}
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
	dim  units.Dimension
	unit units.Unit
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
		return w.number(d.A) + " x/ " + w.unit.Attach(number(d.B))
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
		return []string{"distribution: beta", "shape: [" + number(d.A) + ", " + number(d.B) + "]",
			"from: " + w.quantity(d.From), "to: " + w.quantity(d.To)}
	case TableLaw:
		values, weights := make([]string, len(d.Values)), make([]string, len(d.Values))
		for i, v := range d.Values {
			values[i], weights[i] = w.quantity(v), number(d.Weights[i])
		}
		return []string{"distribution: table", "values: [" + strings.Join(values, ", ") + "]",
			"weights: [" + strings.Join(weights, ", ") + "]"}
	}
	return []string{"value: " + w.line(d)}
}

func (w writer) quantity(si float64) string { return w.unit.Attach(w.number(si)) }

// number writes si in the unit with the fewest digits that give si again.
func (w writer) number(si float64) string {
	return fewestDigits(w.unit.FromSI(si), func(v float64) bool { return w.unit.ToSI(v) == si })
}

// difference writes a standard deviation, without the offset of a scale.
func (w writer) difference(sd float64) string {
	u := w.unit
	u.Offset = 0
	return u.Attach(fewestDigits(u.FromSI(sd), func(v float64) bool { return u.ToSI(v) == sd }))
}

// fewestDigits writes v with the fewest digits that same accepts, or all.
func fewestDigits(v float64, same func(float64) bool) string {
	for digits := 1; digits < 17; digits++ {
		text := strconv.FormatFloat(v, 'g', digits, 64)
		if back, err := strconv.ParseFloat(text, 64); err == nil && same(back) {
			return plain(back)
		}
	}
	return plain(v)
}

// plain writes v without an exponent unless it is very small or large.
func plain(v float64) string {
	if a := math.Abs(v); a >= 1e-6 && a < 1e15 || a == 0 {
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return number(v)
}

// rounded writes v with three significant digits.
func rounded(v float64) string { return plain(mustRound(v)) }

func mustRound(v float64) float64 {
	r, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 3, 64), 64)
	return r
}

var exampleSpreads = map[units.Dimension]string{
	units.Number: "1 +- 0.1", units.Fraction: "40 .. 85 %", units.Temperature: "118 +- 5 C",
	units.VolumeFlow: "110 +- 18 L/min", units.MassFlow: "0.4 x/ 1.4 g/s", units.Length: "115 .. 125 mm",
}

// NewExample returns an uncertain quantity of dimension dim as it is written.
func NewExample(dim units.Dimension) string {
	if text, ok := exampleSpreads[dim]; ok {
		return text
	}
	return "8 .. 20 " + dim.Units()[0]
}

func (n notation) example() string { return NewExample(n.dim) }

// inPart adds to the error of one part what the whole text was.
func (n notation) inPart(part string, err error) error {
	var e *units.Error
	if !errors.As(err, &e) {
		return err
	}
	full := *e
	full.Got = n.text
	if len(n.operands) > 0 && e.What == "unit is missing" {
		full.Hint = "write " + strings.TrimSpace(n.text) + " " + n.dim.Units()[0]
	}
	return &full
}
