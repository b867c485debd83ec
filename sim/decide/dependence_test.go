package decide_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/decide"
	"sumpward/sim/internal/still"
)

func dependence(t *testing.T, s *scenarios.Scenario) *decide.Dependence {
	t.Helper()
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	o := sim.Options{Realizations: 5000, Keep: 5000}
	res, err := m.Run(context.Background(), o)
	require.NoError(t, err)
	d, err := decide.DependsOn(context.Background(), m, res, decide.Question{Event: sim.OverflowOrChoked, Session: len(res.Sessions) - 1, Limit: s.Limits.Risk.Nominal()}, o)
	require.NoError(t, err)
	return d
}

// held is a sealed drain whose valve decides whether it is held at full throttle.
func held(t *testing.T, valve, fall string, changes ...scenarios.Change) *scenarios.Scenario {
	t.Helper()
	return still.Read(t, sealed, append(heldBy(valve, fall), changes...)...)
}

func heldBy(valve, fall string) []scenarios.Change {
	return []scenarios.Change{
		{Path: "carry_over.full_throttle", Value: "0.05 g/s"},
		{Path: "sessions", Value: "[40 min]"},
		{Path: "drain", Value: "{return: above_oil, seal: valve, bore: 12.7 mm, fall: " + fall + ", length: 330 mm, valve_opens_at: " + valve + ", port_pressure: 0 Pa, loss_coefficient: 3}"},
	}
}

// The valve tips the verdict where the column that it asks for, less the tenth of
// the can that oil may stand in it, is as tall as the fall:
//
//	p = ρ g (F + 0.1 V/A) - Δp.
//
// Derived; Δp is the model's own.
func TestTippingValueOfAPressureAgainstAColumn(t *testing.T) {
	s := held(t, "0.2 .. 0.4 kPa", "100 mm")
	d := dependence(t, s)
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	full, err := m.FullThrottle()
	require.NoError(t, err)
	gas := full.Against - 300
	want := density*9.80665*(0.1+0.1*0.15e-3/44e-4) - gas
	require.Len(t, d.Tips(), 1)
	tip := d.Tips()[0]
	t.Logf("exact %.2f Pa, found %.2f (%.2f to %.2f)", want, tip.Tipping.Value, tip.Tipping.Low, tip.Tipping.High)
	assert.Equal(t, "drain.valve_opens_at", tip.Input.Path)
	assert.True(t, tip.Tipping.KeptBelow)
	assert.InDelta(t, want, tip.Tipping.Value, 1.5, "the search is to 0.2 Pa, the flow's friction takes about one")
	assert.Zero(t, tip.Tipping.Contrary)
	assert.True(t, d.Depends())
	assert.Zero(t, d.Low.Probability)
	assert.Equal(t, 1.0, d.High.Probability)
}

// The usable volume tips it at the closed form's quantile, within its interval.
func TestTippingVolumeOfASealedCan(t *testing.T) {
	s := still.Read(t, sealed,
		scenarios.Change{Path: "separator.usable_volume", Value: "0.2 .. 1.2 L"}, scenarios.Change{Path: "limits.risk", Value: "5 %"})
	d := dependence(t, s)
	want := volumeAt(0.05, 1200)
	require.NotEmpty(t, d.Tips())
	for _, tip := range d.Tips() {
		if tip.Input.Path == decide.VolumePath {
			t.Logf("exact %.5g m3, found %.5g (%.5g to %.5g)", want, tip.Tipping.Value, tip.Tipping.Low, tip.Tipping.High)
			assert.False(t, tip.Tipping.KeptBelow)
			assert.LessOrEqual(t, tip.Tipping.Low, want)
			assert.GreaterOrEqual(t, tip.Tipping.High, want)
			assert.Less(t, tip.Tipping.High-tip.Tipping.Low, 0.2*want)
			return
		}
	}
	t.Fatal("the volume does not tip")
}

