package sim_test

import (
	"math"
	"math/rand/v2"

	"sumpward/physics"
	"sumpward/sim"
)

// carKinds are the ways back that random cars take in turn.
var carKinds = []struct {
	name  string
	drain func(d *drawing)
}{
	{"no drain", (*drawing).noDrain},
	{"valve", (*drawing).valve},
	{"valve, low point", (*drawing).valveLowPoint},
	{"valve, route in space", (*drawing).valveInSpace},
	{"trap", (*drawing).trap},
	{"valve, closing path", (*drawing).valveClosingPath},
	{"unsealed alone", func(d *drawing) { d.unsealed(0) }},
	{"unsealed, one circuit", func(d *drawing) { d.unsealed(1) }},
	{"unsealed, two circuits", func(d *drawing) { d.unsealed(2) }},
	{"below oil", (*drawing).belowOil},
	{"below oil, port tilts out", (*drawing).belowOilTilting},
	{"below oil, port falls dry", (*drawing).belowOilSinking},
	{"below oil, valve", (*drawing).belowOilValve},
}

// drawing draws one random car. The ranges are wider than those of real cars
// (mist, above all), so that every part of the model moves the outcome by more
// than the tolerances.
type drawing struct {
	*rand.Rand
	car *sim.Car
	end float64 // s, longest session
}

// randomCar returns the car of a seed, and the name of its kind.
func randomCar(seed uint64) (*sim.Car, string) {
	kind := carKinds[seed%uint64(len(carKinds))]
	d := &drawing{Rand: rand.New(rand.NewPCG(seed, 0x5eed)), car: &sim.Car{}}
	d.drawDuty()
	d.drawGas()
	d.drawCan()
	d.drawOil()
	d.drawCarryOver()
	d.drawLimits()
	kind.drain(d)
	d.drawPressureLimit()
	d.turnLap()
	d.Rand = rand.New(rand.NewPCG(seed, 0x5ced))
	d.drawSchedule()
	d.drawShape()
	d.drawSeparation()
	return d.car, kind.name
}

func (d *drawing) between(low, high float64) float64 { return low + (high-low)*d.Float64() }
func (d *drawing) chance(p float64) bool             { return d.Float64() < p }
func (d *drawing) signed(low, high float64) float64 {
	if d.chance(0.5) {
		return -d.between(low, high)
	}
	return d.between(low, high)
}

// drawSchedule gives some cars stints and stops.
func (d *drawing) drawSchedule() {
	if !d.chance(0.25) {
		return
	}
	s := &sim.Schedule{EmptyNth: d.IntN(3)}
	for range 1 + d.IntN(3) {
		s.Items = append(s.Items,
			sim.ScheduleItem{Duration: d.between(0.1, 0.5) * d.end},
			sim.ScheduleItem{
				Duration: d.between(0, 0.15) * d.end, Stop: true, EngineRuns: d.chance(0.3),
				StopActions: sim.StopActions{Emptied: d.chance(0.3), ToppedUp: d.chance(0.3)},
			})
	}
	if d.chance(0.5) {
		s.Slow = sim.SlowLaps{Chance: 0.7, Mean: d.between(0.05, 0.2) * d.end, Spread: 0.5, Load: d.between(0, 0.4)}
	}
	d.car.Schedule = s
}

// drawShape gives some cans a shape with tubes off the axis, some an inner can.
func (d *drawing) drawShape() {
	if !d.chance(0.25) {
		return
	}
	c := &d.car.Can
	radius := math.Sqrt(c.CrossSection / math.Pi)
	high := c.UsableVolume / c.CrossSection
	around, off := d.between(0, 2*math.Pi), d.between(0, 0.95)*radius
	c.Shape = &physics.CanShape{
		Diameter: 2 * radius, Height: high * d.between(1.02, 1.5),
		Outlet: physics.Point{X: off * math.Cos(around), Y: off * math.Sin(around), Z: high},
	}
	c.UsableVolume = c.Shape.UsableVolume(physics.Acceleration{})
	if d.chance(0.4) {
		c.Shape.InnerDiameter, c.Shape.InnerRim = d.between(0.4, 0.8)*2*radius, d.between(0.5, 0.9)*high
		from, at := c.Shape.PathCloses()
		d.car.Gas.Element.ClosesFrom, d.car.Gas.Element.ClosedAt = from/c.UsableVolume, at/c.UsableVolume
	}
}

