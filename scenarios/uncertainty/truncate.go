package uncertainty

import (
	"fmt"
	"math"
)

// LimitError says that a distribution reaches outside what is allowed. The
// numbers are in SI, so that whoever knows the dimension can write them with
// their unit.
type LimitError struct {
	What      string  // what lies outside: "value", "low end", "all of it"
	Value     float64 // the value outside
	Low, High float64 // the limits
}

// Error says what lies outside the limits, in SI.
func (e *LimitError) Error() string {
	return fmt.Sprintf("%s is outside the limits (got %g, allowed %g to %g, in SI units)", e.What, e.Value, e.Low, e.High)
}

// slack is the rounding that a bound may miss a limit by, relative to the
// larger of the two: converting a unit rounds in the last digits, and "100 %"
// must not exceed 1 for that.
const slack = 1e-12

// Truncate cuts d to low..high (SI; infinite for no limit), the limits of
// what physics allows. cut is the share of the distribution that was cut off,
// 0 if all of it lies inside. What is drawn afterwards comes from the inverse
// CDF between the bounds.
//
// Errors are of type *LimitError: an exact value outside; a stated bound (of
// a uniform, triangular or beta distribution) outside; nothing left inside.
func (d Distribution) Truncate(low, high float64) (t Distribution, cut float64, err error) {
	switch {
	case math.IsNaN(low) || math.IsNaN(high) || low > high:
		return d, 0, &LimitError{What: "no value", Value: math.NaN(), Low: low, High: high}
	case d.Kind == ExactValue && outside(d.A, low, high):
		return d, 0, &LimitError{What: "value", Value: d.A, Low: low, High: high}
	case d.Kind == ExactValue:
		return Exact(math.Min(math.Max(d.A, low), high)), 0, nil
	case d.Kind == UniformLaw || d.Kind == TriangularLaw || d.Kind == BetaLaw:
		if outside(d.Low, low, high) {
			return d, 0, &LimitError{What: "low end", Value: d.Low, Low: low, High: high}
		}
		if outside(d.High, low, high) {
			return d, 0, &LimitError{What: "high end", Value: d.High, Low: low, High: high}
		}
		t, _, err = d.between(low, high)
		return t, 0, err // all of it is inside but for rounding
	}
	return d.between(low, high)
}

// outside says whether v misses low..high by more than rounding.
func outside(v, low, high float64) bool {
	return v < low-slack*math.Max(math.Abs(low), math.Abs(v)) || v > high+slack*math.Max(math.Abs(high), math.Abs(v))
}

// between cuts d to low..high whatever its law.
func (d Distribution) between(low, high float64) (t Distribution, cut float64, err error) {
	if d.Kind == ExactValue || d.Kind == TableLaw {
		return d.rowsBetween(low, high)
	}
	t = d
	t.Low, t.High = math.Max(d.Low, low), math.Min(d.High, high)
	if !(t.Low < t.High) {
		return d, 0, &LimitError{What: "all of it", Value: d.Nominal(), Low: low, High: high}
	}
	lost := 0.0
	if t.Low > d.Low {
		t.below = d.shareBelow(t.Low)
		lost += d.share(d.Low, t.Low)
	}
	if t.High < d.High {
		t.above = d.shareAbove(t.High)
		lost += d.share(t.High, d.High)
	}
	if lost == 0 {
		return t, 0, nil
	}
	t.mass = d.share(t.Low, t.High)
	if !(t.mass > 0) {
		return d, 0, &LimitError{What: "all of it", Value: d.Nominal(), Low: low, High: high}
	}
	return t, within01(lost / d.mass), nil
}

// share is the share of the uncut law between low and high, from the nearer
// tail.
func (d Distribution) share(low, high float64) float64 {
	below, above := d.shareBelow(low), d.shareAbove(high)
	switch {
	case below > 0.5:
		return d.shareAbove(low) - above
	case above > 0.5:
		return d.shareBelow(high) - below
	}
	return 1 - below - above
}

// rowsBetween keeps the values of a table, or the exact value, in low..high.
func (d Distribution) rowsBetween(low, high float64) (t Distribution, cut float64, err error) {
	if d.Kind == ExactValue {
		d.Values, d.Weights = []float64{d.A}, []float64{1}
	}
	var kept table
	total := 0.0
	for i, v := range d.Values {
		if v < low || v > high {
			cut += d.Weights[i]
			continue
		}
		kept.values = append(kept.values, v)
		kept.weights = append(kept.weights, d.Weights[i])
		total += d.Weights[i]
	}
	switch {
	case total == 0:
		return d, 0, &LimitError{What: "all of it", Value: d.Nominal(), Low: low, High: high}
	case d.Kind == ExactValue:
		return Exact(d.A), 0, nil
	case cut == 0:
		return d, 0, nil
	}
	return kept.distribution(total), cut, nil
}

// WithMinimumSpread returns d with a standard deviation of at least sd (SI)
// before any cut, if d is exact or normal; other laws are returned as they
// are. An exact value becomes normal; apply limits afterwards. An sd that is
// not positive and finite changes nothing.
func (d Distribution) WithMinimumSpread(sd float64) Distribution {
	if !(sd > 0) || math.IsInf(sd, 1) {
		return d
	}
	switch {
	case d.Kind == ExactValue:
		if wide, err := Normal(d.A, sd); err == nil {
			return wide
		}
	case d.Kind == NormalLaw && d.B < sd:
		if wide, err := Normal(d.A, sd); err == nil {
			wide.atLeast, wide.atMost = d.atLeast, d.atMost
			if cut, _, err := wide.between(d.Low, d.High); err == nil {
				return cut
			}
		}
	}
	return d
}
