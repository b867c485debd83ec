package sim

import "math"

// pressureTime is how long the crankcase must stand above its limit, s.
const pressureTime = 1.0

// timers run across phases.
type timers struct {
	standing float64 // since when the can has stood at the choke level, s; NaN when it does not
	pressed  float64 // since when the crankcase has been above its limit, s; NaN when it isn't
}

// book takes in the finished stretch, which ended at a mass in kg after having
// drained so many kg: balance, timers, first times, peaks.
func (k *Kernel) book(mass, drained float64) {
	st, p, b := &k.stretch, &k.piece, &k.out.Balance
	dt := st.duration
	end := k.now + dt
	carried := p.op.rate.total() * dt
	caught := st.in * dt
	if st.kind == exponential {
		_, caught, _ = st.exponentialAt(dt)
		caught = min(caught, carried) // but for rounding, no more than there is
	}
	over := st.over * dt
	k.findOilLost(mass, drained)
	b.Carried += carried
	b.Drained += drained
	b.Uncaught += carried - caught
	b.Over += over
	b.Burnt += p.lost*dt - carried
	if st.over > 0 {
		k.happens(Overflow, k.now)
	}
	k.heldTime += st.heldFor(mass)
	k.watchStanding(min(st.mass, mass), end)
	k.watchPressure(mass, end)
	k.peakFill = max(k.peakFill, min(p.fill(mass), 1), min(p.fill(st.mass), 1))
	k.mass, k.now, k.overRate = mass, end, st.over
	if k.near != nil {
		last := st.crankcase + st.crankcaseSlope*(mass-st.mass)
		k.near.take(k, st.mass, p.full, min(st.crankcase, last))
	}
}

// happens notes an event at a time in s: when it first did, and that it did in
// the present stint.
func (k *Kernel) happens(e Event, at float64) {
	o := k.out
	switch e {
	case Overflow:
		o.Overflow = min(o.Overflow, at)
	case DrainChoked:
		o.DrainChoked = min(o.DrainChoked, at)
	case OverPressure:
		o.OverPressure = min(o.OverPressure, at)
	}
	if n := len(o.Stints); n > 0 {
		o.Stints[n-1].happened[e] = true
	}
}

// watchStanding runs the timer of a drain that backs up.
func (k *Kernel) watchStanding(lowest, end float64) {
	if k.car.Drain.Kind == NoDrain {
		return
	}
	t := &k.timers
	if lowest < k.piece.choke {
		t.standing = math.NaN()
		return
	}
	k.stands(end)
}

// stands notes that the can stands at the choke level from now to a time in s.
func (k *Kernel) stands(end float64) {
	t := &k.timers
	if math.IsNaN(t.standing) {
		t.standing = k.now
		k.firstStanding = min(k.firstStanding, k.now)
	}
	if at := t.standing + k.car.Limits.ChokeTime; at <= end {
		k.happens(DrainChoked, max(at, k.now))
	}
}

// watchPressure runs the timer of a crankcase above its limit; the pressure is
// linear in the mass over a stretch.
func (k *Kernel) watchPressure(mass, end float64) {
	st, t, limit := &k.stretch, &k.timers, k.car.Limits.Pressure
	last := st.crankcase + st.crankcaseSlope*(mass-st.mass)
	k.out.PeakPressure = max(k.out.PeakPressure, st.crankcase, last)
	if st.crankcase <= limit && last <= limit {
		t.pressed = math.NaN()
		return
	}
	from, to := k.now, end
	if st.crankcase <= limit || last <= limit { // crosses within
		at := k.now + st.timeTo(st.mass+(limit-st.crankcase)/st.crankcaseSlope)
		if at = min(at, end); last > limit {
			t.pressed, from = math.NaN(), at
		} else {
			to = at
		}
	}
	if math.IsNaN(t.pressed) {
		t.pressed = from
	}
	if at := t.pressed + pressureTime; at <= to {
		k.happens(OverPressure, max(at, from))
	}
	if last <= limit {
		t.pressed = math.NaN()
	}
}

// findOilLost looks for the moment in the stretch at which more oil is missing
// from the sump than allowed: what was lost, less what has run back. The
// stretch ends at a mass in kg, having drained so many kg.
func (k *Kernel) findOilLost(mass, drained float64) {
	st, lost := &k.stretch, k.piece.lost
	left := k.lostLimit + k.topped - k.out.Balance.OutOfSump() - k.mass
	if k.out.OilLost < Never || lost*st.duration-min(drained, 0) <= left {
		return
	}
	excess := func(t float64) float64 {
		_, d := st.at(t)
		return lost*t - d - left
	}
	end := st.duration
	if lost*end-drained <= left {
		// it may have been more within, where the drain picks up
		if st.drainRate(st.mass) >= lost || st.drainRate(mass) <= lost {
			return
		}
		end = bisect(func(t float64) float64 { m, _ := st.at(t); return st.drainRate(m) - lost }, 0, end)
		if excess(end) <= 0 {
			return
		}
	}
	k.out.OilLost = k.now
	if left > 0 {
		k.out.OilLost += bisect(excess, 0, end)
	}
}

// bisect finds where f changes from ≤ 0 to > 0 between a and b.
func bisect(f func(float64) float64, a, b float64) float64 {
	for range 60 {
		m := (a + b) / 2
		if f(m) > 0 {
			b = m
		} else {
			a = m
		}
	}
	return b
}