// drawSeparation computes some efficiencies from droplets.
func (d *drawing) drawSeparation() {
	if !d.chance(0.12) {
		return
	}
	d.car.Can.Separation = &physics.Separation{
		Sizes: physics.DropletSizes{
			Fine:        physics.DropletMode{Median: d.between(0.7e-6, 2.5e-6), Spread: d.between(1.6, 2.5)},
			Coarse:      physics.DropletMode{Median: d.between(20e-6, 500e-6), Spread: 2},
			CoarseShare: d.between(0, 0.3),
		},
		Stages: []physics.Stage{
			physics.SettlingCan{Area: d.car.Can.CrossSection},
			physics.RoundImpactor{Width: d.between(2e-3, 4e-3), Jets: d.between(6, 20), Sharpness: d.between(1.5, 4)},
		},
	}
}

const litresPerMinute = 1e-3 / 60

func (d *drawing) drawGas() {
	g := &d.car.Gas
	g.BlowByFull = d.between(60, 160) * litresPerMinute
	g.BlowByClosed = d.between(2, 25) * litresPerMinute
	if d.chance(0.2) {
		g.BlowByClosed = -d.between(0, 10) * litresPerMinute
	}
	g.Temperature = d.between(323, 393)
	if d.chance(0.75) {
		g.IntakeDepression = d.between(500, 5000)
	}
	g.Pulsation = d.between(0, 0.6)
	d.circuits(1 + d.IntN(2))
	if d.chance(0.25) {
		g.Past = []physics.Hose{{Bore: d.between(7e-3, 12e-3), Length: d.between(0.3, 0.9), LossCoefficient: d.between(1, 6)}}
		g.PastToAir = []bool{d.chance(0.3)}
	}
	g.Element = physics.Element{Loss: d.between(300, 2000), Flow: 110 * litresPerMinute, Density: 1.2, ClosesFrom: 1}
	if d.chance(0.2) {
		g.Element.ClosesFrom = d.between(0.3, 0.9)
	}
	g.Outlet = physics.Hose{Bore: d.between(16e-3, 22e-3), Length: d.between(0.3, 1), LossCoefficient: d.between(1, 4)}
	g.OutletToAir = d.chance(0.2)
}

// circuits sets the number of circuits to the separator.
func (d *drawing) circuits(n int) {
	d.car.Gas.ToSeparator = nil
	for range n {
		d.car.Gas.ToSeparator = append(d.car.Gas.ToSeparator, physics.Hose{
			Bore: d.between(13e-3, 20e-3), Length: d.between(0.3, 0.9), LossCoefficient: d.between(1, 5),
		})
	}
}

func (d *drawing) drawCan() {
	c := &d.car.Can
	c.UsableVolume = d.between(0.15, 0.8) * 1e-3
	radius := d.between(30e-3, 50e-3)
	c.CrossSection = math.Pi * radius * radius
	if d.chance(0.4) {
		c.OutletOffset = d.between(0.2, 1) * radius
	}
	c.Efficiency = d.between(0.1, 0.9)
	c.CollectsBefore = d.chance(0.3)
	c.BlownOutFrom, c.EfficiencyWhenFull = 1, 1
	if d.chance(0.35) {
		c.BlownOutFrom, c.EfficiencyWhenFull = d.between(0.4, 0.95), d.between(0.2, 0.9)
	}
}

