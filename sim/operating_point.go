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

	fall, rise float64 // m, weighted, to the return (below oil: to the port)

	// Below oil: potential heights of the route with the sump's surface last,
	// and of the port itself.
	heights    []float64
	portHeight float64

	table headTable
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
// out: liquid whole, mist with the element's efficiency if it passes it.
func (g gasState) caught(r oilRate, can *Can) float64 {
	passing := g.circuits
	if can.CollectsBefore {
		passing += g.drain
	}
	return r.liquid*(g.circuits+g.drain) + r.mist*passing*g.mist
}

// operatingPoint works out the phase p of rates r, in o.
func (k *Kernel) operatingPoint(o *operatingPoint, p Phase, r oilRate) error {
	car := k.car
	a := p.Acceleration()
	o.phase = p
	o.table.ready = false
	o.flow = car.flow(p)
	o.rate = r
	o.outletPressure = 0
	if !car.Gas.OutletToAir && !p.Stopped {
		o.outletPressure = car.Gas.Intake(p.Load)
	}
	o.usable = car.usableVolume(a)
	o.heights = o.heights[:0]
	if car.Drain.Kind != NoDrain {
		o.heights = car.Drain.Route.Heights(a, o.heights)
		o.fall, o.rise = physics.WeightedFall(o.heights, car.Drain.Hose.Bore)
	}
	if car.Drain.Kind == BelowOil {
		last := len(o.heights) - 1
		o.portHeight = o.heights[last]
		if car.Drain.Surface != nil {
			o.heights[last] = physics.PotentialHeight(*car.Drain.Surface, a)
		}
	}
	k.setPastPressure(p)
	var err error
	if known := k.sameGas(p); known != nil && known != o {
		o.gas = known.gas
		return nil
	}
	o.gas, err = k.solveGas(o, k.network, 0, 0, 0)
	return err
}

// sameGas returns the first phase of the lap at open or at closed throttle, if p
// is at the same: its gas paths see the same. Logs are full of such phases.
func (k *Kernel) sameGas(p Phase) *operatingPoint {
	if p.Stopped || p.Load != 0 && p.Load != 1 {
		return nil
	}
	i := k.firstAt[int(p.Load)]
	if i < 0 {
		return nil
	}
	return &k.points[i]
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
