package sim

import "math"

// Over how many kelvins of the sump's temperature the drain's coefficients are held.
// Viscosity moves about 3 % per kelvin, and the mean over a step stands for it: half a
// kelvin, or as long as the phase lasts, but no more than a kelvin.
const (
	temperatureStep = 0.5  // K
	longestStep     = 1.0  // K
	settledWithin   = 0.03 // K: from here on the oil counts as settled
)

// temperatureSteps walks the sump's temperature
//
//	T(t) = T_end + (T_0 - T_end) e^(-t/τ)
//
// in steps, each represented by its mean over time.
type temperatureSteps struct {
	target, tau float64 // K, s
	excess      float64 // K over the target where it began
	began       float64 // s
	until       float64 // s, end of the present step
	mean        float64 // K, mean of the present step
}

// start begins at a temperature in K at a time in s, towards a target in K, with a step
// for the seconds to come.
func (s *temperatureSteps) start(now, temperature, target, tau, ahead float64) {
	s.target, s.tau, s.began = target, tau, now
	s.excess = temperature - target
	s.step(now, ahead)
}

// at returns the temperature in K at a time.
func (s *temperatureSteps) at(now float64) float64 { return s.target + s.over(now) }

// over is the excess over the target at a time, K.
func (s *temperatureSteps) over(now float64) float64 {
	if s.tau <= 0 {
		return 0
	}
	return s.excess * math.Exp(-(now-s.began)/s.tau)
}

// step goes on to the step that begins at a time in s, as long as a phase of so many
// seconds if that doesn't take it too far.
func (s *temperatureSteps) step(now, ahead float64) {
	over := s.over(now)
	if math.Abs(over) <= settledWithin {
		s.mean, s.until = s.target, math.Inf(1)
		return
	}
	least := s.tau * min(temperatureStep/math.Abs(over), 0.5)
	most := s.tau * min(longestStep/math.Abs(over), 0.5)
	duration := max(least, min(ahead, most))
	s.mean = s.target + over*meanDecay(duration/s.tau)
	s.until = now + duration
}

// meanDecay is the mean of e^-x from 0 to x, (1 - e^-x)/x, for x of 0 to 0.5: its series,
// to 1e-10.
func meanDecay(x float64) float64 {
	return 1 - x*(1./2-x*(1./6-x*(1./24-x*(1./120-x*(1./720-x*(1./5040-x*(1./40320-x/362880)))))))
}
