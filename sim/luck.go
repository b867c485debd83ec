package sim

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mathext"

	"sumpward/sim/sampling"
)

// Luck is what the laps, stints and bursts of one realization draw, given as standard
// normals instead of drawn from (seed, realization). Laps without spread, stints without
// slow laps and duties without a pattern need none.
type Luck struct {
	Laps   []float64 // one a lap
	Stints []float64 // three a stint: whether it has slow laps, when they begin, for how long
	Bursts []float64 // one each of the rests and bursts of a pattern, by turns
	short  bool      // there were more of them than luck
}

// errShortOfLuck is a realization with more laps, stints or bursts than it has luck for.
var errShortOfLuck = errors.New("more laps, stints or bursts than it has draws for: shorten the session")

// at is the normal at an index; 0 where there are fewer, which is then known.
func (l *Luck) at(z []float64, index int) float64 {
	if index >= len(z) {
		l.short = true
		return 0
	}
	return z[index]
}

func (l *Luck) lapFactor(lap uint64, s sampling.Spread) float64 {
	if s == (sampling.Spread{}) {
		return 1
	}
	return s.Factor(l.at(l.Laps, int(lap)))
}

func (l *Luck) stint(stint int) sampling.Luck {
	i := 3 * stint
	return sampling.Luck{
		Chance: openNormalCDF(l.at(l.Stints, i)), Place: openNormalCDF(l.at(l.Stints, i+1)), Normal: l.at(l.Stints, i+2),
	}
}

func (l *Luck) burst(index int, shape float64) float64 {
	return gammaAt(l.at(l.Bursts, index), shape)
}

// gammaAt is the gamma variate of a shape and scale 1 that goes with a standard normal z:
// as likely to be exceeded as z is, worked out from the nearer tail.
func gammaAt(z, shape float64) float64 {
	if z > 0 {
		return mathext.GammaIncRegCompInv(shape, openNormalCDF(-z))
	}
	return mathext.GammaIncRegInv(shape, openNormalCDF(z))
}

// openNormalCDF is the standard normal distribution function, kept inside the open
// interval (0, 1).
func openNormalCDF(z float64) float64 {
	return min(max(0.5*math.Erfc(-z/math.Sqrt2), 0x1p-1000), 1-0x1p-53)
}

// luckNeeded is how much luck a session of the car may ask for. Laps, rests and bursts
// vary: there is luck for twice as many as a nominal session has and for eight standard
// deviations beyond, so that one that is short of luck is an error that isn't met.
func (car *Car) luckNeeded(session float64) (laps, stints, bursts int) {
	if s := car.Schedule; s != nil && s.Slow.Chance > 0 {
		stints = 3 * s.stintsWithin(session)
	}
	lap := max(car.nominalLap(), 1e-3)
	if p := car.Pattern; p != nil {
		if p.Spread > 0 {
			bursts = 2 * withSpare(session/lap, p.Spread)
		}
		return 0, stints, bursts
	}
	if car.Spread > 0 {
		laps = withSpare(session/lap, car.Spread)
	}
	return laps, stints, bursts
}

func withSpare(n, spread float64) int {
	return int(2*n+8*max(spread, 1)*math.Sqrt(n)) + 16
}

// stintsWithin counts the stints that may begin within a session: twice as many as do at
// these durations, and a few.
func (s *Schedule) stintsWithin(session float64) int {
	if len(s.Items) == 0 {
		return 1
	}
	round, stints := 0.0, 0
	for _, item := range s.Items {
		round += item.Duration
		if !item.Stop {
			stints++
		}
	}
	return 2*stints*(1+int(session/max(round, 1))) + 4
}
