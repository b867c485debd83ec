package sim

import (
	"math"
	"slices"

	"sumpward/physics"
)

// What can go wrong with a car, as changes of one that is settled. Each replaces
// what it changes, so that a car copied before keeps its own.

// Pinch closes the drain hose at one place, about a bore long, to a share of its
// bore, 0 < open ≤ 1: a round throat beside what the hose loses already,
//
//	K   = (1/(C m) - 1)²,  C = 0.63 + 0.37 m³,  m = open²
//	K_1 = 64 (1/open⁴ - 1)
//
// K by Borda and Carnot with Weisbach's contraction (from memory); K_1 by Hagen and
// Poiseuille over a stretch of one bore (derived): a throat is a short hose, not
// a fitting. An open bore costs nothing; a share outside the range does nothing.
func (d *Drain) Pinch(open float64) {
	if d.Kind == NoDrain || !(open > 0 && open <= 1) {
		return
	}
	m := open * open
	loss := 1/((0.63+0.37*m*m*m)*m) - 1
	d.Hose.LossCoefficient += loss * loss
	d.Hose.LaminarCoefficient += 64 * (1/(m*m) - 1)
}

// Sag lets the drain hose hang down by a depth in m in the middle of its longest
// piece, and climb again. A climb of a bore or more seals the hose: it is
// a trap then.
func (d *Drain) Sag(depth float64) {
	r := d.Route
	if d.Kind == NoDrain || len(r.Points) < 2 || depth <= 0 {
		return
	}
	at := 0
	for i, l := range r.Lengths {
		if l > r.Lengths[at] {
			at = i
		}
	}
	a, b := r.Points[at], r.Points[at+1]
	middle := physics.Point{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2, Z: (a.Z + b.Z) / 2}
	low, crest := middle, middle
	low.Z -= depth
	half := r.Lengths[at] / 2
	d.Route = physics.Route{
		Points:  slices.Concat(r.Points[:at+1], []physics.Point{middle, low, crest}, r.Points[at+1:]),
		Lengths: slices.Concat(r.Lengths[:at], []float64{half, depth, depth, half}, r.Lengths[at+1:]),
	}
	d.relaid()
}

// Raise brings the return closer to the can's height: what the hose falls from end
// to end shrinks to a share of it, 0 ≤ left ≤ 1. Climbs stay as they are, so
// what falls shrinks alike everywhere,
//
//	left' = (left F + R)/(F + R)
//
// with F the fall from end to end and R the sum of climbs. A return that lies no
// lower than the can stays where it is.
func (d *Drain) Raise(left float64) {
	if d.Kind == NoDrain || len(d.Route.Points) < 2 {
		return
	}
	points := slices.Clone(d.Route.Points)
	last := len(points) - 1
	fall, climbs := points[0].Z-points[last].Z, 0.0
	for i := range last {
		climbs += max(0, points[i+1].Z-points[i].Z)
	}
	if fall <= 0 {
		return
	}
	share := (left*fall + climbs) / (fall + climbs)
	for i := range last {
		step := d.Route.Points[i+1].Z - d.Route.Points[i].Z
		if step < 0 {
			step *= share
		}
		points[i+1].Z = points[i].Z + step
	}
	if d.Surface != nil {
		surface := *d.Surface
		surface.Z += points[last].Z - d.Route.Points[last].Z
		d.Surface = &surface
	}
	d.Route = physics.Route{Points: points, Lengths: d.Route.Lengths}
	d.relaid()
}

// relaid takes in a new route: its length, and what of it stands full.
func (d *Drain) relaid() {
	d.Hose.Length = d.Route.Length()
	held, trap := d.Route.HeldLength(d.Hose.Bore)
	if d.Kind == Unsealed && trap {
		d.Kind = Sealed
	}
	if d.Kind != Unsealed {
		d.HeldLength = held
	}
}

// LoseSeal takes valve and seal out of a drain that ends above the oil: gas goes up
// it, flooding at Wallis's constant given. A hose with a trap stays sealed.
func (d *Drain) LoseSeal(flooding float64) {
	if d.Kind != Sealed {
		return
	}
	d.Valve, d.OpensAt = false, 0
	if _, trap := d.Route.HeldLength(d.Hose.Bore); trap {
		return
	}
	d.Kind, d.HeldLength, d.Flooding = Unsealed, 0, flooding
}

