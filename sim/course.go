package sim

import (
	"math"

	"sumpward/sim/sampling"
)

// fullThrottle is the load from which a phase counts as full throttle.
const fullThrottle = 0.99

// Course hands out the phases of a session as they are driven: the nominal
// laps with each lap's own luck, or the random bursts of a pattern, broken up by
// a schedule's stops. It is endless, and depends on nothing but (seed, realization).
type Course struct {
	car               *Car
	phases            []Phase // of its laps
	plain             bool    // nothing but laps
	seed, realization uint64
	lap               uint64
	next              int
	mark              int // index in car.Laps of the next lap's start
	spread            sampling.Spread
	factor            float64 // of the present lap, on the time of full throttle
	bursts            sampling.Stream
	burstIndex        int
	luck              *Luck // given; nil: drawn from (seed, realization)

	plan   stintPlan
	cutOff Leg // what is left of a phase that a stop cut
}

// Leg is one phase as it is driven.
type Leg struct {
	Phase    int     // index; see [Car.Phase]
	Duration float64 // s
	Stint    int     // that it belongs to, from 0; a stop belongs to the stint before it
	Stop     bool
	StopActions
}

var burstKey = sampling.InputKey("duty.pattern#burst")

// NewCourse starts the course of one realization.
func NewCourse(car *Car, seed, realization uint64) Course {
	c := Course{car: car, phases: car.Lap, plain: car.Schedule == nil && car.Pattern == nil, seed: seed, realization: realization, spread: sampling.SpreadOf(car.Spread), factor: 1, plan: stintPlan{stint: -1, untilSlow: Never}}
	if car.Pattern != nil {
		c.bursts = sampling.NewStream(seed, burstKey, realization)
	}
	return c
}

// Next returns the next leg. Full-throttle phases are stretched by the lap's
// factor, log-normal of mean 1. A pattern starts with a rest.
func (c *Course) Next() Leg {
	if s := c.car.Schedule; s != nil {
		return c.scheduled(s)
	}
	return c.ahead()
}

// ahead is the next phase of lap or pattern.
func (c *Course) ahead() Leg {
	if c.car.Pattern != nil {
		return c.burst()
	}
	phase, duration := c.lapPhase()
	return Leg{Phase: phase, Duration: duration}
}

// phaseAhead is what the next leg will be where that is a whole phase of the laps, in the
// stint that was begun or driven without stops. [Course.pass] leaves it behind.
func (c *Course) phaseAhead() (phase int, duration float64, whole bool) {
	if c.plain {
		phase, duration = c.lapAhead()
		return phase, duration, true
	}
	left := c.plan.leftOfLaps()
	if c.car.Pattern != nil || left <= leastLeft || c.cutOff.Duration > 0 {
		return 0, 0, false
	}
	phase, duration = c.lapAhead()
	return phase, duration, duration <= left
}

// pass leaves behind the phase of so many seconds that is ahead.
func (c *Course) pass(duration float64) {
	c.plan.left -= duration
	c.plan.untilSlow -= duration
	c.passPhase()
}

// lapPhase is the next phase of the laps, with how many seconds it lasts.
func (c *Course) lapPhase() (phase int, duration float64) {
	phase, duration = c.lapAhead()
	c.passPhase()
	return phase, duration
}

// lapAhead is what [Course.lapPhase] will be.
func (c *Course) lapAhead() (phase int, duration float64) {
	if c.mark < len(c.car.Laps) && c.next == c.car.Laps[c.mark] {
		c.startLap()
	}
	p := &c.phases[c.next]
	duration = p.Duration
	if p.Load >= fullThrottle && !p.Stopped {
		duration *= c.factor
	}
	return c.next, duration
}

func (c *Course) passPhase() {
	if c.next++; c.next == len(c.phases) {
		c.next, c.mark = 0, 0
	}
}

func (c *Course) startLap() {
	if c.luck == nil {
		c.factor = sampling.LapFactor(c.seed, c.realization, c.lap, c.spread)
	} else {
		c.factor = c.luck.lapFactor(c.lap, c.spread)
	}
	c.lap++
	c.mark++
}

// burst alternates rest (phase 1) and burst (phase 0).
func (c *Course) burst() Leg {
	p := c.car.Pattern
	leg := Leg{Phase: 1, Duration: p.Rest}
	if c.next == 1 {
		leg = Leg{Phase: 0, Duration: p.Burst}
	}
	c.next = 1 - c.next
	if p.Spread > 0 {
		shape := 1 / (p.Spread * p.Spread)
		leg.Duration = math.Max(leg.Duration*c.gamma(shape)/shape, 1e-6)
	}
	return leg
}

func (c *Course) gamma(shape float64) float64 {
	if c.luck == nil {
		return c.bursts.Gamma(shape)
	}
	c.burstIndex++
	return c.luck.burst(c.burstIndex-1, shape)
}

// stintLuck is what the present stint draws.
func (c *Course) stintLuck() sampling.Luck {
	if c.luck == nil {
		return sampling.StintLuck(c.seed, c.realization, uint64(c.plan.stint))
	}
	return c.luck.stint(c.plan.stint)
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
