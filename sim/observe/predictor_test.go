package observe

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/uncertainty"
	"sumpward/sim"
)

func ready(t *testing.T, name string, changes ...scenarios.Change) *scenarios.Scenario {
	s, err := scenarios.Ready(name)
	require.NoError(t, err)
	s, err = s.With(changes...)
	require.NoError(t, err)
	return s
}

// exactly is a scenario with every input at its nominal value.
func exactly(t *testing.T, s *scenarios.Scenario) *scenarios.Scenario {
	changes := []scenarios.Change{{Path: "correlations", Value: nil}}
	for _, q := range s.Inputs {
		if !q.IsExact() {
			changes = append(changes, scenarios.Change{Path: q.Path, Value: q.Nominal()})
		}
	}
	s, err := s.With(changes...)
	require.NoError(t, err)
	return s
}

// middle is the place in the middle of all inputs.
func middle(p *Predictor) []float64 {
	u := make([]float64, len(p.Inputs()))
	for i := range u {
		u[i] = 0.5
	}
	return u
}

// predicted is what one predictor predicts at a place in the middle of everything.
func predicted(t *testing.T, s *scenarios.Scenario, luck uint64, seen ...scenarios.Observation) []float64 {
	p, err := NewPredictor(s, seen)
	require.NoError(t, err)
	u := middle(p)
	v, err := p.Predict(u, 1, luck, nil)
	require.NoError(t, err)
	return v
}

// A U-tube at full throttle shows the column that the drain has to hold up, but for
// the density of what stands in it, and for the can's oil that the drain sees: the
// pressure difference is that of full throttle in the drain check.
func TestColumnIsThatOfTheDrainCheck(t *testing.T) {
	s := exactly(t, ready(t, "sealed-drain"))
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	full, err := m.FullThrottle()
	require.NoError(t, err)
	single := m.Single()
	_, err = single.Settle([]float64{0.5}) // a reading of oil used is never exact
	require.NoError(t, err)
	v := predicted(t, s, 1,
		scenarios.Observation{Kind: scenarios.UTube, Load: 1, Fluid: "water", Error: 1},
		scenarios.Observation{Kind: scenarios.UTube, Load: 1, Fluid: "oil", Error: 1},
		scenarios.Observation{Kind: scenarios.Crankcase, Load: 1, Error: 1})
	difference := full.Crankcase - full.Can
	require.Positive(t, difference)
	assert.InEpsilon(t, difference/(998.2*9.80665), v[0], 1e-9)
	assert.InEpsilon(t, difference/(single.OilDensity(293.15)*9.80665), v[1], 1e-9)
	assert.InEpsilon(t, full.Crankcase, v[2], 1e-9)
}

// A sealed can, one phase at full throttle, carry-over stated and no mist caught or
// lost: after a session it holds what was carried over for so long, at 15 °C.
func TestSealedCanHoldsWhatWasCarriedOver(t *testing.T) {
	const rate, length, density = 0.1e-3, 1200., 870.
	s := exactly(t, ready(t, "sealed-can",
		scenarios.Change{Path: "carry_over", Value: "{full_throttle: 0.1 g/s, flow_exponent: 1}"},
		scenarios.Change{Path: "oil.density", Value: "870 kg/m3"},
		scenarios.Change{Path: "duty.log", Value: nil},
		scenarios.Change{Path: "duty.lap", Value: "[{for: 60 s, load: 100 %}]"},
		scenarios.Change{Path: "duty.lap_variation", Value: "0 %"}))
	require.InDelta(t, density, s.Oil.Density.Nominal(), 1e-9)
	after := func(k scenarios.ObservationKind, over ...float64) scenarios.Observation {
		return scenarios.Observation{Kind: k, Over: over, Error: 1e-6, ShowsFrom: 3e-6, ShowsSpread: 3}
	}
	v := predicted(t, s, 1, after(scenarios.Drained, length), after(scenarios.ToppedUp, length), after(scenarios.ToppedUp, length, 600),
		after(scenarios.Drained, length, 600), after(scenarios.VentHose, length), after(scenarios.Overflew, length), after(scenarios.Overflew, 6000))
	assert.InEpsilon(t, rate*length/density, v[0], 1e-6)
	assert.InEpsilon(t, rate*length/density, v[1], 1e-6, "a can that keeps it leaves as much to top up")
	assert.InEpsilon(t, rate*(length+600)/density, v[2], 1e-6, "over both sessions")
	assert.InEpsilon(t, rate*600/density, v[3], 1e-6, "the can is emptied before the last one")
	assert.Zero(t, v[4], "all oil is caught")
	assert.Zero(t, v[5])
	assert.Equal(t, 1., v[6], "0.69 L into 0.45 L")
}

