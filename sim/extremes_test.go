package sim

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/physics"
	"sumpward/scenarios"
)

// The cases below were found by random scenarios, and cut down to what they need.

// settledCar is the car of a scenario's text, the uncertain inputs at their medians.
func settledCar(t *testing.T, text string) (*Car, error) {
	t.Helper()
	s, err := scenarios.Parse("text", []byte("scenario: 1\n"+text), nil)
	require.NoError(t, err)
	m, err := NewModel(s)
	if err != nil {
		return nil, err
	}
	place := make([]float64, len(m.uncertain))
	for i := range place {
		place[i] = 0.5
	}
	return m.Single().Settle(place)
}

// TestExtremes realizes cases that once failed, took no end, or left a digit below 0.
func TestExtremes(t *testing.T) {
	for name, text := range map[string]string{
		"sump oil rises against a large inflow": `
carry_over: {oil_used: 0.4 L, during: 100 min}
separator: {height: 0.1 m, diameter: 0.1 m, outlet: {mouth: [0, 0, 90 mm]}}
drain: {return: below_oil, bore: 10 mm, fall: 9e-06 m}
duty: {lap: [{for: 0.002 h, load: 70 %, left: -3 g}, {for: 24 h, load: 50 %}]}
`,
		"the column turns within a cell": `
carry_over: {full_throttle: 0 g/s}
separator: {usable_volume: 100 L, cross_section: 5000 cm2}
drain: {return: below_oil, bore: 100 mm, fall: 5 m}
duty: {pattern: {full_throttle: 100 %, burst: 0.0004 h}}
`,
		"the circuits' and the drain's share of the oil add to a digit more than 1": `
carry_over: {full_throttle: 1 g/s}
separator: {pressure_loss: {loss: 0.9 kPa, at: 110 L/min}, height: 0.1 m, diameter: 0.05 m, outlet: {mouth: [15, 10, 75 mm]}}
drain: {return: above_oil, bore: 18 mm, loss_coefficient: 6.1, route: [[0, 0, 0 mm], [35.35, 24.9, -29.6 mm], [-0.6, -17.3, -87 mm], [20.5, -31.49, -127.29 mm]]}
duty: {lap: [{for: 0.004 h, load: 68.01 %}]}
`,
		"a wide circuit past the separator leaves the pressure at rounding": `
engine: {blow_by: {full_throttle: 0.4 L/min}}
carry_over: {full_throttle: 5 g/s}
breathers: [{to: air, bore: 200 mm}]
separator: {usable_volume: 100 L, cross_section: 900 cm2}
drain: {return: above_oil, bore: 1 mm, fall: 0.01 m}
duty: {pattern: {full_throttle: 100 %, burst: 24 h}}
`,
		"the sump sinks by metres a minute": `
carry_over: {full_throttle: 100 g/s}
separator: {usable_volume: 0.4 L, cross_section: 40 cm2}
drain: {return: below_oil, bore: 3 mm, fall: 100 mm, sump: {area: 0.001 m2}}
duty: {lap: [{for: 30 min, load: 100 %}]}
`,
		"the port is uncovered, and the sump goes on sinking": `
carry_over: {full_throttle: 100 g/s}
separator: {usable_volume: 0.4 L, cross_section: 40 cm2}
drain: {return: below_oil, bore: 3 mm, route: [[0, 0, 0 mm], [0, 0, -200 mm]], sump: {area: 0.001 m2, oil_surface: [0, 0, -150 mm]}}
duty: {lap: [{for: 30 min, load: 100 %}]}
`,
		"the oil stays at the edge of its port": `
engine: {blow_by: {full_throttle: 74 L/min}}
carry_over: {oil_used: 0.8 L, separator_lost: 29 %, during: 10 min, through_breathers: 100 %, mist: 1 g/m3}
breathers: [{to: separator}]
separator: {usable_volume: 0.41 L, diameter: 73 mm, gas_path_closes_from: 74 %, outlet: {bore: 15 mm}}
drain: {return: below_oil, bore: 9.7 mm, route: [[0, 0, 0], [31, 19, -18 mm], [100, -60, -5 mm]], sump: {oil_surface: [136, -90, -1 mm]}}
duty: {pattern: {full_throttle: 100 %, burst: 40 s, load_otherwise: 35 %}}
sessions: [10 h]
`,
		"gas pulls oil up a wide hose, and it settles for minutes": `
engine: {gas_temperature: 172.6 C, intake_depression: 50 kPa, pulsation: 200 %, closed_share: 46.7 %, blow_by: {full_throttle: 797 L/min}}
oil: {density: 700 kg/m3, aeration: 22 %, aeration_in_hose: 96.5 %, temperature: {settled: 173.7 C, time_constant: 9.5 h}, grade: SAE 20}
carry_over: {flow_exponent: 1.8, full_throttle: 74.4 g/s}
breathers: [{name: c1, to: separator, loss_coefficient: 993}]
separator: {oil_blown_out_from: 1.7 %, efficiency_when_full: 0 %, pressure_loss: {loss: 0 kPa, at: 1 L/min}, usable_volume: 100 L, gas_path_closes_from: 0 %, diameter: 8 mm, outlet: {loss_coefficient: 680}}
drain: {return: below_oil, seal: none, bore: 62 mm, loss_coefficient: 0, fall: 816 mm, sump: {area: 1.21 m2}}
duty: {lap: [{for: 5.97 h, load: 100 %, backward: -1.4 g}, {for: 4 s, load: 0 %, left: 5 g}]}
`,
		"the law makes the oil infinitely thick": `
oil: {viscosity: {at_40C: 5000 cSt, at_100C: 2 cSt}, ambient: -60 C, hose_warmth: 0 %}
carry_over: {full_throttle: 1 g/s}
separator: {usable_volume: 0.4 L, cross_section: 40 cm2}
drain: {return: below_oil, bore: 12 mm, fall: 100 mm}
duty: {lap: [{for: 30 s, load: 100 %}]}
`,
		"far more comes up the drain and over the brim than is carried over": `
engine: {blow_by: {full_throttle: 2000 L/min}}
carry_over: {full_throttle: 0.001 g/s}
breathers: [{to: separator, bore: 16 mm, length: 0 m, loss_coefficient: 3}]
separator: {usable_volume: 0.4 L, cross_section: 40 cm2, outlet: {to: air, bore: 100 mm}}
drain: {return: below_oil, bore: 140 mm, fall: 4 m}
duty: {lap: [{for: 30 min, load: 100 %}]}
`,
	} {
		t.Run(name, func(t *testing.T) {
			car, err := settledCar(t, text)
			require.NoError(t, err)
			k, out := NewKernel(), Outcome{}
			require.NoError(t, k.realized(car, 1, 0, &out))
			assert.Less(t, k.pieces, 100_000, "steps of a realization")
			assert.LessOrEqual(t, math.Abs(out.Balance.Residual()), balanceTolerance)
		})
	}
}

