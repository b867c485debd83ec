package uncertainty

import (
	"errors"
	"strconv"
	"strings"

	"sumpward/scenarios/units"
)

// fault is an error about the whole text; better is what to write.
func (n notation) fault(what, better string) error {
	if better == "" {
		better = "for instance " + n.example()
	}
	return &units.Error{What: what, Got: n.text, Hint: "write " + better}
}

// inPart turns the error of one number into that of the whole text.
func (n notation) inPart(part string, err error) error {
	var e *units.Error
	if !errors.As(err, &e) {
		return err
	}
	full := *e
	full.Got = n.text
	switch {
	case e.What == units.MissingUnit:
		full.Hint = "write " + n.withUnit()
	case e.What == units.BareFraction:
		full.Hint = "write " + joined(n.operands, " "+n.sign+" ", "%")
	default:
		full.Hint = n.mended(part, e.Hint)
	}
	return &full
}

// mended puts what the hint offers for one part into the whole text.
func (n notation) mended(part, hint string) string {
	offer, ok := strings.CutPrefix(hint, "write ")
	part = strings.TrimSpace(part)
	if !ok || part == "" || strings.HasPrefix(offer, "for instance") || !strings.Contains(n.text, part) {
		return "write for instance " + n.example()
	}
	offers := strings.Split(offer, " or ")
	for i, o := range offers {
		offers[i] = strings.TrimSpace(strings.Replace(n.text, part, o, 1))
	}
	return "write " + strings.Join(offers, " or ")
}

// rounded writes v with three significant digits.
func rounded(v float64) string {
	r, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 3, 64), 64)
	return plain(r)
}

var exampleSpreads = map[units.Dimension]string{
	units.Number: "1 +- 0.1", units.Fraction: "40 .. 85 %", units.Temperature: "118 +- 5 C",
	units.VolumeFlow: "110 +- 18 L/min", units.MassFlow: "0.4 x/ 1.4 g/s", units.Length: "115 .. 125 mm",
}

// Example returns an uncertain quantity of dimension dim as it is written.
func Example(dim units.Dimension) string {
	if text, ok := exampleSpreads[dim]; ok {
		return text
	}
	return "8 .. 20" + behind(usualUnit(dim))
}

func (n notation) example() string { return Example(n.dim) }
