package sim

import (
	"sumpward/physics"
)

// operatingPoint is what one phase means for gas and oil while the can holds
// nothing that changes the gas path. Worked out once a realization.
type operatingPoint struct {
	phase          Phase
	flow           float64 // m3/s of blow-by
	outletPressure float64 // Pa gauge
	usable         float64 // m3 under the phase's acceleration
	rate           oilRate // leaves the crankcase
	gas            gasState

	glides   bool    // pieces may be taken in one stretch, see [Kernel.glide]
	caught   float64 // kg/s that stays in the can as long as nothing bends
	carried  float64 // kg/s that leaves the crankcase with the gas
	uncaught float64 // kg/s of that, that doesn't stay in the can
	lost     float64 // kg/s that leaves the sump for good or for a while
	burnt    float64 // kg/s of that, that never comes to the gas
	against  float64 // Pa that a sealed drain must beat
	inHose   float64 // Pa per kg that stands in the hose of a sealed drain
	perPa    float64 // its inverse
	asleep   asleep

	weighs float64 // Pa in the crankcase per kg in the can: oil over the only way of the gas

	fall, rise float64 // m, weighted, to the return (below oil: to the port)

	// Below oil: potential heights of the route with the sump's surface last,
	// and of the port itself.
	heights    []float64
	portHeight float64
	descent    physics.Descent // as far as the last point before the surface
	toSurface  float64         // m down from there, nothing being out of the sump

	own   *headTable // where the drain may be open to gas
	table *headTable // its own, or that of a phase at the same load
}

// gasState is what the gas network says of one moment.
type gasState struct {
	crankcase float64 // Pa gauge
	drive     float64 // Pa, crankcase minus the can's side that the drain sees
	upDrain   float64 // m3/s up an unsealed drain
	mist      float64 // share of the mist that the element catches of what passes it
	circuits  float64 // share of the oil that comes to the can through circuits
	drain     float64 // share that comes up an unsealed drain
}

// caught is the oil in kg/s that stays in the can, as long as none is blown
// out: liquid whole, mist with the element's efficiency if it passes it. The shares
// are rounded, and add to a digit more than all of it now and then.
func (g gasState) caught(r oilRate, can *Can) float64 {
	passing := g.circuits
	if can.CollectsBefore {
		passing += g.drain
	}
	return min(r.liquid*(g.circuits+g.drain)+r.mist*passing*g.mist, r.total())
}

// operatingPoint works out the phase p of rates r, in o. Its gas paths see the same as those
// of one that is alike, if there is one: logs are full of such phases.
func (k *Kernel) operatingPoint(o *operatingPoint, p Phase, r oilRate, alike *operatingPoint) error {
	car := k.car
	a := p.Acceleration()
	o.phase = p
	if kind := car.Drain.Kind; kind == Unsealed || kind == BelowOil {
		if o.own == nil {
			o.own = &headTable{}
		}
		o.own.ready = false
	}
	o.table = o.own
	o.flow = car.flow(&o.phase)
	o.rate = r
	o.outletPressure = 0
	if !car.Gas.OutletToAir && !p.Stopped {
		o.outletPressure = car.Gas.Intake(p.Load)
	}
	o.usable = car.usableVolume(a)
	o.heights = o.heights[:0]
	if car.Drain.Kind != NoDrain {
		if k.upright && car.Drain.Kind != BelowOil {
			o.fall, o.rise = k.fall, k.rise
		} else {
			o.heights = car.Drain.Route.Heights(a, o.heights)
			o.fall, o.rise = physics.WeightedFall(o.heights, car.Drain.Hose.Bore)
		}
	}
	if car.Drain.Kind == BelowOil {
		last := len(o.heights) - 1
		o.portHeight = o.heights[last]
		if car.Drain.Surface != nil {
			o.heights[last] = physics.PotentialHeight(*car.Drain.Surface, a)
		}
		o.descent = physics.Descend(o.heights[:last], car.Drain.Hose.Bore)
		o.toSurface = o.heights[last-1] - o.heights[last]
	}
	k.setPastPressure(p)
	if alike != nil {
		o.gas, o.table = alike.gas, alike.table
	} else {
		var err error
		if o.gas, err = k.emptyCanGas(o); err != nil {
			return err
		}
	}
	k.derive(o)
	return nil
}