// A realization that never comes to an end is an error that says where it stands.
func TestMostPieces(t *testing.T) {
	car, err := settledCar(t, `
carry_over: {full_throttle: 1 g/s}
separator: {usable_volume: 0.4 L, cross_section: 40 cm2}
drain: {return: below_oil, bore: 12 mm, fall: 100 mm}
duty: {lap: [{for: 30 min, load: 100 %}]}
`)
	require.NoError(t, err)
	k := NewKernel()
	require.NoError(t, k.prepare(car, &Outcome{}))
	k.pieces = mostPieces
	err = k.drive(&k.points[0], 60)
	require.ErrorContains(t, err, "more than 20000000 steps, at 0 s")
}

// Gas that has a way without any loss parts in no way that can be told.
func TestWayWithoutLoss(t *testing.T) {
	for text, where := range map[string]string{
		"breathers: [{name: block, to: separator}, {name: open, to: air, length: 0 mm, loss_coefficient: 0}]\ndrain: {return: emptied_by_hand}": "breathers.open:",
		"drain: {return: above_oil, bore: 12 mm, fall: 0 mm, length: 0 mm, loss_coefficient: 0}":                                                "drain:",
		"drain: {return: below_oil, bore: 12 mm, fall: 0 mm, length: 0 mm, loss_coefficient: 0}":                                                "drain:",
	} {
		_, err := settledCar(t, text+`
carry_over: {full_throttle: 1 g/s}
separator: {usable_volume: 0.4 L, cross_section: 40 cm2}
duty: {lap: [{for: 30 s, load: 100 %}]}
`)
		require.Error(t, err, text)
		assert.True(t, strings.HasPrefix(err.Error(), where), err.Error())
		assert.ErrorContains(t, err, "give it a length or a loss coefficient")
	}
}

// The balance is held to what was carried over; where a thousand times as much came up
// the drain, its sums' rounding counts for nothing, and no more than that.
func TestResidualOfMuchMore(t *testing.T) {
	b := Balance{Carried: 0.002, Drained: -2400, Over: 2400.002}
	assert.LessOrEqual(t, math.Abs(b.Residual()), balanceTolerance)
	b.Held = 1e-8
	assert.LessOrEqual(t, math.Abs(b.Residual()), balanceTolerance)
	b.Held = 1e-7
	assert.Greater(t, math.Abs(b.Residual()), balanceTolerance)
}

