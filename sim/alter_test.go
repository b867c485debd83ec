package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/physics"
)

// drained is a sealed drain along a route.
func drained(r physics.Route) Drain {
	d := Drain{
		Kind: Sealed, Valve: true, OpensAt: 300, Route: r,
		Hose: physics.DrainHose{Bore: 0.0127, Length: r.Length(), LossCoefficient: 3, LaminarCoefficient: 1200},
	}
	d.HeldLength, _ = r.HeldLength(d.Hose.Bore)
	return d
}

// A throat of half the bore: m = 1/4, C = 0.63 + 0.37/64 = 0.63578,
// K = (1/0.158945 - 1)² = 28.00; fifteen bores more of hose, 64 · 15 = 960. By hand.
func TestPinch(t *testing.T) {
	d := drained(physics.StraightRoute(0.1, 0.5))
	d.Pinch(0.5)
	assert.InDelta(t, 3+28.000, d.Hose.LossCoefficient, 2e-3)
	assert.InDelta(t, 1200+960, d.Hose.LaminarCoefficient, 1e-9)
	// What the laminar part asks for is what a hose of one bore and half the bore
	// asks for, over that of the same stretch unpinched (Hagen and Poiseuille).
	const viscosity = 0.012
	wide, _ := drained(physics.StraightRoute(0.1, 0.5)).Hose.Resistance(850, viscosity)
	narrow, _ := d.Hose.Resistance(850, viscosity)
	poiseuille := func(bore, length float64) float64 {
		return 128 * viscosity * length / (math.Pi * math.Pow(bore, 4))
	}
	assert.InEpsilon(t, poiseuille(0.00635, 0.0127)-poiseuille(0.0127, 0.0127), narrow-wide, 1e-9)

	for _, open := range []float64{1, 0, -1, 1.2, math.NaN()} { // open, or no such pinch
		whole := drained(physics.StraightRoute(0.1, 0.5))
		whole.Pinch(open)
		assert.Equal(t, drained(physics.StraightRoute(0.1, 0.5)), whole, "%g", open)
	}
	none := Drain{}
	none.Pinch(0.5)
	assert.Equal(t, Drain{}, none)
}

// A sag in the middle of a straight hose is a dip in it, as the route has it.
func TestSag(t *testing.T) {
	for _, depth := range []float64{0.004, 0.0127, 0.04} {
		d := drained(physics.StraightRoute(0.1, 0.5))
		before := d.Route
		d.Sag(depth)
		assert.Equal(t, physics.StraightRoute(0.1, 0.5), before, "the route as it was stays")
		dipped := physics.DippedRoute(0.1, depth, 0.5+2*depth)
		fall, rise := physics.WeightedFall(heightsOf(d.Route), d.Hose.Bore)
		wantFall, wantRise := physics.WeightedFall(heightsOf(dipped), d.Hose.Bore)
		assert.InDelta(t, wantFall, fall, 1e-12)
		assert.InDelta(t, wantRise, rise, 1e-12)
		assert.InDelta(t, 0.5+2*depth, d.Hose.Length, 1e-12)
		if depth < d.Hose.Bore { // air is trapped in part: half the fall, weighted
			assert.InDelta(t, 0.05+depth+(1-depth/0.0127)*0.05, fall, 1e-12)
			assert.InDelta(t, d.Hose.Length, d.HeldLength, 1e-12)
			continue
		}
		assert.InDelta(t, 0.05+depth, fall, 1e-12, "what falls after the trap no longer helps")
		assert.InDelta(t, 0.25+2*depth, d.HeldLength, 1e-12, "up to the crest")
	}
	level := drained(physics.PointsRoute([]physics.Point{{}, {Z: -0.02}, {X: 0.3, Z: -0.02}, {X: 0.3, Z: -0.1}}))
	level.Sag(0.03)
	assert.Equal(t, []float64{0, -0.02, -0.02, -0.05, -0.02, -0.02, -0.1}, heightsOf(level.Route), "in its longest piece")
	plain := drained(physics.StraightRoute(0.1, 0.5))
	plain.Kind, plain.Valve, plain.HeldLength = Unsealed, false, 0
	plain.Sag(0.005)
	assert.Equal(t, Unsealed, plain.Kind)
	plain.Sag(0.02)
	assert.Equal(t, Sealed, plain.Kind, "a trap")
	straight := drained(physics.StraightRoute(0.1, 0.5))
	straight.Sag(0)
	assert.Equal(t, drained(physics.StraightRoute(0.1, 0.5)), straight)
}

func heightsOf(r physics.Route) []float64 {
	var list []float64
	for _, p := range r.Points {
		list = append(list, p.Z)
	}
	return list
}

