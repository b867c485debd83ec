package stats

import (
	"math"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// PairedDifference is the difference of two chances that were estimated on the
// same realizations, the second less the first, with its confidence interval.
// All are shares of 1: -1 to 1.
type PairedDifference struct {
	Difference, Low, High float64
	OnlyFirst, OnlySecond int64 // realizations in which the event came true in one of the two alone
	Trials                int64
	TrialsToTell          float64 // realizations after which the interval would leave out 0 if the difference is what it seems; +Inf where none is seen
}

// Tells reports whether the interval leaves out 0.
func (d PairedDifference) Tells() bool { return d.Low > 0 || d.High < 0 }

// Turned returns the difference the other way round: the first less the second.
func (d PairedDifference) Turned() PairedDifference {
	d.Difference, d.Low, d.High = 0-d.Difference, 0-d.High, 0-d.Low
	d.OnlyFirst, d.OnlySecond = d.OnlySecond, d.OnlyFirst
	return d
}

// MeanDifference is the difference of two means over the same realizations, the
// second less the first, with its confidence interval, in the unit of the means.
type MeanDifference struct {
	Difference, Low, High float64
	TrialsToTell          float64 // as in PairedDifference
}

// Tells reports whether the interval leaves out 0.
func (d MeanDifference) Tells() bool { return d.Low > 0 || d.High < 0 }

// Turned returns the difference the other way round: the first less the second.
func (d MeanDifference) Turned() MeanDifference {
	d.Difference, d.Low, d.High = 0-d.Difference, 0-d.High, 0-d.Low
	return d
}

// blocksToTell returns the least number of equal blocks, not necessarily whole, at
// which Student's t tells a mean from 0 at a confidence level if it is what it seems:
// the k at which
//
//	t²(k-1) r² = k,  r = standard deviation of a block's mean / mean,
//
// to a thousandth. An r that is infinite or not a number gives +Inf.
func blocksToTell(r, level float64) float64 {
	if math.IsNaN(r) || math.IsInf(r, 0) {
		return math.Inf(1)
	}
	tells := func(k float64) bool {
		t := studentQuantile(k-1, level)
		return t*t*r*r <= k
	}
	z := normalQuantile(level)
	low := max(1+leastFreedom, z*z*r*r) // t is above z
	high := low * 1.01
	for !tells(high) {
		low, high = high, 2*high
	}
	for high-low > 1e-3*high {
		if m := (low + high) / 2; tells(m) {
			high = m
		} else {
			low = m
		}
	}
	return high
}

// leastFreedom is where Student's t is given up: less than two blocks, but for a last
// one that is a little short.
const leastFreedom = 0.5

// studentQuantile returns how many standard errors wide half of a two-sided interval
// is with so many degrees of freedom.
func studentQuantile(freedom, level float64) float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: freedom}.Quantile((1 + level) / 2)
}

// normalQuantile is studentQuantile for infinitely many.
func normalQuantile(level float64) float64 { return mathext.NormalQuantile((1 + level) / 2) }

// trialsToTell rounds a number of realizations up to two digits, so that it stays on
// the side of the trials there are that it belongs to: above them unless they tell.
func trialsToTell(needed float64, trials int64, tells bool) float64 {
	if math.IsNaN(needed) || math.IsInf(needed, 1) {
		return math.Inf(1)
	}
	n := float64(trials)
	if tells {
		return min(roundedUp(needed), n)
	}
	return roundedUp(max(needed, n+1))
}

// roundedUp returns a number of 1 or more rounded up to two significant digits, and
// to a whole number.
func roundedUp(x float64) float64 {
	x = math.Ceil(x)
	if x < 100 {
		return x
	}
	unit := math.Pow(10, math.Floor(math.Log10(x))-1)
	return math.Ceil(x/unit-1e-9) * unit
}