// A drain that runs backwards against a large inflow has c < 0: mass and oil that ran are
// those of the equation dM/dt = in - ρ q(M), by the Runge-Kutta method in small steps.
func TestBackwardsAgainstInflow(t *testing.T) {
	for name, inflow := range map[string]float64{"c above 0": 0.01, "c of 0": 1. / 16, "c below 0": 0.07, "far below": 1} {
		st := stretch{kind: quadratic, in: inflow, n0: -60, n1: 400, a: 1 << 24, b: 1 << 36, density: 512, upward: true}
		rate := func(mass float64) float64 {
			return st.in - st.density*physics.DrainFlow(st.a, math.Abs(st.b), st.n0+st.n1*mass)
		}
		st.startQuadratic()
		until := 0.9 * st.timeTo(0.15) // the drain is held from 0.15 kg on
		mass := stepped(rate, 0, until)
		got, drained := st.at(until)
		assert.InEpsilon(t, mass, got, 1e-9, name)
		assert.InDelta(t, st.in*until-mass, drained, 1e-9*mass, name)
	}
}

// The lower branch of Lambert's function: its own equation, and W(-0.1) on it, to the
// digits of a table (from memory).
func TestLambertDecayLowerBranch(t *testing.T) {
	for _, w0 := range []float64{-1.001, -1.5, -10, -1e3, -1e7} {
		for _, share := range []float64{1e-9, 0.01, 0.5, 0.99} {
			w := w0 + share*(-1-w0)
			x := -(math.Log(w/w0) + w - w0)
			assert.InEpsilon(t, w, lambertDecay(w0, x), 1e-7, "%g to %g", w0, w)
		}
	}
	assert.InEpsilon(t, -3.577152063957297, lambertDecay(-5, -5+math.Log(5)-math.Log(0.1)), 1e-14)
}

// An oil that stiffens in the cold far more than others is not fitted, and its viscosity
// stays the law's.
func TestOilThatStiffens(t *testing.T) {
	for _, nu := range [][2]float64{{3300e-6, 14.6e-6}, {1000e-6, 8e-6}, {400e-6, 20e-6}, {98e-6, 14.5e-6}} {
		law, err := physics.ViscosityThrough(313.15, nu[0], 373.15, nu[1])
		require.NoError(t, err)
		for _, low := range []float64{215, 240, 270} {
			var f oilFit
			f.start(&Oil{Viscosity: law, Density15: 870}, low, low+100)
			for i := range 51 {
				temperature := low + 2*float64(i)
				_, viscosity := f.at(temperature)
				require.InEpsilon(t, law.At(temperature)*physics.OilDensity(870, temperature), viscosity, 1e-4, "%v at %g K", nu, temperature)
			}
		}
	}
}

// The pressure of the crankcase is followed to half a pascal, and to a share of what it is
// where it is megapascals: the walk would else take no end.
func TestPressureInCell(t *testing.T) {
	bent := func(pressure float64) float64 {
		return offSecant(rates{crankcase: pressure}, rates{crankcase: pressure + 5}, rates{crankcase: pressure})
	}
	assert.Greater(t, bent(1e3), 5.0)
	assert.Less(t, bent(1e6), 1.0)
}

// After topping up, the steps near the moment at which the port comes uncovered are told by
// where the sump's surface stands then.
func TestSteadySumpAfterToppingUp(t *testing.T) {
	car, err := settledCar(t, `
carry_over: {full_throttle: 1 g/s}
separator: {usable_volume: 0.4 L, cross_section: 40 cm2}
drain: {return: below_oil, bore: 12 mm, route: [[0, 0, 0 mm], [0, 0, -200 mm]], sump: {area: 0.05 m2, oil_surface: [0, 0, -180 mm]}}
duty: {lap: [{for: 30 s, load: 100 %}]}
`)
	require.NoError(t, err)
	k := NewKernel()
	require.NoError(t, k.prepare(car, &Outcome{Sessions: nil}))
	op := &k.points[0]
	k.piece.op = op
	fresh := k.steadySump(op, 1e-3)
	k.out.Balance.Over = 1
	assert.Equal(t, Never, k.steadySump(op, 1e-3), "20 mm over 0.05 m2 are less than 1 kg: uncovered for good")
	k.topUp()
	assert.Equal(t, fresh, k.steadySump(op, 1e-3))
}