// The fall from end to end shrinks to its share; climbs and the order of points stay.
func TestRaise(t *testing.T) {
	for _, r := range []physics.Route{
		physics.StraightRoute(0.1, 0.5),
		physics.DippedRoute(0.1, 0.03, 0.6),
		physics.PointsRoute([]physics.Point{{}, {X: 0.1, Y: 0.02, Z: -0.05}, {X: 0.2, Z: -0.04}, {X: 0.3, Z: -0.12}}),
	} {
		for _, left := range []float64{0, 0.3, 1} {
			d := drained(r)
			d.Surface = &physics.Point{X: 0.3, Z: -0.15}
			first, last := r.Points[0], r.Points[len(r.Points)-1]
			d.Raise(left)
			got := d.Route.Points
			require.Len(t, got, len(r.Points))
			fall := first.Z - last.Z
			assert.InDelta(t, left*fall, got[0].Z-got[len(got)-1].Z, 1e-12)
			assert.InDelta(t, -0.15+(1-left)*fall, d.Surface.Z, 1e-12, "the sump rises with its return")
			for i := 1; i < len(got); i++ {
				step, was := got[i].Z-got[i-1].Z, r.Points[i].Z-r.Points[i-1].Z
				if was > 0 {
					assert.InDelta(t, was, step, 1e-12, "a climb stays")
				} else {
					assert.LessOrEqual(t, step, 1e-12, "a fall stays one")
				}
				assert.Equal(t, []float64{r.Points[i].X, r.Points[i].Y}, []float64{got[i].X, got[i].Y})
			}
			assert.Equal(t, r.Lengths, d.Route.Lengths)
		}
	}
	up := drained(physics.StraightRoute(-0.05, 0.5))
	up.Raise(0.5)
	assert.Equal(t, drained(physics.StraightRoute(-0.05, 0.5)), up)
}

func TestSealsAndValves(t *testing.T) {
	d := drained(physics.StraightRoute(0.1, 0.5))
	d.StickValve(200)
	assert.InDelta(t, 300, d.OpensAt, 0, "it takes more already")
	d.StickValve(2000)
	assert.InDelta(t, 2000, d.OpensAt, 0)
	d.LoseSeal(0.8)
	assert.Equal(t, Unsealed, d.Kind)
	assert.Equal(t, []float64{0, 0, 0.8}, []float64{d.OpensAt, d.HeldLength, d.Flooding})
	d.StickValve(2000)
	assert.Zero(t, d.OpensAt, "no valve to stick")
	trap := drained(physics.DippedRoute(0.1, 0.03, 0.6))
	trap.LoseSeal(0.8)
	assert.Equal(t, Sealed, trap.Kind, "the trap still seals")
	assert.False(t, trap.Valve)
}

func TestLoseCircuit(t *testing.T) {
	car := Car{Gas: GasPath{ToSeparator: []physics.Hose{{Bore: 0.016}, {Bore: 0.019}}}}
	kept := car.Gas.ToSeparator
	assert.True(t, car.LoseCircuit())
	assert.Equal(t, []physics.Hose{{Bore: 0.016}}, car.Gas.ToSeparator, "the widest goes")
	assert.Equal(t, []physics.Hose{{Bore: 0.016}, {Bore: 0.019}}, kept, "a car copied before keeps its own")
	assert.False(t, car.LoseCircuit(), "the last way out of the crankcase stays")
	car.Drain.Kind = Unsealed
	assert.True(t, car.LoseCircuit(), "gas goes up the drain")
}

// lapped is a car that spends 40 s of 100 at full throttle, 60 closed.
func lapped(n, corner float64) *Car {
	lap := []Phase{{Duration: 40, Load: 1}, {Duration: 60}}
	if corner > 0 {
		lap[1].Left = 10
	}
	return &Car{
		Lap: lap, Laps: []int{0}, Gas: GasPath{BlowByFull: 100e-3 / 60, BlowByClosed: 20e-3 / 60},
		CarryOver: CarryOver{Mist: 1e-3, Liquid: 2e-4, FlowExponent: n, CornerShare: corner, BreatherShare: 0.8},
	}
}

// liquidOf is the liquid that comes over in a phase.
func liquidOf(car *Car, phase int) float64 { return ratesOf(car)[phase].liquid }

