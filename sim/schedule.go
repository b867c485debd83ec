package sim

import (
	"math"

	"sumpward/sim/sampling"
)

// Schedule is what a session is made of beside the laps: stints and stops, one
// after another and over again, and slow laps.
type Schedule struct {
	Items    []ScheduleItem // none: one stint without an end
	EmptyNth int            // the can is emptied by hand at every so many stops; 0: where an item says so
	Slow     SlowLaps
}

// ScheduleItem is a stint or a stop.
type ScheduleItem struct {
	Duration float64 // s
	Stop     bool
	StopActions
	EngineRuns bool // through the stop, at closed throttle
}

// StopActions is what is done by hand as a stop begins.
type StopActions struct {
	Emptied  bool // the can
	ToppedUp bool // the oil, to where it stood at the start
}

func (a StopActions) any() bool { return a.Emptied || a.ToppedUp }

// SlowLaps are driven behind a safety car, once in a stint at the most: without
// accelerations, at a constant load.
type SlowLaps struct {
	Chance float64 // that a stint has them, 0..1
	Mean   float64 // s
	Spread float64 // coefficient of variation of their time, log-normal
	Load   float64 // 0..1
}

// Phases that a schedule adds to those of the lap, by their index beyond it.
const (
	engineStopped = iota
	idling
	slowLaps
	addedPhases
)

// phases returns how many phases the car's operating points are worked out for.
func (car *Car) phases() int {
	if car.Schedule == nil {
		return len(car.Lap)
	}
	return len(car.Lap) + addedPhases
}

// Phase returns a phase of a [Leg]: one of the lap, or one that the schedule adds.
func (car *Car) Phase(index int) Phase {
	switch index - len(car.Lap) {
	case engineStopped:
		return Phase{Stopped: true}
	case idling:
		return Phase{}
	case slowLaps:
		return Phase{Load: car.Schedule.Slow.Load}
	}
	return car.Lap[index]
}

// stintPlan walks through a schedule.
type stintPlan struct {
	item  int // that comes next
	stint int // present one, from 0; -1 before the first
	stops int

	left      float64 // s of the present stint
	untilSlow float64 // s of it until slow laps begin; Never
	slow      float64 // s of slow laps left
}

// leftOfLaps is how many seconds of laps at speed are left until the stint ends or slow laps
// begin.
func (p *stintPlan) leftOfLaps() float64 {
	if p.slow > 0 {
		return min(p.left, p.untilSlow)
	}
	return p.left
}

// drawSlow decides on the slow laps of the stint that begins: whether there are
// any, when they begin, and how long they take.
func (c *Course) drawSlow(s SlowLaps, duration float64) {
	p := &c.plan
	p.untilSlow, p.slow = Never, 0
	if s.Chance <= 0 {
		return
	}
	luck := c.stintLuck()
	if luck.Chance >= s.Chance {
		return
	}
	p.untilSlow = luck.Place * duration
	p.slow = s.Mean * sampling.SpreadOf(s.Spread).Factor(luck.Normal)
}

// leastLeft is what may be left of a stint that has ended, s: rounding.
const leastLeft = 1e-9

// scheduled returns the next leg of a schedule. A stint goes on with the lap
// where the one before it broke off.
func (c *Course) scheduled(s *Schedule) Leg {
	p := &c.plan
	for p.left <= leastLeft {
		item := s.Items[p.item]
		p.item = (p.item + 1) % len(s.Items)
		if item.Stop {
			return c.stop(item)
		}
		p.stint++
		p.left = item.Duration
		length := item.Duration
		if math.IsInf(length, 1) {
			length = c.car.longestSession()
		}
		c.drawSlow(s.Slow, length)
	}
	if p.untilSlow <= 0 && p.slow > 0 {
		d := min(p.slow, p.left)
		p.slow -= d
		p.left -= d
		return Leg{Phase: len(c.car.Lap) + slowLaps, Duration: d, Stint: p.stint}
	}
	leg := c.resume()
	if cut := p.leftOfLaps(); leg.Duration > cut {
		c.cutOff = Leg{Phase: leg.Phase, Duration: leg.Duration - cut}
		leg.Duration = cut
	}
	p.left -= leg.Duration
	p.untilSlow -= leg.Duration
	leg.Stint = p.stint
	return leg
}

// stop is the leg of a stop.
func (c *Course) stop(item ScheduleItem) Leg {
	p, s := &c.plan, c.car.Schedule
	p.stops++
	leg := Leg{Phase: len(c.car.Lap) + engineStopped, Duration: item.Duration, Stint: max(p.stint, 0), StopActions: item.StopActions, Stop: true}
	if item.EngineRuns {
		leg.Phase = len(c.car.Lap) + idling
	}
	if s.EmptyNth > 0 && p.stops%s.EmptyNth == 0 {
		leg.Emptied = true
	}
	return leg
}

// resume goes on with the phase that was cut off, or with the next one.
func (c *Course) resume() Leg {
	if leg := c.cutOff; leg.Duration > 0 {
		c.cutOff = Leg{}
		return leg
	}
	return c.ahead()
}

// leastStint is the shortest stint that counts as one, s.
const leastStint = 1e-3

// begin takes in what a leg changes besides the phase: the stint it belongs to,
// and what is done by hand.
func (k *Kernel) begin(leg *Leg) {
	if k.car.Schedule == nil {
		return
	}
	switch {
	case leg.Stop:
		k.endStint()
	case leg.Stint == len(k.out.Stints) && k.now < k.car.longestSession()-leastStint:
		k.endStint()
		t := k.temperature.at(k.now)
		k.out.Stints = append(k.out.Stints, StintOutcome{Start: k.now, End: -1, StartTemperature: t})
	}
	if leg.Emptied {
		k.emptyCan()
	}
	if leg.ToppedUp {
		k.topUp()
	}
}

// endStint notes where the present stint ends, if it has not ended.
func (k *Kernel) endStint() {
	if n := len(k.out.Stints); n > 0 && k.out.Stints[n-1].End < 0 {
		s := &k.out.Stints[n-1]
		s.End, s.EndTemperature = k.now, k.temperature.at(k.now)
	}
}
