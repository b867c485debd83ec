package sim

import (
	"fmt"

	"sumpward/physics"
	"sumpward/scenarios"
)

// This file and the other binding files are the one place where what a user
// writes (package scenarios) and what is computed (package physics) meet.

// roadLoad is the load of a road mix outside full throttle; prior, no published source.
const roadLoad = 0.2

// leastChokeTime is the shortest time at the choke level that counts, s.
const leastChokeTime = 120

// coldAir is the density in kg/m3 at which an element's loss counts as measured
// where its density isn't given: air at 20 °C and 101,325 Pa.
const coldAir = 1.20

// binding settles the numbers of a scenario, each by its value in v.
type binding struct {
	s    *scenarios.Scenario
	kind DrainKind
	trap bool // a climb in the route seals the drain
	v    []float64

	grade [2]float64 // m2/s of a stated grade at 40 and 100 °C

	// What a car points to; each binding has its own.
	circuits *physics.Parallel // to the separator, where none of them is uncertain
	canShape physics.CanShape
	inlet    physics.Point
	stages   physics.Separation
	circuit  circuitBinding
	plan     Schedule
}

// copy returns a binding for another goroutine.
func (b *binding) copy() binding {
	c := *b
	c.v = append([]float64(nil), b.v...)
	c.stages = physics.Separation{}
	c.circuit = b.circuit.copy()
	c.plan = Schedule{}
	return c
}

// of is the settled value of a quantity; 0 for none.
func (b *binding) of(q *scenarios.Quantity) float64 {
	if q == nil {
		return 0
	}
	return b.v[q.ID]
}

// or is the settled value of a quantity, or a value where there is none.
func (b *binding) or(q *scenarios.Quantity, otherwise float64) float64 {
	if q == nil {
		return otherwise
	}
	return b.v[q.ID]
}

// newBinding decides what doesn't change from realization to realization.
func newBinding(s *scenarios.Scenario) (*binding, error) {
	b := &binding{s: s, v: make([]float64, len(s.Inputs))}
	for i, q := range s.Inputs {
		b.v[i] = q.Nominal()
	}
	if l := jointly(s); l != nil {
		b.v = append(b.v, l.Which.Nominal())
	}
	if s.Oil.Grade != "" {
		var err error
		if b.grade[0], b.grade[1], err = physics.GradeViscosity(s.Oil.Grade); err != nil {
			return nil, fmt.Errorf("oil.grade: %w", err)
		}
	}
	if err := b.layCircuit(); err != nil {
		return nil, err
	}
	b.tableCircuits()
	d := &s.Drain
	switch {
	case d.Return == scenarios.EmptiedByHand:
		b.kind = NoDrain
		return b, nil
	case d.Return == scenarios.BelowOil:
		b.kind = BelowOil
	case d.Seal != scenarios.NoSeal:
		b.kind = Sealed
	default:
		b.kind = Unsealed
	}
	var route physics.Route
	b.route(&route)
	_, b.trap = route.HeldLength(b.of(d.Bore))
	if b.kind == Unsealed && b.trap {
		b.kind = Sealed
	}
	return b, nil
}

// car settles everything in c, reusing its memory.
func (b *binding) car(c *Car) error {
	if err := b.oil(&c.Oil); err != nil {
		return err
	}
	b.gas(&c.Gas)
	if err := b.can(c); err != nil {
		return err
	}
	b.drain(&c.Drain)
	if err := b.losses(&c.Drain); err != nil {
		return err
	}
	if err := b.duty(c); err != nil {
		return err
	}
	b.limits(c)
	b.carryOver(c)
	c.Sessions = b.s.Sessions
	return nil
}

func (b *binding) gas(g *GasPath) {
	e := &b.s.Engine
	g.BlowByFull, g.BlowByClosed = b.blowBy(e)
	g.Temperature = b.of(e.GasTemperature)
	g.IntakeDepression = b.of(e.IntakeDepression)
	g.Pulsation = b.of(e.Pulsation)
	g.Circuits = b.circuits
	g.ToSeparator, g.Past, g.PastToAir = g.ToSeparator[:0], g.Past[:0], g.PastToAir[:0]
	for i := range b.s.Breathers {
		br := &b.s.Breathers[i]
		if br.To == scenarios.ToSeparator {
			g.ToSeparator = append(g.ToSeparator, b.hose(br.Pipe))
			continue
		}
		g.Past = append(g.Past, b.hose(br.Pipe))
		g.PastToAir = append(g.PastToAir, br.To == scenarios.ToAir)
	}
	sep := &b.s.Separator
	g.Element = physics.Element{
		Loss: b.of(sep.Loss), Flow: b.of(sep.LossAt),
		Density:    b.or(sep.LossDensity, coldAir),
		ClosesFrom: b.of(sep.GasPathClosesFrom),
	}
	g.Outlet = b.hose(sep.Outlet.Pipe)
	g.OutletToAir = sep.Outlet.To == scenarios.ToAir
}

