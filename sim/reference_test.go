package sim_test

import (
	"fmt"
	"math"

	"sumpward/physics"
	"sumpward/sim"
)

// referenceStep is the step of the fixed-step reference, s.
const referenceStep = 1e-3

// propertySteps is the number of steps after which oil properties are computed
// anew: 10 ms at most, in which oil warms by some thousandths of a kelvin.
const propertySteps = 10

// reference integrates one realization of a car in small fixed steps: a second
// reading of the model, which shares nothing with the kernel but the functions
// of package physics and the phases as driven. It is slow and plain on purpose:
// an explicit midpoint rule, in which everything that depends on the oil is
// evaluated twice a step; events are looked for at the end of each step.
type reference struct {
	car  *sim.Car
	step float64 // s

	carry carryOver
	gas   gasPath
	watch watch

	phase      sim.Phase
	oil        oilState
	time       float64   // s
	sump       float64   // oil temperature in the sump, K
	mass       float64   // oil in hose and can, kg
	heights    []float64 // potential, of the route's points, m
	fall, rise float64   // m, weighted, down to the port
	balance    sim.Balance
	held       float64 // s, in which the drain did not run
	toppedUp   float64 // kg put back into the sump
	uncovered  bool
	err        error

	seen seen
}

// answer is what a reference run came to.
type answer struct {
	sim.Outcome
	seen  seen
	watch watch

	heldLow, heldHigh []float64 // by session: bounds of the held share, see stand
}

// runReference integrates a realization of car in steps of at most step seconds.
func runReference(car *sim.Car, seed, realization uint64, step float64) (answer, error) {
	r := &reference{car: car, step: step, sump: car.Oil.Start}
	r.carry = newCarryOver(car)
	r.gas = newGasPath(car, step)
	r.watch = newWatch(car)
	course := sim.NewCourse(car, seed, realization)
	out := answer{}
	end := car.Sessions[len(car.Sessions)-1]
	emptying := math.Inf(1)
	if car.Drain.Kind == sim.NoDrain && car.Drain.EmptyEvery > 0 {
		emptying = car.Drain.EmptyEvery
	}
	emptied := 0
	for r.time < end {
		leg := course.Next()
		phaseEnd := r.time + leg.Duration
		if leg.Emptied {
			r.empty()
		}
		if leg.ToppedUp {
			r.toppedUp = r.balance.OutOfSump()
		}
		r.enter(leg.Phase)
		for r.time < phaseEnd && r.time < end {
			next := car.Sessions[len(out.Sessions)]
			target := min(phaseEnd, next, emptying)
			r.integrate(target)
			if r.err != nil {
				return out, fmt.Errorf("at %g s: %w", r.time, r.err)
			}
			if r.time == next {
				out.Sessions = append(out.Sessions, r.session())
				out.heldLow = append(out.heldLow, r.seen.surelyHeld/r.time)
				out.heldHigh = append(out.heldHigh, r.seen.nearlyHeld/r.time)
			}
			if r.time == emptying {
				r.empty()
				emptied++
				emptying = float64(emptied+1) * car.Drain.EmptyEvery
			}
		}
	}
	r.balance.Held = r.mass
	out.Balance = r.balance
	out.Overflow, out.DrainChoked = r.watch.overflow, r.watch.choked.first
	out.OverPressure, out.OilLost = r.watch.pressed.first, r.watch.lost
	out.PeakPressure = r.watch.peakPressure
	out.seen, out.watch = r.seen, r.watch
	return out, nil
}

// enter starts a phase: less room in the can under its acceleration sends the
// excess over at once.
func (r *reference) enter(index int) {
	r.phase = r.car.Phase(index)
	r.carry.enter(index)
	r.gas.enter(r.phase, &r.carry)
	r.updateOil()
	d := &r.car.Drain
	if d.Kind != sim.NoDrain {
		r.heights = d.Route.Heights(r.phase.Acceleration(), r.heights[:0])
		r.fall, r.rise = physics.WeightedFall(r.heights, d.Hose.Bore)
	}
	if r.phase.Stopped && index < len(r.car.Lap) && d.Kind == sim.NoDrain && d.EmptyAtStops {
		r.empty()
	}
	if excess := r.mass - r.oil.full(); excess > 1e-9 {
		r.spill()
		r.seen.spills++
	}
	r.watch.fillNow(r.oil.fill(r.mass), r.time)
}

// integrate goes on to a time within the phase.
func (r *reference) integrate(target float64) {
	steps := int(math.Ceil((target-r.time)/r.step - 1e-9))
	steps = max(steps, 1)
	h := (target - r.time) / float64(steps)
	start, sump := r.time, r.sump
	for i := range steps {
		if i%propertySteps == 0 {
			r.sump = r.temperatureAfter(sump, float64(i)*h)
			r.updateOil()
		}
		r.advance(h)
		r.time = start + float64(i+1)*h
		r.watch.look(r, h)
		if r.err != nil {
			return
		}
	}
	r.time = target
	r.sump = r.temperatureAfter(sump, target-start)
}

// temperatureAfter returns the temperature of the sump, K, some seconds of the
// present phase after it was at from.
func (r *reference) temperatureAfter(from, seconds float64) float64 {
	to, tau := r.car.Oil.Settled, r.car.Oil.TimeConstant
	if r.phase.Stopped {
		to, tau = r.car.Oil.Ambient, r.car.Oil.CoolingTimeConstant
	}
	return to + (from-to)*math.Exp(-seconds/tau)
}

// advance makes one step by the midpoint rule.
func (r *reference) advance(h float64) {
	first := r.rates(r.mass)
	middle := r.mass + h/2*(first.caught-first.drained)
	middle = min(max(middle, 0), r.oil.full())
	now := r.rates(middle)

	b := &r.balance
	burnt := (1 - r.car.CarryOver.BreatherShare) / r.car.CarryOver.BreatherShare
	b.Carried += h * now.carried
	b.Burnt += h * now.carried * burnt
	b.Uncaught += h * (now.carried - now.caught)
	drained := h * now.drained
	r.mass += h*now.caught - drained
	if r.mass < 0 { // no more runs back than there is
		drained += r.mass
		r.mass = 0
	}
	b.Drained += drained
	b.Held = r.mass
	r.spill()
	r.note(now, h)
}

// spill lets go over what the can can't hold.
func (r *reference) spill() {
	full := r.oil.full()
	if r.mass <= full {
		return
	}
	r.balance.Over += r.mass - full
	r.mass = full
	r.balance.Held = full
	r.watch.goesOver(r.time)
}

// empty takes out by hand what stands in the can; a column in the hose stays.
func (r *reference) empty() {
	left := min(r.mass, r.oil.hose)
	r.balance.Emptied += r.mass - left
	r.mass = left
	r.balance.Held = left
}

// session returns where the realization stands.
func (r *reference) session() sim.SessionOutcome {
	s := sim.SessionOutcome{
		PeakFill:  r.watch.peakFill,
		ToIntake:  r.balance.Uncaught + r.balance.Over,
		HeldShare: r.held / r.time,
	}
	if r.car.Drain.Kind == sim.NoDrain {
		s.HeldShare = math.NaN()
	}
	return s
}
