package sim

import "math"

// asleepBelow is the oil mass in kg below which, at an operating point, the oil only
// gathers in the hose of a sealed drain: at any temperature of the realization its column
// is lower than what it has to beat, and doesn't reach the can. 0 where that isn't so, or
// where more has to be looked at.
//
//	M < ρ_h V_h min(1, (R + P/(ρ_h g))/F)
func (k *Kernel) asleepBelow(op *operatingPoint) float64 {
	if k.car.Drain.Kind != Sealed || !op.glides || k.oilFit.thin {
		return 0
	}
	least := Never
	for _, density := range [...]float64{k.oilFit.lightest * k.scales.inHose, k.oilFit.heaviest * k.scales.inHose} {
		held := density * k.scales.held
		head := op.rise + op.against/(density*gravity) // m that the column must rise
		switch {
		case op.fall > 0:
			least = min(least, held*min(1, head/op.fall))
		case head >= 0:
			least = min(least, held)
		default:
			return 0
		}
	}
	return max(least, 0)
}

// sleep runs a phase of dt seconds in which the oil only gathers, see
// [Kernel.asleepBelow]. It reports false, with nothing done, where more may happen: then
// the phase is run piece by piece. The temperature stays behind meanwhile; it is made up
// for when it next matters.
func (k *Kernel) sleep(op *operatingPoint, dt float64) bool {
	from, until := k.mass, k.now+dt
	end := from + op.caught*dt
	if !(end < op.asleep) || until > k.quietUntil && k.disturbed(op, dt) {
		return false
	}
	b := &k.out.Balance
	b.Carried += op.carried * dt
	b.Uncaught += op.uncaught * dt
	b.Burnt += op.burnt * dt
	k.heldTime += dt
	k.out.PeakPressure = max(k.out.PeakPressure, op.gas.crankcase)
	k.timers.standing, k.timers.pressed = math.NaN(), math.NaN()
	k.mass, k.now, k.overRate = end, until, 0
	if k.near != nil { // by the oil that was last worked out: near enough
		whole := k.oil.canDensity * op.usable
		k.piece.choke = k.oil.heldMass + whole*k.car.Limits.ChokeLevel
		k.near.take(k, from, k.oil.heldMass+whole, op.gas.crankcase)
	}
	return true
}

// disturbed reports whether something other than the oil's gathering may come up within dt
// seconds: the end of a session length, the can's emptying, too much oil lost, someone who
// follows every piece. It works out until when nothing does.
func (k *Kernel) disturbed(op *operatingPoint, dt float64) bool {
	until := k.now + dt
	if k.trace != nil || until >= k.car.Sessions[k.session] || until > k.nextEmpty || until > k.lostAfter && k.losesTooMuch(op, dt) {
		return true
	}
	k.quietUntil = max(until, min(math.Nextafter(k.car.Sessions[k.session], 0), k.nextEmpty, k.lostAfter))
	return false
}
