package sim

import (
	"math"

	"sumpward/sim/sampling"
)

// fullThrottle is the load from which a phase counts as full throttle.
const fullThrottle = 0.99

// Course hands out the phases of a session as they are driven: the nominal
// laps with each lap's own luck, or the random bursts of a pattern. It is
// endless, and depends on nothing but (seed, realization).
type Course struct {
	car               *Car
	seed, realization uint64
	lap               uint64
	next              int
	mark              int // index in car.Laps of the next lap's start
	factor            float64
	bursts            sampling.Stream
}

var burstKey = sampling.InputKey("duty.pattern#burst")

// NewCourse starts the course of one realization.
func NewCourse(car *Car, seed, realization uint64) Course {
	c := Course{car: car, seed: seed, realization: realization, factor: 1}
	if car.Pattern != nil {
		c.bursts = sampling.NewStream(seed, burstKey, realization)
	}
	return c
}

// Next returns the index in Car.Lap of the next phase and its duration in s.
// Full-throttle phases are stretched by the lap's factor, log-normal of mean 1.
// A pattern starts with a rest.
func (c *Course) Next() (phase int, duration float64) {
	if c.car.Pattern != nil {
		return c.burst()
	}
	if c.mark < len(c.car.Laps) && c.next == c.car.Laps[c.mark] {
		c.factor = sampling.LapFactor(c.seed, c.realization, c.lap, c.car.Spread)
		c.lap++
		c.mark++
	}
	phase = c.next
	p := c.car.Lap[phase]
	duration = p.Duration
	if p.Load >= fullThrottle && !p.Stopped {
		duration *= c.factor
	}
	if c.next++; c.next == len(c.car.Lap) {
		c.next, c.mark = 0, 0
	}
	return phase, duration
}

// burst alternates rest (phase 1) and burst (phase 0).
func (c *Course) burst() (phase int, duration float64) {
	p := c.car.Pattern
	phase, mean := 1, p.Rest
	if c.next == 1 {
		phase, mean = 0, p.Burst
	}
	c.next = 1 - c.next
	if p.Spread <= 0 {
		return phase, mean
	}
	shape := 1 / (p.Spread * p.Spread)
	return phase, math.Max(mean*c.bursts.Gamma(shape)/shape, 1e-6)
}

// nominalLap returns the duration in s of one nominal lap (of one burst and
// one rest under a pattern).
func (car *Car) nominalLap() float64 {
	total := 0.0
	for _, p := range car.Lap {
		total += p.Duration
	}
	return total / float64(max(len(car.Laps), 1))
}