// StickValve lets a valve in the drain open only from a pressure in Pa on, if that
// is more than it takes already.
func (d *Drain) StickValve(opensAt float64) {
	if d.Kind == NoDrain || !d.Valve {
		return
	}
	d.OpensAt = max(d.OpensAt, opensAt)
}

// Plug shuts the drain, and puts a can in its place that holds whatever comes: what
// an engine throws over is caught and stays.
func (car *Car) Plug() {
	car.Drain = Drain{Kind: NoDrain, EmptyEvery: Never, Route: car.Drain.Route}
	car.Can.Shape = nil
	car.Can.UsableVolume, car.Can.BlownOutFrom, car.Can.EfficiencyWhenFull = plugged, 1, 1
	car.Can.OutletOffset = 0
	car.Gas.Element.ClosesFrom, car.Gas.Element.ClosedAt = 1, 0
}

// plugged is the volume in m3 that holds whatever comes in a session.
const plugged = 0.05

// LoseCircuit shuts the widest breather circuit to the separator. It reports
// whether there was one to lose and another way for the gas is left.
func (car *Car) LoseCircuit() bool {
	g := &car.Gas
	ways := len(g.ToSeparator) + len(g.Past)
	if car.Drain.Kind == Unsealed {
		ways++
	}
	if len(g.ToSeparator) == 0 || ways < 2 {
		return false
	}
	widest := 0
	for i, h := range g.ToSeparator {
		if h.Bore > g.ToSeparator[widest].Bore {
			widest = i
		}
	}
	g.ToSeparator = slices.Delete(slices.Clone(g.ToSeparator), widest, widest+1)
	return true
}

// AddBlowBy raises blow-by by flows in m3/s at full and at closed throttle, and
// the liquid oil that gas drives over by the law of flow,
//
//	m' = m [(1-κ) r + κ],  r = mean(Q'^n)/mean(Q^n)
//
// each mean over the nominal lap; what cornering drives over (κ m) stays (derived).
// Mist follows the gas by itself.
func (car *Car) AddBlowBy(full, closed float64) {
	c, g := &car.CarryOver, &car.Gas
	mean, corner := car.flowAndCornerMeans()
	before := mean * math.Pow(g.BlowByFull, c.FlowExponent)
	g.BlowByFull += full
	g.BlowByClosed = min(g.BlowByClosed+closed, g.BlowByFull)
	if !(before > 0) || c.Liquid <= 0 {
		return
	}
	now, _ := car.flowAndCornerMeans()
	after := now * math.Pow(g.BlowByFull, c.FlowExponent)
	share := c.CornerShare
	if corner == 0 {
		share = 0
	}
	liquid := c.Liquid
	if c.AtFull {
		liquid *= mean
	}
	risen := liquid * ((1-share)*after/before + share)
	c.CornerShare = share * liquid / risen
	c.Liquid = risen
	if c.AtFull {
		c.Liquid /= now
	}
}

// CarryMore multiplies the liquid oil that comes over by a factor; what rings and
// guides burn stays as it was.
func (car *Car) CarryMore(factor float64) {
	c := &car.CarryOver
	liquid, mist := c.Liquid, c.Mist
	flow, _ := car.flowAndCornerMeans()
	gas, _ := car.meanBlowBy()
	if c.AtFull {
		liquid *= flow
	}
	before := liquid + mist*gas
	c.Liquid *= factor
	if after := before + (factor-1)*liquid; after > 0 && before > 0 {
		burnt := before * (1 - c.BreatherShare) / c.BreatherShare
		c.BreatherShare = after / (after + burnt)
	}
}

// SeparateWorse lowers the share of the mist that is caught to a share of it,
// 0 ≤ left ≤ 1. Of a separator that is known by its droplets and stages the share
// at full throttle stands for all flows then.
func (car *Car) SeparateWorse(left float64) {
	can := &car.Can
	if can.Separation != nil {
		can.Efficiency = can.Separation.Efficiency(physics.BlowByConditions(car.Gas.BlowByFull, car.Gas.Temperature,
			physics.OilDensity(car.Oil.Density15, car.Gas.Temperature)))
		can.Separation = nil
	}
	can.Efficiency *= left
}