// More blow-by drives over what the law of flow says, phase by phase, and leaves what
// cornering drives.
func TestAddBlowBy(t *testing.T) {
	for _, atFull := range []bool{false, true} {
		for _, corner := range []float64{0, 0.5} {
			for _, n := range []float64{1, 2, 3} {
				before, car := lapped(n, corner), lapped(n, corner)
				before.CarryOver.AtFull, car.CarryOver.AtFull = atFull, atFull
				car.AddBlowBy(50e-3/60, 30e-3/60)
				assert.InEpsilon(t, 150e-3/60, car.Gas.BlowByFull, 1e-12)
				assert.InEpsilon(t, 50e-3/60, car.Gas.BlowByClosed, 1e-12)
				assert.InEpsilon(t, liquidOf(before, 0)*math.Pow(1.5, n), liquidOf(car, 0), 1e-9, "%v %g %g", atFull, corner, n)
				driven := 0.0 // by the corner that phase 1 is
				if corner > 0 {
					driven = before.CarryOver.Liquid * corner / 0.6
					if atFull {
						driven *= before.FlowMean()
					}
				}
				assert.InEpsilon(t, (liquidOf(before, 1)-driven)*math.Pow(2.5, n)+driven, liquidOf(car, 1), 1e-9, "%v %g %g", atFull, corner, n)
			}
		}
	}
	none := lapped(2, 0)
	none.CarryOver.Liquid = 0
	none.AddBlowBy(1e-3, 0)
	assert.Zero(t, none.CarryOver.Liquid)
}

// What rings burn doesn't grow with what comes over.
func TestCarryMore(t *testing.T) {
	for _, atFull := range []bool{false, true} {
		before, car := lapped(2, 0.3), lapped(2, 0.3)
		before.CarryOver.AtFull, car.CarryOver.AtFull = atFull, atFull
		car.CarryMore(3)
		burnt := func(car *Car) float64 {
			total := 0.0
			for i, r := range ratesOf(car) {
				total += r.total() * car.Lap[i].Duration
			}
			return total * (1 - car.CarryOver.BreatherShare) / car.CarryOver.BreatherShare
		}
		for i := range before.Lap {
			assert.InEpsilon(t, 3*liquidOf(before, i), liquidOf(car, i), 1e-12)
		}
		assert.InEpsilon(t, burnt(before), burnt(car), 1e-9)
	}
}

func TestSeparateWorse(t *testing.T) {
	car := Car{Can: Can{Efficiency: 0.6}}
	car.SeparateWorse(0.5)
	assert.InDelta(t, 0.3, car.Can.Efficiency, 1e-15)

	stages := &physics.Separation{
		Sizes:  physics.DropletSizes{Fine: physics.DropletMode{Median: 1.2e-6, Spread: 1.8}, Coarse: physics.DropletMode{Median: 1e-5, Spread: 2}, CoarseShare: 0.1},
		Stages: []physics.Stage{physics.RoundImpactor{Width: 2e-3, Jets: 24, Sharpness: 4, LossHeads: 2}},
	}
	known := Car{Can: Can{Separation: stages}, Gas: GasPath{BlowByFull: 1.6e-3, Temperature: 363.15}, Oil: Oil{Density15: 870}}
	whole := stages.Efficiency(physics.BlowByConditions(1.6e-3, 363.15, physics.OilDensity(870, 363.15)))
	require.Greater(t, whole, 0.05)
	known.SeparateWorse(0.25)
	assert.InDelta(t, whole/4, known.Can.Efficiency, 1e-12)
	assert.Nil(t, known.Can.Separation)
}

// A plugged can keeps all the liquid that comes over in a session, however much.
func TestPlug(t *testing.T) {
	car := lapped(2, 0)
	car.CarryOver.Liquid = 2e-3 // 2.4 kg in 20 min
	car.CarryOver.Mist = 0
	car.Can = Can{UsableVolume: 0.4e-3, CrossSection: 5e-3, Efficiency: 0.6, BlownOutFrom: 0.5}
	car.Oil = Oil{Viscosity: mustViscosity(t), Density15: 870, Start: 363, Settled: 363, Ambient: 300, TimeConstant: 300, CoolingTimeConstant: 600, HoseWarmth: 1}
	car.Gas.Temperature = 363
	hose := physics.Hose{Bore: 0.016, Length: 0.5, LossCoefficient: 2.5}
	car.Gas.ToSeparator, car.Gas.Outlet = []physics.Hose{hose}, hose
	car.Gas.Element = physics.Element{Loss: 500, Flow: 1.6e-3, Density: 1.2, ClosesFrom: 0.6}
	car.Drain = drained(physics.StraightRoute(0.1, 0.5))
	car.Limits = Limits{Pressure: 1e5, OilLost: 1, ChokeLevel: 0.1, ChokeTime: 120}
	car.Sessions = []float64{1200}
	car.Plug()
	var out Outcome
	require.NoError(t, NewKernel().Realize(car, 1, 1, &out))
	assert.InEpsilon(t, 2.4, out.Sessions[0].InCan, 1e-9)
}

func mustViscosity(t *testing.T) physics.ViscosityLaw {
	t.Helper()
	law, err := physics.ViscosityThrough(313.15, 98e-6, 373.15, 14.5e-6)
	require.NoError(t, err)
	return law
}
