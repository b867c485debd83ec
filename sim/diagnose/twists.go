package diagnose

import (
	"math"
	"slices"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// twist is a way in which a settled car can be other than the scenario says.
type twist struct {
	dimension units.Dimension
	low, high float64 // of its severity
	apply     func(car *sim.Car, severity float64)
	missing   func(c candidate) string // why a layout can't have it; empty: it can
}

// candidate is what decides whether a layout can have a fault.
type candidate struct {
	car      sim.Car // at nominal values, to be spoilt
	scenario *scenarios.Scenario
	boosted  bool // said to be so
}

// circuitTwist has no severity.
const circuitTwist = "circuit"

// twists are all there are, by name.
var twists = map[string]twist{
	"hose_open": {
		units.Fraction, 1e-6, 1, // of the bore's area
		func(car *sim.Car, v float64) { car.Drain.Pinch(math.Sqrt(v)) }, noDrain,
	},
	"sag": {
		units.Length, 0, 2,
		func(car *sim.Car, v float64) { car.Drain.Sag(v) }, noDrain,
	},
	"fall_left": {
		units.Fraction, 0, 1,
		func(car *sim.Car, v float64) { car.Drain.Raise(v) }, noFall,
	},
	"flooding_constant": {
		units.Number, 0.1, 2,
		func(car *sim.Car, v float64) { car.Drain.LoseSeal(v) }, noSeal,
	},
	"valve_opens_at": {
		units.Pressure, 0, 1e5,
		func(car *sim.Car, v float64) { car.Drain.StickValve(v) }, noValve,
	},
	circuitTwist: {
		units.Number, 0, 1,
		func(car *sim.Car, _ float64) { car.LoseCircuit() }, noCircuit,
	},
	"blow_by": {
		units.Number, 0.1, 20,
		func(car *sim.Car, v float64) {
			g := &car.Gas
			car.AddBlowBy((v-1)*g.BlowByFull, (v-1)*max(g.BlowByClosed, 0))
		}, always,
	},
	"blow_by_full": {
		units.VolumeFlow, 0, 0.1,
		func(car *sim.Car, v float64) { car.AddBlowBy(v, 0) }, noBoost,
	},
	"liquid": {
		units.Number, 0, 100,
		func(car *sim.Car, v float64) { car.CarryMore(v) }, always,
	},
	"aeration": {
		units.Fraction, 0, 0.5,
		func(car *sim.Car, v float64) { car.Oil.Aeration = min(car.Oil.Aeration+v, mostAeration) }, always,
	},
	"efficiency": {
		units.Fraction, 0, 1,
		func(car *sim.Car, v float64) { car.SeparateWorse(v) }, always,
	},
	"blown_out_from": {
		units.Fraction, 0, 1,
		func(car *sim.Car, v float64) { car.Can.BlownOutFrom = min(car.Can.BlownOutFrom, v) }, always,
	},
	"efficiency_when_full": {
		units.Fraction, 0, 1,
		func(car *sim.Car, v float64) { car.Can.EfficiencyWhenFull = min(car.Can.EfficiencyWhenFull, v) }, always,
	},
	"intake_depression": {
		units.Number, 0, 50,
		func(car *sim.Car, v float64) { car.Gas.IntakeDepression *= v }, noIntake,
	},
}

// mostAeration is the largest gas share of oil in a can, prior.
const mostAeration = 0.6

func twistNames() []string {
	var list []string
	for name := range twists {
		list = append(list, name)
	}
	slices.Sort(list)
	return list
}

func always(candidate) string { return "" }

func noDrain(c candidate) string {
	if c.car.Drain.Kind == sim.NoDrain {
		return "there is no drain"
	}
	return ""
}

func noFall(c candidate) string {
	before := c.car.Drain.Route
	if c.car.Drain.Raise(0.5); c.car.Drain.Kind != sim.NoDrain && c.car.Drain.Route.Points[len(before.Points)-1] == before.Points[len(before.Points)-1] {
		return "the drain has no fall to lose"
	}
	return noDrain(c)
}

func noSeal(c candidate) string {
	switch c.car.Drain.Kind {
	case sim.NoDrain:
		return "there is no drain"
	case sim.Unsealed:
		return "the drain has no seal"
	case sim.BelowOil:
		return "the drain ends below the oil, which seals it"
	}
	if c.car.Drain.LoseSeal(1); c.car.Drain.Kind == sim.Sealed {
		return "a trap in the hose seals it, whatever becomes of a valve"
	}
	return ""
}

func noValve(c candidate) string {
	if c.car.Drain.Kind == sim.NoDrain || !c.car.Drain.Valve {
		return "there is no valve in the drain"
	}
	return ""
}

func noCircuit(c candidate) string {
	if !c.car.LoseCircuit() {
		return "there is no breather circuit to the can beside another way out"
	}
	return ""
}

func noBoost(c candidate) string {
	if b := c.scenario.Engine.Boost; c.boosted || b != nil && b.Nominal() > 0 {
		return ""
	}
	if c.scenario.Engine.Boost == nil {
		return "the scenario doesn't say whether the engine has boost (--boosted says it has)"
	}
	return "the engine has no boost"
}

func noIntake(c candidate) string {
	g := &c.car.Gas
	if g.IntakeDepression == 0 {
		return "the scenario has no depression in the intake"
	}
	if !g.OutletToAir || slices.Contains(g.PastToAir, false) {
		return ""
	}
	return "no breather ends in the intake"
}
