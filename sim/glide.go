package sim

import (
	"math"

	"sumpward/physics"
)

// glide runs a piece of dt seconds in one stretch where that is all there is to it: a can
// without a drain or with a sealed one, in which the oil stays within one regime, and no
// event but a can that stands is met. It reports false, with nothing done, where more is
// to be looked at: then [Kernel.layOut] and [Kernel.advance] take the piece. The two
// agree; of the pieces of a session nearly all glide.
func (k *Kernel) glide(op *operatingPoint, dt float64) bool {
	if !op.glides {
		return false
	}
	oil, p, b := &k.oil, &k.piece, &k.out.Balance
	mass := k.mass
	whole := oil.canDensity * op.usable
	bottom := 0.0
	if k.car.Drain.Kind == Sealed {
		bottom = oil.heldMass
	}
	choke := bottom + whole*k.car.Limits.ChokeLevel
	low, high := 0.0, bottom+whole*k.bendsFrom
	if mass >= high {
		return false
	}
	end, drained, heldFor := mass+op.caught*dt, 0.0, dt
	if k.car.Drain.Kind == Sealed {
		column := oil.hoseDensity * gravity
		var n0, n1 float64
		if mass < bottom {
			high = bottom
			n0, n1 = -column*op.rise-op.against, column*op.fall/bottom
		} else {
			low = bottom
			n1 = k.inCan
			n0 = column*(op.fall-op.rise) - op.against - n1*bottom
		}
		if mass < choke {
			high = min(high, choke)
		} else {
			low = max(low, choke)
		}
		if n := n0 + n1*mass; n > 0 {
			low = max(low, -n0/n1)
			var ok bool
			if end, drained, heldFor, ok = k.drains(n, n0, n1, op.caught, dt); !ok {
				return false
			}
		} else if n1 > 0 {
			high = min(high, -n0/n1)
		}
	}
	if end >= high || end <= low && end <= mass || end == mass {
		return false
	}
	left := k.lostLimit + k.topped - b.OutOfSump() - mass
	if k.out.OilLost == Never && op.lost*dt-min(drained, 0) > left {
		return false
	}
	carried := op.carried * dt
	b.Carried += carried
	b.Drained += drained
	b.Uncaught += carried - op.caught*dt
	b.Burnt += op.lost*dt - carried
	k.heldTime += heldFor
	p.bottom, p.choke = bottom, choke
	k.watchStanding(min(mass, end), k.now+dt)
	k.timers.pressed = math.NaN()
	k.out.PeakPressure = max(k.out.PeakPressure, op.gas.crankcase)
	if top := max(mass, end); top > bottom {
		k.peakFill = max(k.peakFill, min((top-bottom)/whole, 1))
	}
	k.mass, k.overRate = end, 0
	k.now += dt
	if k.near != nil {
		k.near.take(k, mass, bottom+whole, op.gas.crankcase)
	}
	return true
}

// drains is how much oil is in hose and can and how much has run back after dt seconds of
// a drain under the head N = n0 + n1 M, now n, with so many kg/s coming in, and for how
// long it was held. It is not ok where the drain starts or ends to run meanwhile.
func (k *Kernel) drains(n, n0, n1, in, dt float64) (mass, drained, heldFor float64, ok bool) {
	oil := &k.oil
	st := &k.stretch
	st.n0, st.n1, st.density, st.a, st.b = n0, n1, oil.hoseDensity, oil.a, oil.b
	st.mass, st.in, st.upward = k.mass, in, false
	q := physics.DrainFlow(oil.a, oil.b, n)
	inflow := in / st.density
	st.q0, st.y0 = q, q-inflow
	st.c = st.a + 2*st.b*inflow
	st.s = st.density * n1
	if st.y0 == 0 {
		return 0, 0, 0, false
	}
	mass, drained = st.quadraticAt(dt)
	last := (n0 + n1*mass) / st.a // above what the drain carries
	if heldRate < st.density*min(q, last) {
		flow := q
		if st.y0 > 0 {
			flow = st.flowAt(mass)
		}
		if st.density*flow > heldRate {
			return mass, drained, 0, true
		}
	}
	return 0, 0, 0, false
}