// Litres that go within microseconds are refused, and it is said where and how to mend it.
func TestTonnesASecondAreRefused(t *testing.T) {
	car, err := settledCar(t, `
carry_over: {oil_used: 4 L, during: 75 s}
separator: {usable_volume: 0.4 L, cross_section: 40 cm2}
drain: {return: emptied_by_hand}
duty: {lap: [{for: 0.01 s, load: 7 %}, {for: 24 h, engine: stopped}]}
`)
	require.NoError(t, err)
	var out Outcome
	err = NewKernel().Realize(car, 1, 0, &out)
	require.ErrorIs(t, err, errTooMuch)
	assert.ErrorContains(t, err, "in phase 1 of the lap): give less oil, a longer interval")
}

// Oil in a hose that nothing moves stays, also where the head would grow with any that
// came or went: at a port above the surface, long enough for the exponential to overflow.
func TestBalancedStaysBalanced(t *testing.T) {
	st := stretch{kind: quadratic, mass: 1.5e-4, n0: 49, n1: -49 / 1.5e-4, a: 189, density: 779}
	st.startQuadratic()
	st.y0 = 0
	mass, drained := st.at(0.8)
	assert.Equal(t, st.mass, mass)
	assert.Zero(t, drained)
}

// What a drain has carried that settles to what comes in is known to the last digits long
// after: in = 1, out = k m has drained t - (1 - e^(-k t))/k.
func TestSettledForLong(t *testing.T) {
	for _, k := range []float64{1e-6, 0.1, 0.99, 1.01, 30, 1e7} {
		for _, at := range []float64{1e-3, 1, 1e3} {
			st := stretch{kind: exponential, in0: 1, out1: k}
			m, caught, drained := st.exponentialAt(at)
			assert.Equal(t, at, caught)
			assert.InDelta(t, caught, m+drained, 4e-16*at, "k %g, %g s", k, at)
			assert.InEpsilon(t, -math.Expm1(-k*at)/k, m, 1e-14)
			assert.GreaterOrEqual(t, drained, 0.0)
		}
	}
	st := stretch{kind: exponential, mass: 12, out0: -1e9, out1: 1e9 / 16.4}
	m, caught, drained := st.exponentialAt(300)
	assert.Zero(t, caught)
	assert.InDelta(t, 16.4, m, 1e-14)
	assert.InDelta(t, -16.4, drained, 1e-14)
}

// A drain that hardly runs beside a large inflow, which takes its head far up within a
// thousandth of what it would take to settle: the balance closes to the last digits.
func TestHardlyRunningBesideALargeInflow(t *testing.T) {
	st := stretch{kind: quadratic, mass: 2e-3, in: 2600, n0: -269.7, n1: 1.397e5, a: 3.9e6, b: 1.53e11, density: 652.8}
	st.startQuadratic()
	for _, at := range []float64{1e-9, 1e-7, 1.48e-6, 1e-5, 1e-3} {
		mass, drained := st.at(at)
		assert.InDelta(t, mass-st.mass, st.in*at-drained, 1e-14+1e-13*mass, "%g s", at)
	}
}

// The head of a column that is drawn up by far more than its oil weighs: what came up is
// what there is.
func TestDrawnUpByMegapascals(t *testing.T) {
	st := stretch{kind: quadratic, mass: 2.67, in: 0.09, n0: -4.7e6, n1: 592, a: 1.3e6, b: 6.9e6, density: 672, upward: true}
	st.startQuadratic()
	for _, at := range []float64{1e-4, 5e-3, 0.1} {
		mass, drained := st.at(at)
		assert.InDelta(t, mass-st.mass, st.in*at-drained, 2e-15*mass, "%g s", at)
	}
}

// A needle of a drain that carries little of a large inflow, at quadratic loss, where
// Lambert's function is beside its branch point: its mass is that of the equation stepped
// through (Runge and Kutta's method of order four).
func TestBesideTheBranchPoint(t *testing.T) {
	st := stretch{kind: quadratic, mass: 1.437, in: 0.2336, n0: 354306.7, n1: 245.32, a: 3.928e11, b: 3.3129e17, density: 597.46}
	st.startQuadratic()
	for _, at := range []float64{0.1, 1.8947, 19} {
		mass := stepped(func(m float64) float64 { return st.in - st.density*st.flowAt(m) }, st.mass, at)
		got, drained := st.at(at)
		assert.InDelta(t, mass, got, 1e-12*mass, "%g s", at)
		assert.InDelta(t, got-st.mass, st.in*at-drained, 1e-13*mass, "%g s", at)
	}
}

// stepped is a mass after a time at a rate that depends on it, by 2,000 steps of Runge and
// Kutta's method of order four.
func stepped(rate func(mass float64) float64, mass, until float64) float64 {
	const steps = 2000
	h := until / steps
	for range steps {
		a := rate(mass)
		b := rate(mass + h/2*a)
		c := rate(mass + h/2*b)
		mass += h / 6 * (a + 2*b + 2*c + rate(mass+h*c))
	}
	return mass
}