func (d *drawing) drawOil() {
	grades := [][2]float64{{66, 10.8}, {98, 14.5}, {140, 18.8}, {180, 24}} // mm2/s at 40 and 100 °C
	grade := grades[d.IntN(len(grades))]
	law, err := physics.ViscosityThrough(313.15, grade[0]*1e-6, 373.15, grade[1]*1e-6)
	if err != nil {
		panic(err)
	}
	d.car.Oil = sim.Oil{
		Viscosity:           law,
		Density15:           d.between(850, 885),
		Aeration:            d.between(0.05, 0.35),
		HoseAeration:        d.between(0.1, 0.7),
		Start:               d.between(60, 100) + 273.15,
		Settled:             d.between(100, 130) + 273.15,
		Ambient:             d.between(-5, 40) + 273.15,
		TimeConstant:        d.between(180, 480),
		CoolingTimeConstant: d.between(600, 1800),
		HoseWarmth:          d.between(0.5, 1),
	}
	if d.chance(0.25) {
		d.car.Oil.Start = d.between(5, 30) + 273.15
	}
}

// drawCarryOver needs the can and the session.
func (d *drawing) drawCarryOver() {
	c := &d.car.CarryOver
	c.Mist = d.between(0.2, 3) * 1e-3
	if d.chance(0.5) {
		c.Mist = d.between(5, 60) * 1e-3
	}
	fillTime := min(d.end, d.between(20, 250)) // s
	c.Liquid = d.car.Can.UsableVolume * 700 / fillTime
	c.AtFull = d.chance(0.4)
	if c.AtFull {
		c.Liquid *= d.between(1, 2.5)
	}
	c.FlowExponent = d.between(1, 3)
	if d.chance(0.6) {
		c.CornerShare = d.between(0.1, 0.9)
	}
	c.BreatherShare = 1
	if d.chance(0.6) {
		c.BreatherShare = d.between(0.6, 1)
	}
}

// drawLimits needs the can; the limit of pressure comes last.
func (d *drawing) drawLimits() {
	d.car.Limits = sim.Limits{
		ChokeLevel: 0.1,
		ChokeTime:  d.between(15, 120),
		OilLost:    d.car.Can.UsableVolume * d.between(0.1, 2),
	}
	if d.chance(0.4) {
		d.car.Limits.ChokeLevel = d.between(0.05, 0.4)
	}
}

// drawPressureLimit puts the limit near what the crankcase comes to at full
// throttle.
func (d *drawing) drawPressureLimit() {
	crankcase, _ := d.fullThrottle()
	d.car.Limits.Pressure = crankcase + d.signed(0, 0.2)*math.Abs(crankcase) + d.between(0, 300)
	if d.chance(0.5) {
		d.car.Limits.Pressure = crankcase - d.between(10, 300)
	}
}

// fullThrottle returns the crankcase pressure and that across the drain, Pa, at
// full throttle with an empty can and the drain shut for gas.
func (d *drawing) fullThrottle() (crankcase, across float64) {
	p := newGasPath(d.car, referenceStep)
	p.enter(sim.Phase{Load: 1}, &carryOver{flow: d.car.Gas.BlowByFull})
	open := len(d.car.Gas.ToSeparator) == 0
	if err := p.solve(&oilState{canDensity: 700, usable: 1, area: 1}, 0, open); err != nil {
		panic(err)
	}
	return p.flows.Crankcase, p.acrossDrain()
}

func (d *drawing) drawDuty() {
	d.end = 120 + 400*math.Pow(d.Float64(), 2)
	d.car.Sessions = []float64{d.between(0.3, 0.8) * d.end, d.end}
	if d.chance(0.7) {
		d.car.Spread = d.between(0.05, 0.25)
	}
	d.car.Laps = []int{0}
	if d.chance(0.15) {
		d.drawPattern()
		return
	}
	d.car.Lap = d.lap()
	if d.chance(0.3) {
		d.car.Laps = append(d.car.Laps, len(d.car.Lap))
		d.car.Lap = append(d.car.Lap, d.lap()...)
	}
}

func (d *drawing) drawPattern() {
	p := &sim.Pattern{Burst: d.between(3, 15), Rest: d.between(3, 20), Spread: d.between(0.3, 1.2)}
	d.car.Pattern = p
	d.car.Lap = []sim.Phase{{Duration: p.Burst, Load: 1}, {Duration: p.Rest, Load: d.between(0, 0.5)}}
	if d.chance(0.5) {
		d.car.Lap[1].Left = d.signed(0.5, 1.2) * physics.StandardGravity
	}
}

