package decide

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
)

func ready(t *testing.T, name string, changes ...scenarios.Change) *scenarios.Scenario {
	t.Helper()
	s, err := scenarios.Ready(name)
	require.NoError(t, err)
	if len(changes) > 0 {
		s, err = s.With(changes...)
		require.NoError(t, err)
	}
	return s
}

func changed(t *testing.T, s *scenarios.Scenario, path string, value float64) *scenarios.Scenario {
	t.Helper()
	c, err := Changed(s, path, value)
	require.NoError(t, err)
	return c
}

const small = 1e-12

// The ready-made drain falls 30 .. 55 mm, nominally 42.5 mm, through 500 mm of hose.
func TestHoseGrowsWithItsFallAndDoesNotShrink(t *testing.T) {
	s := ready(t, "sealed-drain")
	for fall, length := range map[float64]float64{0.02: 0.5, 0.0425: 0.5, 0.1425: 0.6, 1.0425: 1.5} {
		c := changed(t, s, "drain.fall", fall)
		assert.InDelta(t, fall, c.Drain.Fall.Nominal(), small)
		assert.True(t, c.Drain.Fall.IsExact())
		assert.InDelta(t, length, c.Drain.Length.Nominal(), small, "fall %g", fall)
	}
	assert.Equal(t, HoseLength, TakesAlong(s, "drain.fall"))
	assert.Equal(t, Nothing, TakesAlong(s, "drain.bore"))
	assert.InDelta(t, 0.0425, NominalFall(s), small)
}

func TestHoseGrowsByTwiceItsDip(t *testing.T) {
	s := ready(t, "sealed-drain")
	c := changed(t, s, "drain.dip", 0.3) // 42.5 mm + 2 · 300 mm is more than 500 mm
	assert.InDelta(t, 1.1, c.Drain.Length.Nominal(), small)
	assert.InDelta(t, 1.1, changed(t, ready(t, "sealed-drain", scenarios.Change{Path: "drain.dip", Value: 0.1},
		scenarios.Change{Path: "drain.length", Value: 0.7}), "drain.dip", 0.3).Drain.Length.Nominal(), small)
	both := changed(t, changed(t, s, "drain.fall", 0.1425), "drain.dip", 0.1)
	assert.InDelta(t, 0.8, both.Drain.Length.Nominal(), small)
}

func TestLengthLeftOutFollowsItsOwnRule(t *testing.T) {
	s := ready(t, "sealed-drain", scenarios.Change{Path: "drain.length"})
	assert.Equal(t, Nothing, TakesAlong(s, "drain.fall"))
	assert.Nil(t, changed(t, s, "drain.fall", 1).Drain.Length)
}

// Each law keeps its width: quantiles move by what the fall is more, 100 mm.
func TestUncertainLengthIsMoved(t *testing.T) {
	for _, length := range []string{"500 +- 20 mm", "480 .. 520 mm", "450 .. 500 .. 600 mm",
		"{distribution: beta, shape: [2, 5], from: 400 mm, to: 700 mm}", "{distribution: table, values: [450 mm, 600 mm], weights: [1, 3]}",
		"{distribution: normal, mean: 500 mm, sd: 50 mm, at_least: 470 mm}"} {
		s, err := ready(t, "sealed-drain").With(scenarios.Change{Path: "drain.length", Value: length})
		require.NoError(t, err, length)
		c := changed(t, s, "drain.fall", 0.1425)
		for _, u := range []float64{0, 0.1, 0.5, 0.9, 1} {
			before, after := s.Drain.Length.Distribution.Quantile(u), c.Drain.Length.Distribution.Quantile(u)
			if u > 0 && u < 1 || before > 0 && before < 2 { // else a bound of what is possible
				assert.InDelta(t, before+0.1, after, 1e-9, "%s at %g", length, u)
			}
		}
	}
	s := ready(t, "sealed-drain", scenarios.Change{Path: "drain.length", Value: "500 mm x/ 1.1"})
	d := changed(t, s, "drain.fall", 0.1425).Drain.Length.Distribution
	assert.InDelta(t, 0.6, d.Quantile(0.5), 1e-9)
	assert.InDelta(t, 0.6*s.Drain.Length.Distribution.Quantile(0.9)/0.5, d.Quantile(0.9), 1e-9, "keeps its ratio")
}

