package sampling

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// LapFactor returns the factor on the full-throttle time of one lap, log-normal with
// mean 1 and coefficient of variation cv (see [FactorOfMeanOne]), drawn from (seed,
// realization, lap) alone, so that a longer session or another input changes no
// lap. A cv of 0 or below, or not a number, gives 1.
func LapFactor(seed, realization, lap uint64, cv float64) float64 {
	if !(cv > 0) {
		return 1
	}
	s := startStream(address(purposeLap, seed, realization, lap))
	return FactorOfMeanOne(mathext.NormalQuantile(s.Float64()), cv)
}

// FactorOfMeanOne returns the log-normal factor with mean 1 and coefficient of
// variation cv that goes with a standard normal draw z:
//
//	exp(σ z - σ²/2),  σ² = ln(1 + cv²)
//
// A cv of 0 or below, or not a number, gives 1.
func FactorOfMeanOne(z, cv float64) float64 {
	if !(cv > 0) {
		return 1
	}
	variance := math.Log1p(cv * cv)
	return math.Exp(math.Sqrt(variance)*z - variance/2)
}

// Luck is what one stint draws: two uniforms in (0, 1) and a standard normal.
type Luck struct{ Chance, Place, Normal float64 }

// StintLuck returns the draws of one stint, from (seed, realization, stint) alone.
func StintLuck(seed, realization, stint uint64) Luck {
	s := startStream(address(purposeStint, seed, realization, stint))
	return Luck{s.Float64(), s.Float64(), s.NormFloat64()}
}