// lap draws one lap: straights, braking and corners, and now and then a stop.
func (d *drawing) lap() []sim.Phase {
	const g = physics.StandardGravity
	lap := []sim.Phase{{Duration: d.between(3, 15), Load: 1, Forward: d.between(0, 0.5) * g}}
	for range 2 + d.IntN(5) {
		p := sim.Phase{Duration: d.between(0.5, 6)}
		switch d.IntN(5) {
		case 0:
			p.Load, p.Forward = 1, d.between(0, 0.5)*g
		case 1:
			p.Forward = -d.between(0.3, 1.2) * g
		default:
			p.Load, p.Left, p.Forward = d.between(0, 1), d.signed(0.4, 1.3)*g, d.between(-0.4, 0.4)*g
		}
		lap = append(lap, p)
	}
	if d.chance(0.2) {
		lap = append(lap, sim.Phase{Duration: d.between(4, 30), Stopped: true})
	}
	return lap
}

// turnLap lets a single lap start anywhere, so that a corner may lie across its
// end.
func (d *drawing) turnLap() {
	if d.car.Pattern != nil || len(d.car.Laps) > 1 || d.chance(0.5) {
		return
	}
	lap := d.car.Lap
	start := d.IntN(len(lap))
	d.car.Lap = append(lap[start:len(lap):len(lap)], lap[:start]...)
}

// hose draws the drain hose; the route is still to come.
func (d *drawing) hose(kind sim.DrainKind, low, high float64) *sim.Drain {
	r := &d.car.Drain
	r.Kind = kind
	k := d.between(0.5, 6)
	r.Hose = physics.DrainHose{Bore: d.between(low, high), LossCoefficient: k, LaminarCoefficient: d.between(200, 800) * k}
	r.Port = d.between(-100, 100)
	r.Flooding = d.between(0.55, 1)
	return r
}

// lay sets the route; what the hose holds follows from it.
func (d *drawing) lay(route physics.Route) {
	r := &d.car.Drain
	r.Route = route
	r.Hose.Length = route.Length()
	if r.Kind == sim.Sealed || r.Kind == sim.BelowOil {
		r.HeldLength, _ = route.HeldLength(r.Hose.Bore)
	}
}

// column returns the height of the column that full throttle asks for, m, times
// a random factor.
func (d *drawing) column(low, high float64) float64 {
	_, across := d.fullThrottle()
	across += d.car.Drain.OpensAt
	return max(0.02, physics.ColumnHeight(across, 800)) * d.between(low, high)
}

func (d *drawing) noDrain() {
	r := &d.car.Drain
	r.Kind = sim.NoDrain
	r.EmptyEvery = math.Inf(1)
	if d.chance(0.4) {
		r.EmptyEvery = d.between(40, 200)
	}
	r.EmptyAtStops = d.chance(0.6)
	d.car.CarryOver.Liquid *= d.between(0.2, 0.8)
	if d.chance(0.4) { // mostly mist
		d.car.CarryOver.Liquid *= 0.1
		d.car.CarryOver.Mist = d.between(60, 300) * 1e-3
	}
}

func (d *drawing) sealedByValve() *sim.Drain {
	r := d.hose(sim.Sealed, 8e-3, 19e-3)
	r.Valve = true
	r.OpensAt = d.between(100, 500)
	return r
}

func (d *drawing) valve() {
	d.sealedByValve()
	fall := d.column(0.5, 1.3)
	d.lay(physics.StraightRoute(fall, fall*1.3+d.between(0.1, 0.4)))
}

func (d *drawing) valveLowPoint() {
	r := d.sealedByValve()
	fall := d.column(0.6, 2)
	d.lay(physics.DippedRoute(fall, d.between(0.1, 0.9)*r.Hose.Bore, fall*1.3+d.between(0.1, 0.4)))
}

func (d *drawing) valveInSpace() {
	d.sealedByValve()
	d.lay(d.route(d.column(0.6, 1.8)))
}