// tableCircuits works out the loss of the circuits to the separator once for all
// realizations, where it is the same in all.
func (b *binding) tableCircuits() {
	var hoses []physics.Hose
	for i := range b.s.Breathers {
		br := &b.s.Breathers[i]
		if br.To != scenarios.ToSeparator {
			return // how the gas parts is found for each operating point
		}
		for _, q := range []*scenarios.Quantity{br.Pipe.Bore, br.Pipe.Length, br.Pipe.LossCoefficient} {
			if q != nil && !q.IsExact() {
				return
			}
		}
		hoses = append(hoses, b.hose(br.Pipe))
	}
	b.circuits, _ = physics.NewParallel(hoses) // none: the network says what is wrong
}

func (b *binding) hose(p scenarios.Pipe) physics.Hose {
	return physics.Hose{Bore: b.of(p.Bore), Length: b.of(p.Length), LossCoefficient: b.of(p.LossCoefficient)}
}

// losses is an error where a way for the gas loses no pressure at all: how much of it goes
// that way can't be told.
func (b *binding) losses(d *Drain) error {
	const none = "%s: gas has a way without any loss of pressure (length and loss coefficient are 0): give it a length or a loss coefficient"
	for i := range b.s.Breathers {
		if p := &b.s.Breathers[i].Pipe; b.of(p.Length) == 0 && b.of(p.LossCoefficient) == 0 {
			return fmt.Errorf(none, "breathers."+b.s.Breathers[i].Name)
		}
	}
	if (d.Kind == Unsealed || d.Kind == BelowOil) && d.Hose.Length == 0 && d.Hose.LossCoefficient == 0 {
		return fmt.Errorf(none, "drain")
	}
	return nil
}

// blowBy is what was stated, or the law of displacement, boost and condition:
//
//	Q_1 = wear · law · V_d · p_man[bar absolute] · seals
func (b *binding) blowBy(e *scenarios.Engine) (full, closed float64) {
	full = b.of(e.BlowByFull)
	if e.BlowByFull == nil {
		manifold := (physics.StandardPressure + b.of(e.Boost)) / 1e5
		full = b.of(e.Wear) * b.of(e.Law) * b.of(e.Displacement) * manifold * b.or(e.ShaftSeals, 1)
	}
	switch {
	case e.BlowByClosed != nil:
		closed = b.of(e.BlowByClosed)
	case e.ClosedPerVolume != nil:
		closed = b.of(e.ClosedPerVolume) * b.of(e.Displacement)
	default:
		closed = b.of(e.ClosedShare) * full
	}
	return full, min(closed, full)
}

func (b *binding) oil(o *Oil) error {
	s := &b.s.Oil
	at40, at100 := b.of(s.At40), b.of(s.At100)
	if s.Grade != "" {
		at40, at100 = b.grade[0], b.grade[1]
	}
	law, err := physics.ViscosityThrough(celsius+40, at40, celsius+100, at100)
	if err != nil {
		return fmt.Errorf("oil.viscosity: %w", err)
	}
	*o = Oil{
		Viscosity: law, Density15: b.of(s.Density),
		Aeration: b.of(s.Aeration), HoseAeration: b.of(s.HoseAeration),
		Start: b.of(s.Start), Settled: b.of(s.Settled), Ambient: b.of(s.Ambient),
		TimeConstant: b.of(s.TimeConstant), CoolingTimeConstant: b.of(s.CoolingTimeConstant),
		HoseWarmth: b.of(s.HoseWarmth),
	}
	return nil
}

const celsius = 273.15 // K at 0 °C