func routed(t *testing.T, below bool) *scenarios.Scenario {
	t.Helper()
	changes := []scenarios.Change{{Path: "drain.fall"}, {Path: "drain.length"},
		{Path: "drain.route", Value: "[[0, 0, 180 +- 10 mm], [100, 0, 120 mm], [300, 50, 60 mm]]"}}
	if below {
		changes = append(changes, scenarios.Change{Path: "drain.return", Value: "below_oil"}, scenarios.Change{Path: "drain.seal", Value: "none"},
			scenarios.Change{Path: "drain.sump.oil_surface", Value: "[300, 0, 100 mm]"})
	}
	return ready(t, "sealed-drain", changes...)
}

func TestFallOfARouteMovesItsFirstPoint(t *testing.T) {
	s := routed(t, false)
	assert.InDelta(t, 0.12, NominalFall(s), small)
	assert.Equal(t, RoutesFirstPoint, TakesAlong(s, "drain.fall"))
	c := changed(t, s, "drain.fall", 0.25)
	assert.InDelta(t, 0.31, c.Drain.Route[0].Z.Nominal(), small)
	assert.True(t, c.Drain.Route[0].Z.IsExact())
	assert.InDelta(t, 0.12, c.Drain.Route[1].Z.Nominal(), small)
	assert.InDelta(t, 0.06, c.Drain.Route[2].Z.Nominal(), small)
	assert.InDelta(t, 0.25, NominalFall(c), small)

	below := routed(t, true)
	assert.InDelta(t, 0.08, NominalFall(below), small, "to the surface of the oil")
	assert.InDelta(t, 0.35, changed(t, below, "drain.fall", 0.25).Drain.Route[0].Z.Nominal(), small)
}

func TestWhatIsExactGoesWithNothing(t *testing.T) {
	s := ready(t, "sealed-drain")
	require.Len(t, s.Correlations, 1)
	assert.Empty(t, changed(t, s, "engine.blow_by.full_throttle", 1.5e-3).Correlations)
	assert.Len(t, changed(t, s, "drain.fall", 0.1).Correlations, 1, "the others stay")
	two := ready(t, "sealed-drain", scenarios.Change{Path: "correlations",
		Value: "[{between: [engine.blow_by.full_throttle, carry_over.oil_used], rank: 0.6}, {between: [engine.pulsation, oil.aeration], rank: -0.25}]"})
	left := changed(t, two, "engine.blow_by.full_throttle", 1.5e-3).Correlations
	require.Len(t, left, 1)
	assert.Equal(t, -0.25, left[0].Rank)
	assert.Equal(t, "engine.pulsation", left[0].Between[0].Path)

	reading := changed(t, s, "carry_over.oil_used", 0.4e-3)
	assert.False(t, reading.CarryOver.OilUsed.IsExact(), "a reading is never exact")
	assert.Len(t, reading.Correlations, 1)
}

func TestWhatCanNotBeSaysWhy(t *testing.T) {
	s := ready(t, "sealed-drain")
	_, err := Changed(s, "drain.fall", -0.1)
	assert.ErrorContains(t, err, "drain.fall: outside what is possible")
	_, err = Changed(s, "drain.fal", 0.1)
	assert.ErrorContains(t, err, "did you mean drain.fall?")
	_, err = Changed(s, "drain.length", 0.01)
	assert.ErrorContains(t, err, "shorter than the way down")
}

func TestSeveralChangesAtOnce(t *testing.T) {
	s := ready(t, "sealed-drain")
	c, err := changedAll(s, []string{"drain.dip", "drain.fall"}, []float64{0.1, 0.1425})
	require.NoError(t, err)
	assert.InDelta(t, 0.8, c.Drain.Length.Nominal(), small, "longer by both")
	c, err = changedAll(s, []string{"drain.dip", "drain.fall"}, []float64{0.1, 0.02})
	require.NoError(t, err)
	assert.InDelta(t, 0.7, c.Drain.Length.Nominal(), small, "less fall does not shorten it")
	c, err = changedAll(s, []string{"drain.length", "drain.fall"}, []float64{0.3, 0.1425})
	require.NoError(t, err)
	assert.InDelta(t, 0.3, c.Drain.Length.Nominal(), small, "a length that is asked for stays")
	// either alone would put closed throttle above full throttle
	_, err = changedAll(s, []string{"engine.blow_by.full_throttle", "engine.blow_by.closed_throttle"}, []float64{1e-4, 1e-5})
	assert.NoError(t, err)
}
