package sampling

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// LapFactor returns the factor on the full-throttle time of one lap, log-normal with
// mean 1 and coefficient of variation cv,
//
//	exp(σ z - σ²/2),  σ² = ln(1 + cv²),  z standard normal,
//
// drawn from (seed, realization, lap) alone, so that a longer session or another
// input changes no lap. A cv of 0 or below, or not a number, gives 1.
func LapFactor(seed, realization, lap uint64, cv float64) float64 {
	if !(cv > 0) {
		return 1
	}
	s := startStream(address(purposeLap, seed, realization, lap))
	variance := math.Log1p(cv * cv)
	z := mathext.NormalQuantile(s.Float64())
	return math.Exp(math.Sqrt(variance)*z - variance/2)
}