// 300 mL out of a can of 75 mm through 12.7 mm by 0.3 m with a fall of 120 mm: about 4,
// 8 and 46 s at 100, 60 and 20 °C (derived; stated to about a tenth, with a loss
// coefficient of 3); and never through a valve that the head doesn't open.
func TestPoursTakeAsLongAsTheyDo(t *testing.T) {
	drained := []scenarios.Change{
		{Path: "separator.diameter", Value: "75 mm"}, {Path: "separator.usable_volume", Value: "0.4 L"},
		{Path: "drain", Value: "{return: above_oil, seal: trap, bore: 12.7 mm, fall: 120 mm, length: 0.3 m, loss_coefficient: 3, port_pressure: 0 Pa}"},
		{Path: "oil.viscosity", Value: "{at_40C: 98 cSt, at_100C: 14.5 cSt}"},
	}
	s := exactly(t, ready(t, "sealed-drain", drained...))
	pour := func(celsius float64) scenarios.Observation {
		return scenarios.Observation{Kind: scenarios.Poured, Volume: 0.3e-3, Temperature: 273.15 + celsius, Error: 1}
	}
	v := predicted(t, s, 1, pour(100), pour(60), pour(20))
	t.Logf("%.1f s, %.1f s, %.1f s", v[0], v[1], v[2])
	assert.InEpsilon(t, 4, v[0], 0.15)
	assert.InEpsilon(t, 8, v[1], 0.2)
	assert.InEpsilon(t, 46, v[2], 0.2)
	shut := ready(t, "sealed-drain", append(drained, scenarios.Change{Path: "drain.seal", Value: "valve"}, scenarios.Change{Path: "drain.valve_opens_at", Value: "5 kPa"})...)
	assert.True(t, math.IsInf(predicted(t, exactly(t, shut), 1, pour(60))[0], 1))
	assert.True(t, math.IsInf(predicted(t, exactly(t, ready(t, "sealed-can")), 1, pour(60))[0], 1), "a can without a drain")
}

// How much oil makes a hose look wet is log-normal: half of the hoses at the stated
// volume, 84.13 % a geometric standard deviation above it, none without oil.
func TestChanceOfAWetHose(t *testing.T) {
	o := &scenarios.Observation{Kind: scenarios.VentHose, ShowsFrom: 3e-6, ShowsSpread: 3}
	assert.Zero(t, chanceOfWet(0, o))
	assert.InDelta(t, 0.5, chanceOfWet(3e-6, o), 1e-12)
	assert.InDelta(t, 0.841344746, chanceOfWet(9e-6, o), 1e-9)
	assert.InDelta(t, 0.022750132, chanceOfWet(3e-6/9, o), 1e-9)
}

// Densities by hand.
func TestLikelihoodsByHand(t *testing.T) {
	reading := &scenarios.Observation{Kind: scenarios.Drained, Value: 5, Error: 2}
	assert.InDelta(t, math.Log(math.Exp(-0.125)/(2*math.Sqrt(2*math.Pi))), LogLikelihood(reading, 4), 1e-12)
	assert.True(t, math.IsInf(LogLikelihood(reading, math.Inf(1)), -1))
	wet := &scenarios.Observation{Kind: scenarios.VentHose, Value: 1, Error: 0.05}
	assert.InDelta(t, math.Log(0.95*0.3+0.05*0.7), LogLikelihood(wet, 0.3), 1e-12)
	dry := &scenarios.Observation{Kind: scenarios.VentHose, Value: 0, Error: 0.05}
	assert.InDelta(t, math.Log(0.95*0.7+0.05*0.3), LogLikelihood(dry, 0.3), 1e-12)
	assert.InDelta(t, math.Log(0.05), LogLikelihood(dry, 1), 1e-12)
}

