package sim

import (
	"math"

	"sumpward/physics"
)

// glide runs a piece of dt seconds in one stretch where that is all there is to it: the
// oil stays within one regime with a closed form, and no event but a can that stands is
// met. It reports false, with nothing done, where more is to be looked at: then
// [Kernel.layOut] and [Kernel.advance] take the piece. The two agree; of the pieces of a
// session nearly all glide.
func (k *Kernel) glide(op *operatingPoint, dt float64) bool {
	if !op.glides {
		return false
	}
	oil, p, mass := &k.oil, &k.piece, k.mass
	g := gliding{in: op.caught, dt: dt, end: mass + op.caught*dt, heldFor: dt}
	whole := oil.canDensity * op.usable
	bottom := 0.0
	if k.car.Drain.Kind == Sealed {
		bottom = oil.heldMass
	}
	choke := bottom + whole*k.car.Limits.ChokeLevel
	g.high = bottom + whole*k.bendsFrom
	if mass >= g.high {
		return false
	}
	if k.car.Drain.Kind != NoDrain {
		if mass < choke {
			g.high = min(g.high, choke)
		} else {
			g.low = choke
		}
	}
	ok := true
	switch k.car.Drain.Kind {
	case Sealed:
		ok = k.glideSealed(op, &g)
	case Unsealed:
		ok = k.glideUnsealed(op, &g)
	}
	if !ok || g.end >= g.high || g.end <= g.low && g.end <= mass && !g.rests || g.end == mass && !g.rests {
		return false
	}
	pressure := op.gas.crankcase + op.weighs*max(mass, g.end)
	if pressure > k.car.Limits.Pressure || !k.pass(op, dt, g.drained, g.heldFor) {
		return false
	}
	k.out.PeakPressure = max(k.out.PeakPressure, pressure)
	p.bottom, p.choke = bottom, choke
	k.watchStanding(min(mass, g.end), k.now+dt)
	if top := max(mass, g.end) - bottom; top > k.peakFill*whole {
		k.peakFill = min(top/whole, 1)
	}
	k.mass, k.overRate = g.end, 0
	k.now += dt
	if k.near != nil {
		k.near.take(k, mass, bottom+whole, op.gas.crankcase+op.weighs*min(mass, g.end))
	}
	return true
}

// gliding is where the oil of one piece goes while its regime holds.
type gliding struct {
	in, dt    float64 // kg/s that stay in the can, s
	low, high float64 // kg, the ends of the regime
	end       float64 // kg in hose and can after the piece
	drained   float64 // kg that ran back
	heldFor   float64 // s that the drain did not run
	rests     bool    // an empty can stays empty
}

// rest leaves an empty can empty where its drain takes all that comes in, of so many kg/s
// that it can.
func (g *gliding) rest(takes float64) bool {
	if g.rests = g.in <= takes && takes > heldRate; g.rests {
		g.end, g.drained, g.heldFor = 0, g.in*g.dt, 0
	}
	return g.rests
}

// glideSealed is a column that builds up in the hose, or stands in the can.
func (k *Kernel) glideSealed(op *operatingPoint, g *gliding) bool {
	oil, bottom := &k.oil, k.oil.heldMass
	column := oil.hoseDensity * gravity
	var n0, n1, perPa float64
	if k.mass < bottom {
		g.high = min(g.high, bottom)
		n0, n1, perPa = -column*op.rise-op.against, op.inHose, op.perPa
	} else {
		g.low = max(g.low, bottom)
		n1, perPa = k.inCan, k.perPa
		n0 = column*(op.fall-op.rise) - op.against - n1*bottom
	}
	if n := n0 + n1*k.mass; n > 0 {
		g.low = max(g.low, -n0*perPa)
		return n1 >= 0 && k.drains(n0, n1, g)
	}
	if n1 > 0 {
		g.high = min(g.high, -n0*perPa)
	}
	return true
}

// glideUnsealed is a drain that keeps an empty can empty, or one that is the only way of
// the gas: that runs, or is flooded.
func (k *Kernel) glideUnsealed(op *operatingPoint, g *gliding) bool {
	if !k.alone {
		return k.mass == 0 && g.rest(k.unsealedOut(0, op.fall, op.rise, op.gas))
	}
	f := k.fallsAlone(op)
	if k.mass == 0 {
		takes := f.limit
		if f.floods > 0 {
			takes = k.oil.hoseDensity * max(0, physics.DrainFlow(k.oil.a, k.oil.b, f.n0))
		}
		if g.rest(takes) {
			return true
		}
	}
	if k.mass < f.floods {
		g.high = min(g.high, f.floods)
		g.low = max(g.low, -f.n0*k.perPa)
		return f.n0+k.inCan*k.mass > 0 && k.drains(f.n0, k.inCan, g)
	}
	g.low = max(g.low, f.floods)
	g.end -= f.limit * g.dt
	g.drained = f.limit * g.dt
	if f.limit > heldRate {
		g.heldFor = 0
	}
	return true
}

// pass books what an operating point does to oil and gas for dt seconds, of which the
// drain was held for some, while so many kg ran back. It reports false, with nothing done,
// where more oil may be lost than is allowed: the moment is to be found.
func (k *Kernel) pass(op *operatingPoint, dt, drained, heldFor float64) bool {
	b := &k.out.Balance
	if k.now+dt > k.lostAfter && k.losesTooMuch(op, dt) {
		return false
	}
	b.Carried += op.carried * dt
	b.Drained += drained
	b.Uncaught += op.uncaught * dt
	b.Burnt += op.burnt * dt
	k.heldTime += heldFor
	k.timers.pressed = math.NaN()
	return true
}

// losesTooMuch reports whether more oil may be lost in dt seconds than is allowed, and
// works out until when that can't be anyway.
func (k *Kernel) losesTooMuch(op *operatingPoint, dt float64) bool {
	if k.out.OilLost != Never {
		k.lostAfter = Never
		return false
	}
	if k.mostLost == 0 {
		k.lostAfter = Never
		return false
	}
	left := k.lostLimit + k.topped - k.out.Balance.OutOfSump() - k.mass
	k.lostAfter = k.now + left/k.mostLost
	return op.lost*dt > left
}

// drains is a drain that runs under the head N = n0 + n1 M. It is not ok where the drain
// starts or ends to run meanwhile.
func (k *Kernel) drains(n0, n1 float64, g *gliding) bool {
	oil := &k.oil
	st := &k.stretch
	st.n0, st.n1, st.density, st.a, st.b = n0, n1, oil.hoseDensity, oil.a, oil.b
	st.mass, st.in, st.upward = k.mass, g.in, false
	st.startQuadratic()
	if st.y0 == 0 || st.density*st.q0 <= heldRate {
		return false
	}
	var flow float64
	g.end, g.drained, flow = st.quadraticAt(g.dt)
	g.heldFor = 0
	// the flow goes one way, to what comes in: it is least at the end where it falls
	return st.y0 < 0 || st.density*flow > heldRate
}