// route draws a route in space: down to a point aside, on, and down again.
func (d *drawing) route(fall float64) physics.Route {
	x, y := d.signed(0.02, 0.2), d.signed(0.02, 0.25)
	part := d.between(0.3, 0.7)
	points := []physics.Point{
		{X: 0.1, Y: -0.05, Z: 0.6},
		{X: 0.1 + x*0.2, Y: -0.05 + y*0.1, Z: 0.6 - part*fall},
		{X: 0.1 + x, Y: -0.05 + y, Z: 0.6 - d.between(part, 1)*fall},
		{X: 0.1 + x, Y: -0.05 + y*1.1, Z: 0.6 - fall},
	}
	return physics.PointsRoute(points)
}

func (d *drawing) trap() {
	r := d.hose(sim.Sealed, 8e-3, 16e-3)
	climb := d.between(1, 2.5) * r.Hose.Bore
	first := d.column(0.5, 1.3) + climb
	z := []float64{0, -first, -first + climb, -first + climb - d.between(0.02, 0.2)}
	aside := d.signed(0, 0.06)
	points := make([]physics.Point, len(z))
	for i := range z {
		points[i] = physics.Point{X: 0.02 * float64(i), Y: aside * float64(i), Z: z[i]}
	}
	d.lay(physics.PointsRoute(points))
}

func (d *drawing) valveClosingPath() {
	c := d.car
	c.Gas.Element.ClosesFrom = d.between(0.2, 0.8)
	c.Gas.OutletToAir = d.chance(0.5)
	d.sealedByValve()
	fall := d.column(0.7, 1.5)
	d.lay(physics.StraightRoute(fall, fall*1.3+d.between(0.1, 0.4)))
}

func (d *drawing) unsealed(circuits int) {
	d.circuits(circuits)
	r := d.hose(sim.Unsealed, 9e-3, 24e-3)
	if circuits == 0 {
		d.car.Gas.BlowByClosed = math.Abs(d.car.Gas.BlowByClosed)
	}
	fall := d.between(0.03, 0.4)
	switch {
	case d.chance(0.3):
		d.lay(d.route(fall))
	case d.chance(0.4):
		d.lay(physics.DippedRoute(fall, d.between(0.1, 0.9)*r.Hose.Bore, fall*1.3+d.between(0.1, 0.4)))
	default:
		d.lay(physics.StraightRoute(fall, fall*1.3+d.between(0.1, 0.4)))
	}
}

func (d *drawing) belowOil() {
	r := d.hose(sim.BelowOil, 8e-3, 19e-3)
	r.SumpArea = d.between(0.02, 0.08)
	if d.chance(0.4) {
		d.lay(d.route(d.column(0.6, 1.6)))
		return
	}
	fall := d.column(0.5, 1.3)
	d.lay(physics.StraightRoute(fall, fall*1.3+d.between(0.1, 0.4)))
}

func (d *drawing) belowOilTilting() {
	d.belowOilUnderSurface(d.between(0.005, 0.06), 0.15)
}

func (d *drawing) belowOilSinking() {
	d.belowOilUnderSurface(d.between(0.001, 0.012), 0.01)
	d.car.Drain.SumpArea = d.between(0.012, 0.04)
}

// belowOilUnderSurface puts the port at a depth under the sump's surface, up to
// a distance aside of its centroid.
func (d *drawing) belowOilUnderSurface(depth, aside float64) {
	r := d.hose(sim.BelowOil, 8e-3, 19e-3)
	r.SumpArea = d.between(0.02, 0.08)
	d.lay(d.route(d.column(0.5, 1.6) + depth))
	port := r.Route.Points[len(r.Route.Points)-1]
	r.Surface = &physics.Point{X: port.X + d.signed(0, aside), Y: port.Y + d.signed(0, aside), Z: port.Z + depth}
}

func (d *drawing) belowOilValve() {
	if d.chance(0.6) {
		d.belowOilTilting()
	} else {
		d.belowOil()
	}
	d.car.Drain.Valve = true
	d.car.Drain.OpensAt = d.between(50, 400)
}