// Nothing tips where no input can carry the chance across, or all were measured.
func TestNothingTipsThatCannotCross(t *testing.T) {
	for name, s := range map[string]*scenarios.Scenario{
		"fall enough":   held(t, "0.2 .. 0.4 kPa", "200 mm"),
		"too little":    held(t, "0.2 .. 0.4 kPa", "60 mm"),
		"valve, tested": held(t, "{value: 0.2 .. 0.4 kPa, basis: measured}", "100 mm"),
	} {
		d := dependence(t, s)
		assert.False(t, d.Depends(), name)
		assert.Empty(t, d.Pairs, name)
	}
}

// With risk 30 %, the drain held where valve and port together are above 92 % of the
// sum of their ranges: 2 % as drawn, a fifth or less with one of them at its worst,
// all with both.
func TestTwoInputsThatOnlyTipTogether(t *testing.T) {
	worst := 0.4e3 + 0.1e3 // Pa: valve at its highest, port at its highest
	s := held(t, "0.2 .. 0.4 kPa", "100 mm", scenarios.Change{Path: "drain.port_pressure", Value: "-100 .. 100 Pa"}, scenarios.Change{Path: "limits.risk", Value: "30 %"})
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	full, err := m.FullThrottle()
	require.NoError(t, err)
	gas := full.Against - 300
	fall := (gas+worst-0.08*400)/(density*9.80665) - 0.1*0.15e-3/44e-4
	s, err = s.With(scenarios.Change{Path: "drain.fall", Value: fall})
	require.NoError(t, err)
	d := dependence(t, s)
	t.Logf("as drawn %.3f; alone up to %.3f", d.Chance.Probability, d.High.Probability)
	assert.Empty(t, d.Tips())
	assert.True(t, d.Depends())
	require.Len(t, d.Pairs, 1)
	paths := []string{d.Pairs[0].A.Path, d.Pairs[0].B.Path}
	assert.ElementsMatch(t, []string{"drain.valve_opens_at", "drain.port_pressure"}, paths)
	assert.InDelta(t, 400, math.Max(d.Pairs[0].AtA, d.Pairs[0].AtB), 1e-6)
	assert.InDelta(t, 100, math.Min(d.Pairs[0].AtA, d.Pairs[0].AtB), 1e-6)
	assert.Equal(t, 1.0, d.Pairs[0].Chance.Probability)
	assert.Less(t, d.High.High, 0.3)
}

// A reading at the end of its range is there, without the least spread of a dipstick
// around it: half the oil, half the rate, and the can of that size holds.
//
//	V = V_used b T / T_ref  at 15 °C
//
// fills a can of V ρ_15/ρ. Derived.
func TestTippingReading(t *testing.T) {
	s := still.Read(t, sealed,
		scenarios.Change{Path: "carry_over", Value: "{oil_used: 0.10 .. 0.30 L, during: 20 min, through_breathers: 100 %, mist: 0 g/m3, flow_exponent: 2, corner_share: 0 %}"},
		scenarios.Change{Path: "separator.usable_volume", Value: "0.2 L"})
	d := dependence(t, s)
	require.Len(t, d.Tips(), 1)
	tip := d.Tips()[0]
	want := 0.2e-3 * density / 870
	t.Logf("exact %.5g m3, found %.5g", want, tip.Tipping.Value)
	assert.Equal(t, "carry_over.oil_used", tip.Input.Path)
	assert.True(t, tip.Tipping.KeptBelow)
	assert.InEpsilon(t, want, tip.Tipping.Value, 2e-3)
}

// Where few realizations fail, an end of a range that breaks the limit is found all
// the same: at 66 mm of fall the drain of the ready-made scenario chokes in 1.35 % of
// 15 min sessions (1.18 to 1.55, 20,000 realizations), as drawn in 0.2 %. Regression.
func TestRareFailuresDependToo(t *testing.T) {
	s, err := readyMade(t, "sealed-drain").With(
		scenarios.Change{Path: "drain.fall", Value: "66 .. 91 mm"}, scenarios.Change{Path: "sessions", Value: "[15 min]"})
	require.NoError(t, err)
	d := dependence(t, s)
	assert.Less(t, d.Chance.High, 0.01)
	assert.True(t, d.Depends())
	for _, in := range d.Inputs {
		assert.False(t, in.Tenths, in.Input.Path)
		if in.Input.Path == decide.FallPath {
			assert.True(t, in.Tips || in.Unclear)
		}
	}
}
