package physics

import "math"

// rising is a function that never falls; it returns its value and its slope.
type rising func(x float64) (value, slope float64)

// steepRoot finds the root of a function whose slope is everywhere 1 or more,
// to |value| <= tolerance. It leaves the function evaluated at the root.
//
// The slope of 1 gives the bracket: the root is no farther from any trial than
// the value there. Newton's method within the bracket, bisection where Newton
// leaves it or is slow.
func steepRoot(f rising, trial, tolerance float64) (x float64, found bool) {
	x, off := nearestRoot(f, trial, tolerance)
	return x, off <= tolerance
}

// stalled is how many tolerances a root may be off that numbers can't tell closer.
const stalled = 1e4

// stalledRoot is steepRoot that takes what is as near as numbers stand beside each other,
// where the slope is so steep that the value leaps over the root: to stalled times the
// tolerance.
func stalledRoot(f rising, trial, tolerance float64) (x float64, found bool) {
	x, off := nearestRoot(f, trial, tolerance)
	return x, off <= stalled*tolerance
}

// nearestRoot returns the last trial, and how far the value there is off; NaN where it is
// no number.
func nearestRoot(f rising, trial, tolerance float64) (x, off float64) {
	low, high := math.Inf(-1), math.Inf(1)
	last := math.Inf(1)
	next := trial
	for range 200 {
		x = next
		value, slope := f(x)
		if off = math.Abs(value); off <= tolerance || math.IsNaN(value) {
			return x, off
		}
		low, high = math.Max(low, x-math.Max(value, 0)), math.Min(high, x-math.Min(value, 0))
		if value > 0 {
			high = math.Min(high, x)
		} else {
			low = math.Max(low, x)
		}
		next = x - value/slope
		if !(next > low && next < high) || off > 0.5*last {
			next = low + 0.5*(high-low)
		}
		if next == x || next == low && next == high {
			return x, off
		}
		last = off
	}
	return x, off
}
