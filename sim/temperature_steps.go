package sim

import "math"

// Largest step of oil temperature over which the drain's coefficients are held:
// viscosity moves about 3 % per kelvin, so that a step is within 0.8 % of its
// mean. Unsplit phases cost 0.1 % of peak fill and 0.2 s of first times.
const (
	temperatureStep = 0.5  // K
	settledWithin   = 0.03 // K: from here on the oil counts as settled
)

// temperatureSteps walks the sump's temperature
//
//	T(t) = T_end + (T_0 - T_end) e^(-t/τ)
//
// in steps of about half a kelvin, each represented by its mean over time.
type temperatureSteps struct {
	target, tau float64 // K, s
	excess      float64 // K over the target at the step's start
	began       float64 // s
	until       float64 // s, end of the step
	mean        float64 // K, mean of the step
}

// start begins at a temperature in K at a time in s, towards a target in K.
func (s *temperatureSteps) start(now, temperature, target, tau float64) {
	s.target, s.tau = target, tau
	s.until = now
	s.excess = temperature - target
	s.step(now, s.excess)
}

// at returns the temperature in K at a time within the current step.
func (s *temperatureSteps) at(now float64) float64 {
	return s.target + s.excess*math.Exp(-(now-s.began)/s.tau)
}

// next goes on to the step that follows.
func (s *temperatureSteps) next() { s.step(s.until, s.nextExcess()) }

func (s *temperatureSteps) step(now, excess float64) {
	s.began, s.excess = now, excess
	if math.Abs(excess) <= settledWithin || s.tau <= 0 {
		s.mean, s.until = s.target, math.Inf(1)
		return
	}
	end := s.nextExcess()
	ratio := math.Log(excess / end)
	s.mean = s.target + (excess-end)/ratio
	s.until = now + s.tau*ratio
}

// nextExcess is the excess at the end of the step: a step less, or half of
// the last two.
func (s *temperatureSteps) nextExcess() float64 {
	if math.Abs(s.excess) > 2*temperatureStep {
		return s.excess - math.Copysign(temperatureStep, s.excess)
	}
	return s.excess / 2
}
