package sim

import "math"

// asleep is within what oil masses a phase can be passed over in one go: behind a sealed
// drain, or without one, the oil only gathers there, at any temperature of the realization.
// Its zero value says nowhere.
type asleep struct {
	inHose float64 // kg: below it the column is lower than what it has to beat, and doesn't reach the can
	inCan  float64 // kg: below it what stands in the can doesn't beat it, nor does it bend gas path or capture

	chokeLeast, chokeMost float64 // kg between which the choke level lies
	leastWhole            float64 // kg that fill the can, at the least
}

// asleepIn works out where oil sleeps at an operating point:
//
//	in the hose: M < ρ_h V_h min(1, (R + P/(ρ_h g))/F)
//	in the can:  M < M_h + min(M_bends, A/g (P - ρ_h g (F - R)))
//
// The bounds are linear in the density of the oil, or the least of two that are, so that they
// are lowest at the lightest or at the heaviest of the realization.
func (k *Kernel) asleepIn(op *operatingPoint) (a asleep) {
	kind := k.car.Drain.Kind
	if kind != Sealed && kind != NoDrain || !op.glides || k.oilFit.thin || k.wakeful {
		return asleep{}
	}
	if kind == NoDrain {
		whole := k.oilFit.lightest * k.scales.inCan * op.usable
		return asleep{inCan: whole * k.bendsFrom, chokeLeast: Never, leastWhole: whole}
	}
	a = asleep{inHose: Never, inCan: Never, chokeLeast: Never, leastWhole: Never}
	for _, density := range [...]float64{k.oilFit.lightest, k.oilFit.heaviest} {
		column := density * k.scales.inHose * gravity // Pa/m
		held := density * k.scales.inHose * k.scales.held
		whole := density * k.scales.inCan * op.usable
		choke := held + whole*k.car.Limits.ChokeLevel
		against := column*op.rise + op.against
		switch {
		case op.fall > 0:
			a.inHose = min(a.inHose, held*min(1, against/(column*op.fall)))
		case against >= 0:
			a.inHose = min(a.inHose, held)
		default:
			return asleep{}
		}
		a.inCan = min(a.inCan, held+min(whole*k.bendsFrom, (against-column*op.fall)*k.perPa))
		a.chokeLeast, a.chokeMost = min(a.chokeLeast, choke), max(a.chokeMost, choke)
		a.leastWhole = min(a.leastWhole, whole)
	}
	return a
}

// sleep runs a phase of dt seconds in which the oil only gathers, in the hose or in the
// can, see [Kernel.asleepIn]. It reports false, with nothing done, where more may happen:
// then the phase is run piece by piece. The temperature stays behind meanwhile; it is made
// up for when it next matters.
func (k *Kernel) sleep(op *operatingPoint, dt float64) bool {
	from, until := k.mass, k.now+dt
	end := from + op.caught*dt
	inHose := end < op.asleep.inHose
	if !inHose && !(from >= k.hoseFull && end < op.asleep.inCan) || until > k.quietUntil && k.disturbed(op, dt) {
		return false
	}
	k.timers.pressed = math.NaN()
	if inHose {
		k.timers.standing = math.NaN()
	} else if !k.sleepInCan(op, end, dt) {
		return false
	}
	b := &k.out.Balance
	b.Carried += op.carried * dt
	b.Uncaught += op.uncaught * dt
	b.Burnt += op.burnt * dt
	k.heldTime += dt
	if op.gas.crankcase > k.out.PeakPressure {
		k.out.PeakPressure = op.gas.crankcase
	}
	k.mass, k.now, k.overRate = end, until, 0
	if k.near != nil { // by the oil that was last worked out: near enough
		whole := k.oil.canDensity * op.usable
		k.piece.choke = k.oil.heldMass + whole*k.car.Limits.ChokeLevel
		k.near.take(k, from, k.oil.heldMass+whole, op.gas.crankcase)
	}
	return true
}

// sleepInCan is what oil that gathers in the can, to a mass in kg, adds to sleep: whether
// it stands at the choke level, and how full the can is.
func (k *Kernel) sleepInCan(op *operatingPoint, end, dt float64) bool {
	below := end < op.asleep.chokeLeast
	if !below && k.mass < op.asleep.chokeMost {
		return false
	}
	if end-k.hoseLight > k.peakFill*op.asleep.leastWhole {
		k.fillsTo(op, end, k.now+dt)
	}
	if below {
		k.timers.standing = math.NaN()
	} else {
		k.stands(k.now + dt)
	}
	return true
}

// fillsTo notes how full the can is at a time in s at which it may be the fullest yet.
func (k *Kernel) fillsTo(op *operatingPoint, mass, at float64) {
	if at > k.temperature.until && k.temperature.hardlyMoves(at-k.now) {
		k.warm(at - k.now) // a step serves many phases as short as that
	}
	held, whole := k.oil.heldMass, k.oil.canDensity*op.usable
	if at > k.temperature.until { // it sleeps on: by the oil as it will be
		density := k.oilFit.densityAt(k.car.Oil.inHose(k.temperature.ahead(at)))
		held, whole = density*k.scales.inHose*k.scales.held, density*k.scales.inCan*op.usable
	}
	if mass-held > k.peakFill*whole {
		k.peakFill = min((mass-held)/whole, 1)
	}
}

// disturbed reports whether something other than the oil's gathering may come up within dt
// seconds: the end of a session length, the can's emptying, too much oil lost. It works out
// until when nothing does.
func (k *Kernel) disturbed(op *operatingPoint, dt float64) bool {
	until := k.now + dt
	if until >= k.car.Sessions[k.session] || until > k.nextEmpty || until > k.lostAfter && k.losesTooMuch(op, dt) {
		return true
	}
	k.quietUntil = max(until, min(math.Nextafter(k.car.Sessions[k.session], 0), k.nextEmpty, k.lostAfter))
	return false
}
