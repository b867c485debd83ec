package sim_test

import (
	"sumpward/physics"
	"sumpward/sim"
)

// rates is what flows at one moment.
type rates struct {
	carried, caught, drained float64 // kg/s
	held                     stand   // the drain does not run
	flooded                  bool    // gas lets down less than gravity would
	open                     bool    // gas may go through the drain
	uncovered                bool    // the port is above the sump's oil
}

// stand is whether a drain stands, in the strict sense of the model, and in two
// others. Without inflow a drain comes to rest asymptotically: it never stands,
// in the strict sense, though nothing measurable runs. An answer between surely
// and nearly is right.
type stand struct {
	strictly bool
	surely   bool // by more than standsPressure
	nearly   bool // or runs at less than standsFlow
}

const (
	standsPressure = 1.0  // Pa, a tenth of a millimetre of oil
	standsFlow     = 2e-6 // kg/s
)

// way is how the drain runs at one moment.
type way struct {
	fall, rise float64 // m, weighted
	open       bool
	uncovered  bool
}

// rates returns what flows at a mass of oil in hose and can.
func (r *reference) rates(mass float64) rates {
	w := r.way(mass)
	if err := r.gas.solve(&r.oil, mass, w.open); err != nil {
		r.err = err
	}
	now := rates{open: w.open, uncovered: w.uncovered}
	r.catch(&now, mass)
	switch {
	case r.car.Drain.Kind == sim.NoDrain:
	case w.open:
		r.drainAgainstGas(&now, w, mass)
	default:
		r.drainUnderColumn(&now, w, mass)
	}
	return now
}

// catch splits what leaves the crankcase.
func (r *reference) catch(now *rates, mass float64) {
	can := &r.car.Can
	circuits, drain := r.gas.shares()
	now.carried = r.carry.liquid + r.carry.mist
	liquid := r.carry.liquid * (circuits + drain)
	mist := r.carry.mist * circuits * r.gas.efficiency
	if can.CollectsBefore { // what comes up the drain passes the element as well
		mist += r.carry.mist * drain * r.gas.efficiency
	}
	kept := 1.0
	if x := min(1, r.oil.fill(mass)); can.BlownOutFrom < 1 && x > can.BlownOutFrom {
		kept = 1 - (1-can.EfficiencyWhenFull)*(x-can.BlownOutFrom)/(1-can.BlownOutFrom)
	}
	now.caught = kept * (liquid + mist)
}

// way returns how the drain runs: to the port, or to the surface of the sump's
// oil, which sinks with the oil that is out of the sump.
func (r *reference) way(mass float64) way {
	d := &r.car.Drain
	if d.Kind == sim.NoDrain {
		return way{}
	}
	if d.Kind != sim.BelowOil {
		return way{fall: r.fall, rise: r.rise, open: d.Kind == sim.Unsealed}
	}
	out := r.balance
	out.Held = mass
	sunk := (out.OutOfSump() - r.toppedUp) / (r.oil.sumpDensity * d.SumpArea)
	last := len(r.heights) - 1
	port := r.heights[last]
	surface := port
	if d.Surface != nil {
		surface = physics.PotentialHeight(*d.Surface, r.phase.Acceleration())
	}
	surface -= sunk
	if d.Surface != nil && port > surface {
		return way{fall: r.fall, rise: r.rise, open: !d.Valve, uncovered: true}
	}
	r.heights[last] = surface
	w := way{}
	w.fall, w.rise = physics.WeightedFall(r.heights, d.Hose.Bore)
	r.heights[last] = port
	return w
}

// drainUnderColumn runs a drain that gas can't go through: the column in the
// hose, and what stands in the can, against the pressure across it.
func (r *reference) drainUnderColumn(now *rates, w way, mass float64) {
	d, o := &r.car.Drain, &r.oil
	against := r.gas.acrossDrain() + d.Port
	if d.Valve {
		against += d.OpensAt
	}
	head := o.gravity(w, mass) - against
	now.held.strictly, now.held.surely = head <= 0, head <= -standsPressure
	if head <= 0 && (d.Valve || d.Kind == sim.Sealed) {
		now.held.nearly = true
		return
	}
	now.drained = o.hoseDensity * physics.DrainFlow(o.laminar, o.quadratic, head)
	now.held.nearly = now.drained <= standsFlow
}

// drainAgainstGas runs a drain that gas goes up while oil comes down.
func (r *reference) drainAgainstGas(now *rates, w way, mass float64) {
	d, o := &r.car.Drain, &r.oil
	head := o.gravity(w, mass)
	byGravity := physics.DrainFlow(o.laminar, o.quadratic, max(0, head))
	flooding := physics.Flooding{
		Bore:         d.Hose.Bore,
		GasDensity:   r.gas.open.Gas.Density,
		OilDensity:   o.hoseDensity,
		OilViscosity: o.viscosity,
		Constant:     d.Flooding,
	}
	limit := flooding.OilLimit(r.gas.flows.Drain)
	now.drained = o.hoseDensity * min(byGravity, limit)
	now.flooded = limit < byGravity && mass > 0
	now.held = stand{
		strictly: now.drained <= 0,
		surely:   head <= -standsPressure || r.gas.flows.Drain > 1.01*flooding.GasLimit(),
		nearly:   now.drained <= standsFlow,
	}
}

// gravity returns what drives oil down, Pa: the column, as far as it stands in
// the hose, what rises take of it, and the oil that stands in the can.
func (s *oilState) gravity(w way, mass float64) float64 {
	standing := 1.0
	if mass < s.hose {
		standing = mass / s.hose
	}
	return s.hoseDensity*physics.StandardGravity*(w.fall*standing-w.rise) + s.head(mass)
}
