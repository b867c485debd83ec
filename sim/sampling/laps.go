package sampling

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Spread is a log-normal distribution of mean 1: of the factor on the full-throttle time
// of a lap, or of the time that slow laps take. Its zero value is no spread, factor 1.
type Spread struct {
	deviation, half float64 // σ, σ²/2
}

// SpreadOf returns the spread of a coefficient of variation, 0.1 for 10 %:
//
//	σ² = ln(1 + cv²)
//
// A cv of 0 or below, or not a number, is no spread.
func SpreadOf(cv float64) Spread {
	if !(cv > 0) {
		return Spread{}
	}
	variance := math.Log1p(cv * cv)
	return Spread{math.Sqrt(variance), variance / 2}
}

// Factor returns what goes with a standard normal draw z:
//
//	exp(σ z - σ²/2)
func (s Spread) Factor(z float64) float64 {
	if s.deviation == 0 {
		return 1
	}
	return math.Exp(s.deviation*z - s.half)
}

// LapFactor returns the factor on the full-throttle time of one lap, drawn from (seed,
// realization, lap) alone, so that a longer session or another input changes no lap.
func LapFactor(seed, realization, lap uint64, s Spread) float64 {
	if s.deviation == 0 {
		return 1
	}
	stream := startStream(address(purposeLap, seed, realization, lap))
	return s.Factor(mathext.NormalQuantile(stream.Float64()))
}

// Luck is what one stint draws: two uniforms in (0, 1) and a standard normal.
type Luck struct{ Chance, Place, Normal float64 }

// StintLuck returns the draws of one stint, from (seed, realization, stint) alone.
func StintLuck(seed, realization, stint uint64) Luck {
	s := startStream(address(purposeStint, seed, realization, stint))
	return Luck{s.Float64(), s.Float64(), s.NormFloat64()}
}
