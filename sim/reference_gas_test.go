package sim_test

import (
	"math"

	"sumpward/physics"
	"sumpward/sim"
)

// solveAgain is the change of a head of oil after which the reference solves
// the gas network anew, Pa per second of step: 20 mPa at 1 ms, where a whole fill
// is some 500 to 1,000 Pa.
const solveAgain = 20.0

// gasPath solves the breather network at the present phase, again and again as
// oil stands in its way.
type gasPath struct {
	car           *sim.Car
	shut, open    physics.Network // the drain shut for gas, and open
	demand        physics.Demand
	flows         physics.Flows
	solved        bool
	solvedOpen    bool
	passage, over float64 // Pa at which flows were solved: a fill, oil over the drain's mouth
	again         float64 // Pa
	efficiency    float64 // of the mist that passes the element
}

func newGasPath(car *sim.Car, step float64) gasPath {
	g := &car.Gas
	n := physics.Network{
		Gas:           physics.BlowByGas(g.Temperature),
		LossFactor:    physics.PulsationFactor(g.Pulsation),
		ToSeparator:   g.ToSeparator,
		PastSeparator: g.Past,
		Element:       g.Element,
		Outlet:        g.Outlet,
		DrainSide:     physics.AfterElement,
	}
	if car.Can.CollectsBefore {
		n.DrainSide = physics.BeforeElement
	}
	path := gasPath{car: car, shut: n, open: n, again: solveAgain * step}
	h := &car.Drain.Hose
	path.open.Drain = &physics.Hose{Bore: h.Bore, Length: h.Length, LossCoefficient: h.LossCoefficient}
	path.demand.PastPressure = make([]float64, len(g.Past))
	return path
}

// enter sets the demand of a phase.
func (g *gasPath) enter(p sim.Phase, carry *carryOver) {
	intake := 0.0
	if !p.Stopped {
		intake = g.car.Gas.Intake(p.Load)
	}
	g.demand.Flow = carry.flow
	g.demand.OutletPressure = intake
	if g.car.Gas.OutletToAir {
		g.demand.OutletPressure = 0
	}
	for i := range g.demand.PastPressure {
		g.demand.PastPressure[i] = intake
		if g.car.Gas.PastToAir[i] {
			g.demand.PastPressure[i] = 0
		}
	}
	g.solved = false
}

// solve brings the flows up to date with a mass of oil in hose and can.
func (g *gasPath) solve(oil *oilState, mass float64, open bool) error {
	fill := min(oil.fill(mass), 1)
	passage := 0.0
	if from := g.car.Gas.Element.ClosesFrom; fill > from {
		passage = fill * oil.passageHead()
	}
	head := 0.0
	if open {
		head = oil.head(mass)
	}
	if g.solved && open == g.solvedOpen && g.near(passage, g.passage) && g.near(head, g.over) {
		return nil
	}
	g.solved, g.solvedOpen, g.passage, g.over = true, open, passage, head
	g.demand.Fill, g.demand.PassageHead, g.demand.DrainHead = fill, oil.passageHead(), head
	network := &g.shut
	if open {
		network = &g.open
	}
	if err := network.Solve(g.demand, &g.flows); err != nil {
		return err
	}
	g.efficiency = g.car.Can.Efficiency
	if s := g.car.Can.Separation; s != nil {
		density := physics.OilDensity(g.car.Oil.Density15, g.car.Gas.Temperature)
		g.efficiency = s.Efficiency(physics.BlowByConditions(math.Abs(g.flows.Element), g.car.Gas.Temperature, density))
	}
	return nil
}

// near tells whether two heads are equal for the network; none at all is not
// like a little.
func (g *gasPath) near(a, b float64) bool {
	return math.Abs(a-b) <= g.again && (a > 0) == (b > 0)
}

// acrossDrain returns the crankcase pressure less that over the drain, Pa.
func (g *gasPath) acrossDrain() float64 {
	if g.car.Can.CollectsBefore {
		return g.flows.Crankcase - g.flows.Before
	}
	return g.flows.Crankcase - g.flows.After
}

// shares returns how the oil that leaves the crankcase splits: the share that
// reaches the can through circuits, and the share that comes up the drain.
func (g *gasPath) shares() (circuits, drain float64) {
	past := 0.0
	for _, q := range g.flows.ToSeparator {
		circuits += max(0, q)
	}
	for _, q := range g.flows.PastSeparator {
		past += max(0, q)
	}
	if g.solvedOpen {
		drain = max(0, g.flows.Drain)
	}
	total := circuits + drain + past
	if total == 0 {
		return 0, 0
	}
	return circuits / total, drain / total
}
