package sim

import "math"

// Over how many kelvins of the sump's temperature the drain's coefficients are held.
// Viscosity moves about 3 % per kelvin, and the mean over a step stands for it: half a
// kelvin, or as long as the phase lasts, but no more than a kelvin.
const (
	temperatureStep = 0.5  // K
	longestStep     = 1.0  // K
	settledWithin   = 0.03 // K: from here on the oil counts as settled
	longestShare    = 0.5  // of the time constant that a step takes at the most
)

// temperatureSteps walks the sump's temperature
//
//	T(t) = T_end + (T_0 - T_end) e^(-t/τ)
//
// in steps, each represented by its mean over time. From step to step it goes by the
// series of the exponential.
type temperatureSteps struct {
	target, tau float64 // K, s
	perTau      float64 // 1/s
	excess      float64 // K over the target where it began
	began       float64 // s
	from        float64 // s, beginning of the present step
	over        float64 // K over the target there
	until       float64 // s, end of the present step
	mean        float64 // K, mean of the present step
}

// start begins at a temperature in K at a time in s, towards a target in K, with a step
// for the seconds to come.
func (s *temperatureSteps) start(now, temperature, target, tau, ahead float64) {
	s.target, s.tau, s.perTau, s.began = target, tau, 1/tau, now
	s.excess = temperature - target
	s.from, s.over = now, s.excess
	s.step(now, ahead)
}

// at returns the temperature in K at a time.
func (s *temperatureSteps) at(now float64) float64 {
	if s.tau <= 0 {
		return s.target
	}
	return s.target + s.excess*math.Exp(-(now-s.began)/s.tau)
}

// ahead returns the temperature in K at a time within this step or after it.
func (s *temperatureSteps) ahead(now float64) float64 {
	switch x := (now - s.from) * s.perTau; {
	case s.tau <= 0:
		return s.target
	case x <= longestShare:
		return s.target + s.over - s.over*x*meanDecay(x)
	default:
		return s.target + s.over*math.Exp(-x)
	}
}

// hardlyMoves reports whether some seconds are a small part of a step.
func (s *temperatureSteps) hardlyMoves(seconds float64) bool {
	return math.Abs(s.over)*seconds*s.perTau < temperatureStep/8
}

// step goes on to the step that begins at a time in s, as long as a phase of so many
// seconds if that doesn't take it too far.
func (s *temperatureSteps) step(now, ahead float64) {
	s.decay(now)
	size := math.Abs(s.over)
	if size <= settledWithin {
		s.mean, s.until = s.target, math.Inf(1)
		return
	}
	x := ahead * s.perTau
	if k := size * x; !(k >= temperatureStep && k <= longestStep && x <= longestShare) {
		x = max(min(x, longestStep/size, longestShare), min(temperatureStep/size, longestShare))
		ahead = x * s.tau
	}
	s.mean = s.target + s.over*meanDecay(x)
	s.until = now + ahead
}

// decay goes on to a time in s.
func (s *temperatureSteps) decay(now float64) {
	switch x := (now - s.from) * s.perTau; {
	case s.tau <= 0:
		s.over = 0
	case x <= longestShare:
		s.over -= s.over * x * meanDecay(x)
	default:
		s.over *= math.Exp(-x)
	}
	s.from = now
}

// meanDecay is the mean of e^-x from 0 to x, (1 - e^-x)/x, for x of 0 to 0.5: its series,
// to 1e-10. Its parts don't wait for each other, as in [polynomial.at].
func meanDecay(x float64) float64 {
	x2 := x * x
	x4 := x2 * x2
	return (1 - x*(1./2) + (1./6-x*(1./24))*x2) + (1./120-x*(1./720)+(1./5040-x*(1./40320))*x2+x4*(1./362880))*x4
}