func (b *binding) drain(d *Drain) {
	s := &b.s.Drain
	route := d.Route
	*d = Drain{Kind: b.kind, EmptyEvery: Never}
	if b.kind == NoDrain {
		d.EmptyAtStops, d.EmptyNth = s.Emptied.AtStops, s.Emptied.Nth
		d.EmptyEvery = b.or(s.Emptied.Every, Never)
		return
	}
	d.Valve = s.Seal == scenarios.ValveSeal
	d.OpensAt = b.of(s.ValveOpensAt)
	d.Port = b.of(s.PortPressure)
	if d.Route = route; len(route.Points) == 0 || !b.routeIsExact() {
		b.route(&d.Route)
	}
	loss := b.of(s.LossCoefficient)
	d.Hose = physics.DrainHose{
		Bore: b.of(s.Bore), Length: d.Route.Length(), LossCoefficient: loss,
		LaminarCoefficient: physics.DefaultLaminarCoefficient(loss),
	}
	if b.kind != Unsealed {
		d.HeldLength, _ = d.Route.HeldLength(s.Bore.Nominal())
	}
	d.Flooding = b.of(s.FloodingConstant)
	if s.Sump != nil {
		d.SumpArea = b.of(s.Sump.Area)
		if p := s.Sump.OilSurface; p != nil {
			d.Surface = &physics.Point{X: b.of(p.X), Y: b.of(p.Y), Z: b.of(p.Z)}
		}
	}
}

// route settles where the drain runs, points, or a fall with a length and perhaps a dip,
// in the memory of the one before.
func (b *binding) route(r *physics.Route) {
	s := &b.s.Drain
	if s.Route != nil {
		r.LayPoints(len(s.Route), func(i int) physics.Point { return b.point(&s.Route[i]) })
		return
	}
	fall := b.of(s.Fall)
	length := b.or(s.Length, 1.3*fall+0.2)
	if dip := b.of(s.Dip); dip > 0 {
		r.LayDipped(fall, dip, max(length, fall+2*dip))
		return
	}
	r.LayStraight(fall, max(length, fall))
}

func (b *binding) routeIsExact() bool {
	s := &b.s.Drain
	for _, p := range s.Route {
		if !p.X.IsExact() || !p.Y.IsExact() || !p.Z.IsExact() {
			return false
		}
	}
	return s.Fall.IsExact() && s.Length.IsExact() && s.Dip.IsExact()
}

func (b *binding) limits(c *Car) {
	l := &b.s.Limits
	c.Limits = Limits{
		Pressure: b.of(l.CrankcasePressure), OilLost: b.of(l.OilLost),
		ChokeLevel: b.of(l.ChokeLevel), ChokeTime: leastChokeTime,
	}
	if c.Pattern == nil {
		c.Limits.ChokeTime = max(leastChokeTime, c.nominalLap())
	}
}

// carryOver turns oil used over a stated stretch into a rate on these laps:
//
//	m_L T = ρ_15 V b - c_mist ∫Q dt,  not below 0
func (b *binding) carryOver(c *Car) {
	s, out := &b.s.CarryOver, &c.CarryOver
	*out = CarryOver{
		Mist: b.of(s.Mist), FlowExponent: b.of(s.FlowExponent),
		CornerShare: b.of(s.CornerShare), BreatherShare: 1,
	}
	if s.FullThrottle != nil {
		out.AtFull, out.Liquid = true, b.of(s.FullThrottle)
		return
	}
	through, lost := b.of(s.ThroughBreathers), b.or(s.SeparatorLost, 1)
	out.BreatherShare = through / (through + (1-through)*lost)
	carried := c.Oil.Density15 * b.of(s.OilUsed) * through / lost
	if s.Road != nil {
		b.fromRoad(c, carried)
		return
	}
	gas, running := c.meanBlowBy()
	t := b.of(s.During) * running
	if t > 0 {
		out.Liquid = max(0, carried/t-out.Mist*gas)
	}
}

// fromRoad reads the rate off a road interval, which has no corners that drive
// oil over: the law of flow carries it to these laps, and the laps' own share
// of cornering is kept.
func (b *binding) fromRoad(c *Car, carried float64) {
	r, out := b.s.CarryOver.Road, &c.CarryOver
	t := b.of(r.Distance) / b.of(r.MeanSpeed)
	full := b.of(r.FullThrottle)
	part := c.Gas.BlowBy(roadLoad)
	gas := full*max(c.Gas.BlowByFull, 0) + (1-full)*max(part, 0)
	shape := full
	if part > 0 {
		shape += (1 - full) * c.flowShape(part)
	}
	if shape > 0 && t > 0 {
		out.Liquid = max(0, carried/t-out.Mist*gas) * c.FlowMean() / shape
	}
}

// meanBlowBy is the mean flow out of the crankcase over the nominal lap in m3/s,
// engine running, and the share of the lap in which it runs.
func (car *Car) meanBlowBy() (flow, running float64) {
	total, on, gas := 0.0, 0.0, 0.0
	for i := range car.Lap {
		p := &car.Lap[i]
		total += p.Duration
		if !p.Stopped {
			on += p.Duration
			gas += p.Duration * max(car.flow(p), 0)
		}
	}
	if on == 0 {
		return 0, 0
	}
	return gas / on, on / total
}
