package sim_test

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/physics"
	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/internal/exact"
	"sumpward/sim/internal/still"
)

// hotDensity is the density of the still day's oil in kg/m3 (ASTM D1250).
var hotDensity = physics.OilDensity(870, 273.15+90)

func change(path, value string) scenarios.Change { return scenarios.Change{Path: path, Value: value} }

// run samples n realizations by plain random sampling, whose standard error is known.
func run(t testing.TB, s *scenarios.Scenario, n int) *sim.Result {
	t.Helper()
	r, err := sim.Run(context.Background(), s, sim.Options{Realizations: n, Sampling: "random"})
	require.NoError(t, err)
	return r
}

// within asserts a chance to four standard errors of n independent trials; one
// such assertion fails by chance once in 16,000 seeds, and the seed is fixed.
func within(t testing.TB, want, got float64, n int, what string, args ...any) {
	t.Helper()
	assert.InDelta(t, want, got, 4*math.Sqrt(want*(1-want)/float64(n))+1e-12, what, fmt.Sprint(args...))
}

// A sealed can with log-normal carry-over overflows with the chance of
//
//	P = 1 - Φ((ln(V/T) - m)/s)
//
// at every session length. Exact mathematics.
func TestSealedCanWithLogNormalCarryOver(t *testing.T) {
	const n = 20000
	s := still.Read(t, still.Text,
		change("carry_over.full_throttle", "0.1 x/ 1.8221188 g/s"), // s = 0.6
		change("sessions", "[5 min, 10 min, 20 min, 40 min, 60 min]"))
	r := run(t, s, n)
	others := map[string]*sim.Result{}
	for _, design := range []string{"sobol", "latin-hypercube"} {
		var err error
		others[design], err = sim.Run(context.Background(), s, sim.Options{Realizations: n, Sampling: design})
		require.NoError(t, err)
	}
	law := exact.ConstantRate{Median: 1e-4, LogSD: 0.6, Volume: 0.15e-3 * hotDensity}
	for i, session := range r.Sessions {
		want := law.OverflowBy(session.Length)
		within(t, want, session.Overflow.Probability, n, "random sampling", session.Length)
		for design, res := range others {
			t.Logf("%4.0f s: exact %.5f, random %.5f, %s %.5f", session.Length, want, session.Overflow.Probability, design, res.Sessions[i].Overflow.Probability)
			within(t, want, res.Sessions[i].Overflow.Probability, n, design, session.Length)
		}
		assert.LessOrEqual(t, session.Overflow.Low, session.Overflow.Probability)
	}
}

// A plain drain that floods at full throttle and runs at its flooding limit
// otherwise makes the can a fluid buffer fed by an on/off Markov process: the
// chance that it has been full by t (Anick, Mitra & Sondhi 1982, Kulkarni 1997;
// transform inverted numerically).
func TestOnOffFillingAgainstFluidBuffer(t *testing.T) {
	const n = 20000
	constant := 0.66
	limit := physics.Flooding{
		Bore: 6e-3, GasDensity: physics.BlowByGas(363.15).Density, OilDensity: hotDensity,
		OilViscosity: hotViscosity(t) * hotDensity, Constant: constant,
	}
	fall := limit.OilLimit(0) // m3/s, engine at closed throttle without blow-by
	require.Less(t, limit.GasLimit(), 20e-3/60, "flooded at full throttle")
	buffer := exact.OnOffBuffer{OnRate: 1.0 / 40, OffRate: 1.0 / 20, Rise: 2.0 / 3 * fall, Fall: fall, Capacity: 100.0 / 3 * fall}
	s := still.Read(t, still.Text,
		change("engine.blow_by", "{full_throttle: 20 L/min, closed_throttle: 0 L/min}"),
		change("carry_over.full_throttle", fmt.Sprintf("%.12g g/s", 1e3*buffer.Rise*hotDensity)),
		change("separator.usable_volume", fmt.Sprintf("%.12g L", 1e3*buffer.Capacity)),
		change("separator.cross_section", "100 cm2"),
		change("breathers", "[]"),
		change("drain", fmt.Sprintf("{return: above_oil, seal: none, bore: 6 mm, fall: 400 mm, length: 400 mm, loss_coefficient: 0, flooding_constant: %v, port_pressure: 0 Pa}", constant)),
		change("duty", "{pattern: {full_throttle: 33.333333333333 %, burst: 20 s, burst_spread: 100 %, load_otherwise: 0 %}, lap_variation: 0 %}"),
		change("sessions", "[120 s, 300 s, 600 s, 1200 s]"))
	for _, session := range run(t, s, n).Sessions {
		want := buffer.ReachedBy(session.Length, 0, false)
		t.Logf("%4.0f s: exact %.5f, simulated %.5f", session.Length, want, session.Overflow.Probability)
		within(t, want, session.Overflow.Probability, n, "overflow by", session.Length)
	}
}

func hotViscosity(t testing.TB) float64 {
	law, err := physics.ViscosityThrough(313.15, 98e-6, 373.15, 14.5e-6)
	require.NoError(t, err)
	return law.At(363.15)
}

// A normal pressure against a fixed column: oil stands in the can at the choke
// level if the pressure takes more than the column there is, less what drives
// the inflow through the hose.
func TestNormalPressureAgainstColumn(t *testing.T) {
	const n = 20000
	s := still.Read(t, still.Text,
		change("carry_over.full_throttle", "1 g/s"),
		change("separator.usable_volume", "0.45 L"),
		change("drain", "{return: above_oil, seal: trap, bore: 12.7 mm, fall: 80 mm, length: 300 mm, loss_coefficient: 3, port_pressure: 0 +- 150 Pa}"),
		change("sessions", "[60 min]"))
	r := run(t, s, n)
	gas := elementAndCircuitLoss(t)
	a, b := physics.DrainHose{
		Bore: 12.7e-3, Length: 0.3, LossCoefficient: 3, LaminarCoefficient: physics.DefaultLaminarCoefficient(3),
	}.Resistance(hotDensity, hotViscosity(t)*hotDensity)
	q := 1e-3 / hotDensity
	column := hotDensity * physics.StandardGravity * (0.08 + 0.1*0.45e-3/44e-4)
	want := exact.NormalAbove(gas, 150, column-a*q-b*q*q)
	t.Logf("exact %.5f, simulated %.5f", want, r.Sessions[0].DrainChoked.Probability)
	within(t, want, r.Sessions[0].DrainChoked.Probability, n, "choked")
}

// elementAndCircuitLoss is the pressure in Pa from the crankcase of the still day to the
// can behind the element, by the loss laws themselves.
func elementAndCircuitLoss(t testing.TB) float64 {
	gas := physics.BlowByGas(363.15)
	flow := 90e-3 / 60
	hose := physics.Hose{Bore: 16e-3, Length: 0.5, LossCoefficient: 2.5}
	element := 800 * math.Pow(flow/(110e-3/60), 2) * gas.Density / 1.2
	return hose.PressureDrop(flow, gas) + element
}
