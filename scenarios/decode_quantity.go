package scenarios

import (
	"errors"
	"fmt"
	"regexp"
	"strings"

	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

// duringTime is what a plain time under carry_over.during may be.
var duringTime = func() *Field {
	f := quantity("carry_over.during", units.Time, "10 s", "10000 h", "25 min", "")
	f.low, f.high = 10, 3.6e7
	return &f
}()

// quantity reads a number with its unit, exact or uncertain:
//
//	120 mm                                  any notation of uncertainty.Parse
//	{value: 120 mm, basis: measured}        with its basis and source
//	{distribution: beta, …}, {table: …}     spelled out
func (d *decoder) quantity(v *value) {
	var err error
	n := v.node
	switch {
	case n.distribution != nil:
		v.distribution, v.text = *n.distribution, n.text
		if n.basis != "" {
			v.basis, v.source = n.basis, n.source
		}
		d.within(v)
		return
	case n.kind == mappingNode:
		v.distribution, v.text, err = d.spelledOut(v)
	case n.kind == scalarNode:
		v.text = strings.TrimSpace(n.text)
		v.distribution, err = d.memory.quantity(v.text, v.field)
	default:
		err = errors.New("a number is wanted here (got " + n.describe() + ")")
	}
	if err == nil && !v.bad {
		v.distribution, err = scaled(v.distribution, v.field.scaleOr1())
	}
	if err != nil {
		v.bad = true
		d.problem(v.line, v.path, plainError(err), v.field.mend(err))
		return
	}
	if !v.bad {
		d.within(v)
	}
}

func (f *Field) scaleOr1() float64 {
	if f.scale == 0 {
		return 1
	}
	return f.scale
}

// bareZero is a number that needs no unit.
var bareZero = regexp.MustCompile(`^[-+]?0*(\.0*)?$`)

// parseQuantity reads a text; 0 needs no unit, except for a temperature.
func parseQuantity(text string, f *Field) (uncertainty.Distribution, error) {
	if strings.Contains(text, "0") && bareZero.MatchString(text) && f.Dimension != units.Temperature {
		return uncertainty.Exact(0), nil
	}
	return uncertainty.Parse(text, f.Dimension)
}

// within cuts the distribution to what physics allows and, where the field
// asks for it, insists on an exact value.
func (d *decoder) within(v *value) {
	f := v.field
	if f.Kind == ExactKind && !v.distribution.IsExact() {
		v.bad = true
		d.problem(v.line, v.path, "an exact value is wanted here (got "+shorten(v.text)+")", f.hint(""))
		return
	}
	if f.Low == "" && f.High == "" {
		return
	}
	cut, share, err := v.distribution.Truncate(f.low, f.high)
	if err != nil {
		v.bad = true
		d.problem(v.line, v.path, fmt.Sprintf("outside what is possible (got %s, allowed %s to %s)", shorten(v.text), f.Low, f.High), f.hint(v.withoutSign()))
		return
	}
	v.distribution, v.cut = cut, share
	if share > 0.01 {
		d.warn(v.line, v.path, fmt.Sprintf("%.2g %% of %s is impossible and was cut off (allowed %s to %s)", 100*share, shorten(v.text), f.Low, f.High))
	}
}

// withoutSign offers the value without its minus, if that is possible.
func (v *value) withoutSign() string {
	text, negative := strings.CutPrefix(v.text, "-")
	if !negative {
		return ""
	}
	if d, err := parseQuantity(text, v.field); err != nil || !d.IsExact() || !v.field.takes(text) {
		return ""
	}
	return text
}

// takes reports whether a text is a possible value of the field.
func (f *Field) takes(text string) bool {
	d, err := parseQuantity(text, f)
	if err == nil {
		d, err = scaled(d, f.scaleOr1())
	}
	if err == nil && (f.Low != "" || f.High != "") {
		_, _, err = d.Truncate(f.low, f.high)
	}
	return err == nil
}

// plainError returns the message of an error without its hint.
func plainError(err error) string {
	var e *units.Error
	if errors.As(err, &e) {
		return e.Error()
	}
	return err.Error()
}

// mend returns the hint to an error: a line that can be pasted, with the
// right value where the error knows it, else with the field's example.
func (f *Field) mend(err error) string {
	value, known := strings.CutPrefix(hintOf(err), "write ")
	if !known || strings.HasPrefix(value, "for instance ") {
		return f.hint("")
	}
	first, _, _ := strings.Cut(value, " or ")
	if f.takes(first) {
		return f.hint(value)
	}
	if number, _, ok := strings.Cut(first, " "); ok {
		for _, unit := range f.Dimension.Units() {
			if f.takes(number + " " + unit) {
				return f.hint(number + " " + unit)
			}
		}
	}
	if strings.Contains(value, ": ") {
		return "write: " + value
	}
	return f.hint("")
}

// hintOf returns the hint of an error that has one.
func hintOf(err error) string {
	var e *units.Error
	if errors.As(err, &e) {
		return e.Hint
	}
	return ""
}