// Inputs that the car has before and after a change are one; those that only the
// change has come last; the change is seen where it was fitted.
func TestLayoutsShareTheirInputs(t *testing.T) {
	s := ready(t, "sealed-can")
	seen := []scenarios.Observation{
		{Kind: scenarios.Drained, Over: []float64{600}, Error: 1e-6, Session: "one"},
		{Kind: scenarios.Drained, Over: []float64{600}, Error: 1e-6, Session: "one", Layout: "drained back"},
	}
	p, err := NewPredictor(s, seen)
	require.NoError(t, err)
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	own := m.Uncertain()
	require.Greater(t, len(p.Inputs()), len(own))
	paths := map[string]bool{}
	for i, q := range p.Inputs() {
		assert.False(t, paths[q.Path], "%s stands once", q.Path)
		paths[q.Path] = true
		if i < len(own) {
			assert.Equal(t, own[i].Path, q.Path)
		}
	}
	assert.True(t, paths["drain.valve_opens_at"])
	u := middle(p)
	v, err := p.Predict(u, 1, 1, nil)
	require.NoError(t, err)
	assert.Greater(t, v[0], 3*v[1], "what drains back is not in the can")
	before := v[0]
	for i, q := range p.Inputs() { // an input of the change alone
		if i >= len(own) && q.Path == "drain.valve_opens_at" {
			u[i] = 0.99
		}
	}
	v, err = p.Predict(u, 1, 1, v)
	require.NoError(t, err)
	assert.Equal(t, before, v[0])
	_, err = NewPredictor(s, []scenarios.Observation{{Kind: scenarios.Drained, Layout: "no such"}})
	require.ErrorContains(t, err, "observation 1")
}

// What was seen of one session has one luck; other sessions have others; and a copy
// predicts the same, bit for bit.
func TestLuckGoesWithTheSession(t *testing.T) {
	s := exactly(t, ready(t, "sealed-can", scenarios.Change{Path: "duty.lap_variation", Value: "30 %"}))
	drained := func(session string) scenarios.Observation {
		return scenarios.Observation{Kind: scenarios.Drained, Over: []float64{900}, Error: 1e-6, Session: session}
	}
	seen := []scenarios.Observation{drained("a"), drained("b"), drained("a"), drained(""), drained("")}
	v := predicted(t, s, 1, seen...)
	assert.Equal(t, v[0], v[2])
	for _, pair := range [][2]int{{0, 1}, {0, 3}, {3, 4}} {
		assert.NotEqual(t, v[pair[0]], v[pair[1]])
	}
	assert.NotEqual(t, v, predicted(t, s, 2, seen...))
	p, err := NewPredictor(s, seen)
	require.NoError(t, err)
	w, err := p.Copy().Predict(middle(p), 1, 1, nil)
	require.NoError(t, err)
	assert.Equal(t, v, w)
}

// What alters the car changes what is seen of it, not of what was fitted before.
func TestAlterChangesTheScenarioAlone(t *testing.T) {
	s := exactly(t, ready(t, "sealed-can"))
	seen := []scenarios.Observation{
		{Kind: scenarios.Crankcase, Load: 1, Error: 1},
		{Kind: scenarios.Crankcase, Load: 1, Error: 1, Layout: "larger can"},
	}
	p, err := NewPredictor(s, seen)
	require.NoError(t, err)
	u := middle(p)
	plain, err := p.Predict(u, 1, 1, nil)
	require.NoError(t, err)
	p.Alter = func(c *sim.Car) { c.Gas.BlowByFull *= 1.5 }
	altered, err := p.Predict(u, 1, 1, nil)
	require.NoError(t, err)
	assert.Greater(t, altered[0], plain[0])
	assert.Equal(t, plain[1], altered[1])
}

// Values are those of the quantile functions.
func TestValuesAreTheQuantiles(t *testing.T) {
	s := ready(t, "sealed-can")
	p, err := NewPredictor(s, nil)
	require.NoError(t, err)
	u := make([]float64, len(p.Inputs()))
	for i := range u {
		u[i] = (float64(i) + 0.5) / float64(len(u))
	}
	_, err = p.Predict(u, 1, 1, nil)
	require.NoError(t, err)
	for i, v := range p.Values(nil) {
		q := p.Inputs()[i]
		require.NotEqual(t, uncertainty.ExactValue, q.Distribution.Kind)
		assert.Equal(t, q.Distribution.Quantile(u[i]), v, q.Path)
	}
}