// derive works out what follows from a phase's gas, its rates and its heights.
func (k *Kernel) derive(o *operatingPoint) {
	car := k.car
	o.caught = o.gas.caught(o.rate, &car.Can)
	o.carried = o.rate.total()
	o.uncaught = o.carried - o.caught
	o.lost = o.carried / car.CarryOver.BreatherShare
	o.burnt = o.lost - o.carried
	k.mostLost = max(k.mostLost, o.lost)
	o.against = k.against(o.gas)
	o.glides = o.gas.crankcase <= car.Limits.Pressure && (car.Drain.Kind != BelowOil) &&
		(car.Drain.Kind != Unsealed || k.bendsFrom > 0 && car.Limits.ChokeLevel > 0)
	o.inHose = gravity * o.fall / k.scales.held
	o.perPa = k.scales.held / (gravity * o.fall)
	o.asleep = k.asleepIn(o)
	o.weighs = 0
	if k.alone && o.flow > 0 {
		o.weighs = k.inCan
	}
}

// setPastPressure tells the network what the circuits past the separator end in.
func (k *Kernel) setPastPressure(p Phase) {
	for i, air := range k.car.Gas.PastToAir {
		k.past[i] = 0
		if !air && !p.Stopped {
			k.past[i] = k.car.Gas.Intake(p.Load)
		}
	}
}

// solveGas asks the gas network for the state at a fill of the can, with
// passageHead Pa of oil per unit of fill over the gas passage and drainHead Pa
// of oil over an unsealed drain's mouth.
func (k *Kernel) solveGas(o *operatingPoint, n *physics.Network, fill, passageHead, drainHead float64) (gasState, error) {
	err := n.Solve(physics.Demand{
		Flow: o.flow, OutletPressure: o.outletPressure, PastPressure: k.past,
		Fill: fill, PassageHead: passageHead, DrainHead: drainHead,
	}, &k.flows)
	if err != nil {
		return gasState{}, err
	}
	f := &k.flows
	g := gasState{crankcase: f.Crankcase, drive: f.Crankcase - f.After, upDrain: f.Drain}
	if k.car.Can.CollectsBefore {
		g.drive = f.Crankcase - f.Before
	}
	g.circuits, g.drain = oilShares(f)
	g.mist = k.mistCaught(f.Element)
	return g, nil
}

// emptyCanGas is the state of gas while the can holds nothing that changes its path. Where
// all of it goes through the same circuits to the separator, their table gives it without
// a search.
func (k *Kernel) emptyCanGas(o *operatingPoint) (gasState, error) {
	if !k.tabled {
		return k.solveGas(o, k.network, 0, 0, 0)
	}
	n := k.network
	circuits, err := k.car.Gas.Circuits.PressureDrop(o.flow, n.Gas)
	if err != nil {
		return gasState{}, err
	}
	element := n.LossFactor * n.Element.PressureLoss(o.flow, n.Gas, 0, 0)
	outlet := n.LossFactor * n.Outlet.PressureDrop(o.flow, n.Gas)
	g := gasState{drive: n.LossFactor * circuits, circuits: 1, mist: k.mistCaught(o.flow)}
	g.crankcase = o.outletPressure + outlet + element + g.drive
	if !k.car.Can.CollectsBefore {
		g.drive += element
	}
	return g, nil
}

// oilShares splits the oil as the gas that leaves the crankcase splits: the
// share that comes to the can through circuits, and up an unsealed drain.
func oilShares(f *physics.Flows) (circuits, drain float64) {
	in := 0.0
	for _, q := range f.ToSeparator {
		in += max(q, 0)
	}
	up := max(f.Drain, 0)
	all := in + up
	for _, q := range f.PastSeparator {
		all += max(q, 0)
	}
	if all <= 0 {
		return 1, 0
	}
	return in / all, up / all
}

// leastUsable is the share of its upright volume that counts as the least a can
// of known shape holds: a number to divide by, where the oil runs off the floor.
const leastUsable = 1e-3

// usableVolume is the can's usable volume in m3 under an acceleration.
func (car *Car) usableVolume(a physics.Acceleration) float64 {
	if shape := car.Can.Shape; shape != nil {
		return max(leastUsable*car.Can.UsableVolume, shape.UsableVolume(a))
	}
	return physics.UsableVolume(physics.CanUnderAcceleration{
		Volume: car.Can.UsableVolume, CrossSection: car.Can.CrossSection,
		OutletOffset: car.Can.OutletOffset, Acceleration: a.Magnitude(),
	})
}
