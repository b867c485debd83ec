package sim

import (
	"sumpward/physics"
)

const gravity = physics.StandardGravity

// rates is the oil balance at one oil mass where it bends.
type rates struct {
	in        float64 // kg/s caught
	out       float64 // kg/s that the drain would carry; negative: sump oil rises
	crankcase float64 // Pa gauge
}

func (r rates) net() float64 { return r.in - r.out }

// ratesAt evaluates the balance at an oil mass in kg, in a curved segment s:
// which side of the segment's ends counts where they jump.
func (k *Kernel) ratesAt(mass float64, s *segment) rates {
	p, car := &k.piece, k.car
	if k.err != nil {
		return rates{}
	}
	uncovered := car.Drain.Kind == BelowOil && s.low >= p.cover
	fill := min(p.fill(mass), 1)
	open := car.Drain.Kind == Unsealed || uncovered && !car.Drain.Valve
	gas := k.gasAt(mass, fill, open)
	r := rates{crankcase: gas.crankcase}
	r.in = gas.caught(p.op.rate, &car.Can) * physics.CaptureFactor(fill, car.Can.BlownOutFrom, car.Can.EfficiencyWhenFull)
	switch car.Drain.Kind {
	case Sealed:
		r.out = k.sealedOut(mass, p.op.fall, p.op.rise, gas)
	case Unsealed:
		r.out = k.unsealedOut(mass, p.op.fall, p.op.rise, gas)
	case BelowOil:
		r.out = k.belowOilOut(mass, gas, uncovered)
	}
	return r
}

// gasAt is the gas state at an oil mass: that of the operating point as long as
// nothing in the can or over the drain's mouth changes it.
func (k *Kernel) gasAt(mass, fill float64, open bool) gasState {
	p, car := &k.piece, k.car
	head := 0.0
	if open {
		head = gravity * max(0, mass-p.bottom) / car.Can.CrossSection
	}
	closing := fill > car.Gas.Element.ClosesFrom
	switch {
	case !closing && !open:
		return p.op.gas
	case !closing:
		return k.gasUnder(p.op, head)
	}
	network := &k.shutNetwork
	if open {
		network = &k.openNetwork
	}
	passage := k.oil.canDensity * gravity * p.op.usable / car.Can.CrossSection
	gas, err := k.solveGas(p.op, network, fill, passage, head)
	if err != nil && k.err == nil {
		k.err = err
	}
	return gas
}

// sealedOut is what a sealed drain carries, kg/s:
//
//	N = ρ_h g (F min(1, M/M_h) - R) + ρ_f g h_can - P,  N = a q + b q²,  N ≤ 0: held
func (k *Kernel) sealedOut(mass, fall, rise float64, gas gasState) float64 {
	n := k.head(mass, fall, rise) - k.against(gas)
	if n <= 0 {
		return 0
	}
	return k.oil.hoseDensity * physics.DrainFlow(k.oil.a, k.oil.b, n)
}

// head is the head of the oil in hose and can, Pa.
func (k *Kernel) head(mass, fall, rise float64) float64 {
	bottom := k.piece.bottom
	share := 1.0
	if mass < bottom {
		share = mass / bottom
	}
	return k.oil.hoseDensity*gravity*(fall*share-rise) +
		gravity*max(0, mass-bottom)/k.car.Can.CrossSection
}

// against is the pressure in Pa that a sealed drain must beat.
func (k *Kernel) against(gas gasState) float64 {
	pressure := gas.drive + k.car.Drain.Port
	if k.car.Drain.Valve {
		pressure += k.car.Drain.OpensAt
	}
	return pressure
}

// unsealedOut is what a drain without a seal carries, kg/s: the smaller of
// gravity and of counter-current flooding.
func (k *Kernel) unsealedOut(mass, fall, rise float64, gas gasState) float64 {
	n := k.head(mass, fall, rise)
	if n <= 0 {
		return 0
	}
	return k.oil.hoseDensity * min(physics.DrainFlow(k.oil.a, k.oil.b, n), k.floodingLimit(gas.upDrain))
}

// floodingLimit is how much oil can run down in m3/s while so many m3/s of gas come up.
func (k *Kernel) floodingLimit(upDrain float64) float64 {
	if !k.curveKnown {
		k.curve, k.curveKnown = k.flooding().Curve(), true
	}
	return k.curve.OilLimit(upDrain)
}

func (k *Kernel) flooding() physics.Flooding {
	return physics.Flooding{
		Bore: k.car.Drain.Hose.Bore, GasDensity: k.network.Gas.Density,
		OilDensity: k.oil.hoseDensity, OilViscosity: k.oil.viscosity,
		Constant: k.car.Drain.Flooding,
	}
}

// belowOilOut is what a return below the oil carries, kg/s. Without a valve it
// runs both ways. An uncovered port is a return above the oil without a seal;
// what stands in the hose stays booked to the hose, so that uncovering does not
// lift it into the can.
func (k *Kernel) belowOilOut(mass float64, gas gasState, uncovered bool) float64 {
	op, car := k.piece.op, k.car
	if uncovered {
		if car.Drain.Valve {
			return k.sealedOut(mass, op.fall, op.rise, gas)
		}
		return k.unsealedOut(mass, op.fall, op.rise, gas)
	}
	return k.oil.hoseDensity * k.columnFlow(k.columnHead(mass)-(gas.drive-op.gas.drive))
}
