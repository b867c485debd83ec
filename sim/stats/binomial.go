package stats

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Interval is a confidence interval.
type Interval struct{ Low, High float64 }

// HalfWidth returns half of the interval's width.
func (i Interval) HalfWidth() float64 { return (i.High - i.Low) / 2 }

// Wilson returns the two-sided score interval at the given confidence level (0.95,
// say) for a chance of which k of n independent trials came true,
//
//	[p + z²/2n ∓ z √(p(1-p)/n + z²/4n²)] / (1 + z²/n),  p = k/n.
//
// k and n need not be whole: n may be an effective number of trials. With n = 0 the
// interval is [0, 1]; a k outside [0, n] or a level outside (0, 1) gives NaN.
//
// Source: Wilson 1927, J. Am. Stat. Assoc. 22, 209-212; Newcombe 1998, Statist. Med.
// 17, 857-872, method 3.
func Wilson(k, n, level float64) Interval {
	if !validTrials(k, n, level) {
		return Interval{math.NaN(), math.NaN()}
	}
	if n == 0 {
		return Interval{0, 1}
	}
	z := mathext.NormalQuantile((1 + level) / 2)
	p := k / n
	centre := p + z*z/(2*n)
	spread := z * math.Sqrt(p*(1-p)/n+z*z/(4*n*n))
	i := Interval{(centre - spread) / (1 + z*z/n), (centre + spread) / (1 + z*z/n)}
	if k == 0 {
		i.Low = 0 // exactly, where rounding may leave some 1e-19
	}
	if k == n {
		i.High = 1
	}
	return i
}

// ClopperPearson returns the two-sided exact interval at the given confidence level
// for a chance of which k of n independent trials came true: the quantiles
//
//	low = B(α/2; k, n-k+1),  high = B(1-α/2; k+1, n-k),  α = 1 - level,
//
// of the beta distribution. It covers the true chance at least as often as it says.
// With n = 0 it is [0, 1]; a k outside [0, n] or a level outside (0, 1) gives NaN.
//
// Source: Clopper, Pearson 1934, Biometrika 26, 404-413; Newcombe 1998, Statist. Med.
// 17, 857-872, method 5.
func ClopperPearson(k, n, level float64) Interval {
	if !validTrials(k, n, level) {
		return Interval{math.NaN(), math.NaN()}
	}
	i := Interval{0, 1}
	tail := (1 - level) / 2
	switch {
	case k == 0 && n > 0:
		i.High = ZeroEventsUpper(n, 1-tail)
	case k > 0 && k < n:
		i.High = 1 - mathext.InvRegIncBeta(n-k, k+1, tail)
	}
	switch {
	case k == n && n > 0:
		i.Low = 1 - ZeroEventsUpper(n, 1-tail)
	case k > 0 && k < n:
		i.Low = mathext.InvRegIncBeta(k, n-k+1, tail)
	}
	return i
}

// ZeroEventsUpper returns the one-sided upper limit at the given confidence level for
// a chance that came true in none of n independent trials,
//
//	1 - (1 - level)^(1/n),
//
// about 3/n at 95 %. With n = 0 it is 1.
func ZeroEventsUpper(n, level float64) float64 {
	if n == 0 {
		return 1
	}
	return -math.Expm1(math.Log1p(-level) / n)
}

func validTrials(k, n, level float64) bool {
	return k >= 0 && k <= n && level > 0 && level < 1
}
