package decide

import (
	"context"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// What a ladder concludes is what running everything gives.
func TestLadderConcludesWhatARunGives(t *testing.T) {
	s := ready(t, "sealed-drain", scenarios.Change{Path: "sessions", Value: "[15 min, 30 min]"})
	const n = 600
	ran := 0
	l := &ladder{event: sim.OverflowOrChoked, ctx: context.Background(), n: n, ran: func(k int) { ran += k }, at: func(v float64) (*sim.Model, error) {
		changed, err := Changed(s, FallPath, v)
		require.NoError(t, err)
		return sim.NewModel(changed)
	}}
	falls := []float64{0.03, 0.05, 0.06, 0.07, 0.1}
	for _, i := range halving(len(falls)) {
		for _, session := range []float64{1800, 900} {
			c, err := l.counted(falls[i], session)
			require.NoError(t, err)
			m, err := l.at(falls[i])
			require.NoError(t, err)
			first := make([]float64, n)
			_, err = m.First(context.Background(), sim.Options{}, sim.OverflowOrChoked, nil, first)
			require.NoError(t, err)
			fails := int64(0)
			for _, f := range first {
				if f <= session {
					fails++
				}
			}
			assert.Equal(t, fails, c.Events(), "fall %g, session %g", falls[i], session)
		}
	}
	assert.Less(t, ran, 4*n, "five falls, two lengths: most of it follows")
	contrary, err := l.contradictions(0.055, 1800)
	require.NoError(t, err)
	assert.Zero(t, contrary)
}

// An input of which more hurts is found out.
func TestLadderFindsContradictions(t *testing.T) {
	s, err := scenarios.Ready("sealed-drain")
	require.NoError(t, err)
	l := &ladder{event: sim.OverflowOrChoked, ctx: context.Background(), n: 500, at: func(v float64) (*sim.Model, error) {
		changed, err := Changed(s, FallPath, 0.13-v)
		require.NoError(t, err)
		return sim.NewModel(changed)
	}}
	_, err = l.chance(0.1, 3600)
	require.NoError(t, err)
	n, err := l.contradictions(0.02, 3600)
	require.NoError(t, err)
	assert.Positive(t, n)
}

func TestHalvingTakesEachOnce(t *testing.T) {
	for n := range 30 {
		list := halving(n)
		slices.Sort(list)
		for i := range n {
			require.Equal(t, i, list[i])
		}
		require.Len(t, list, n)
	}
	assert.Equal(t, []int{0, 4, 2, 1, 3}, halving(5))
}

func TestSizesAreRoundedUp(t *testing.T) {
	for want, v := range map[float64]float64{0.65: 0.612, 0.5: 0.5, 0.08: 0.061, 1: 0.97, 1.9: 1.83, 2: 1.91, 2.25: 2.01, 3.5: 3.3} {
		assert.InDelta(t, want, 1e3*metricSizes.volume(v*1e-3), 1e-9)
	}
	assert.InDelta(t, 0.070, metricSizes.fall(0.0696), 1e-12)
	assert.InDelta(t, 0.070, metricSizes.fall(0.070), 1e-12)
	assert.InDelta(t, 2.75*0.0254, usSizes.fall(0.0696), 1e-12)
	assert.InDelta(t, 0.5*0.946352946e-3, usSizes.volume(0.45e-3), 1e-12)
}

func TestTablesAreChosenAroundTheScenario(t *testing.T) {
	for _, v := range []float64{0.1e-3, 0.45e-3, 2e-3} {
		list := sizesIn(units.Metric).volumesAround(v)
		assert.Contains(t, list, v)
		assert.True(t, slices.IsSorted(list))
		assert.LessOrEqual(t, list[0], 0.75*v)
		assert.GreaterOrEqual(t, list[len(list)-1], 3*v)
	}
	for _, f := range []float64{0, 0.0425, 0.12, 0.5} {
		list := metricSizes.fallsAround(f)
		assert.Len(t, list, 6)
		assert.GreaterOrEqual(t, list[5], max(2.5*f, 0.15)-1e-12)
		assert.Less(t, list[5], 2*max(2.5*f, 0.15)+1e-12)
	}
	assert.Equal(t, []float64{10e-3, 12.7e-3, 16e-3, 19e-3}, metricSizes.boresAround(12.7e-3))
	assert.Equal(t, []float64{4e-3, 6e-3, 8e-3}, metricSizes.boresAround(4e-3))
	assert.False(t, slices.ContainsFunc(usSizes.boresAround(0.5), math.IsNaN))
}
