package physics

import "math"

// stalled is how many tolerances a root may be off that numbers can't tell closer.
const stalled = 1e4

// rising is a function that never falls; it returns its value and its slope.
type rising func(x float64) (value, slope float64)

// steepRoot finds the root of a function whose slope is everywhere 1 or more,
// to |value| <= tolerance, or as near as numbers stand beside each other where the
// slope is so steep that the value leaps over it: to stalled times the tolerance then.
// It leaves the function evaluated at the root.
//
// The slope of 1 gives the bracket: the root is no farther from any trial than
// the value there. Newton's method within the bracket, bisection where Newton
// leaves it or is slow.
func steepRoot(f rising, trial, tolerance float64) (x float64, found bool) {
	low, high := math.Inf(-1), math.Inf(1)
	last := math.Inf(1)
	x = trial
	for range 200 {
		value, slope := f(x)
		if math.Abs(value) <= tolerance {
			return x, true
		}
		if math.IsNaN(value) {
			return x, false
		}
		low, high = math.Max(low, x-math.Max(value, 0)), math.Min(high, x-math.Min(value, 0))
		if value > 0 {
			high = math.Min(high, x)
		} else {
			low = math.Max(low, x)
		}
		next := x - value/slope
		if !(next > low && next < high) || math.Abs(value) > 0.5*last {
			next = low + 0.5*(high-low)
		}
		if next == x || next == low && next == high {
			return x, math.Abs(value) <= stalled*tolerance
		}
		last = math.Abs(value)
		x = next
	}
	return x, false
}
