package plot

import (
	"bytes"
	"image/png"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/sim/learn"
)

func learnedOf(t *testing.T, n int) Learned {
	t.Helper()
	s, err := scenarios.Ready("sealed-drain")
	require.NoError(t, err)
	l := &learn.Learned{Scenario: s, Posterior: &learn.Posterior{Draws: &learn.Draws{Weight: make([]float64, 500)}}, Readings: make([]learn.Reading, 1), Own: 400}
	for _, q := range s.Inputs {
		if !q.IsExact() {
			l.Inputs = append(l.Inputs, learn.Input{Quantity: q, Told: len(l.Inputs) < n,
				After: learn.Spread{P05: q.Distribution.Quantile(0.3), P50: q.Distribution.Quantile(0.5), P95: q.Distribution.Quantile(0.8)},
				Place: learn.Spread{P05: 0.3, P50: 0.5, P95: 0.8}})
		}
	}
	return Learned{Learned: l}
}

// Each input has a row with two lines that differ in dash and marker, not in colour
// alone: before, which is 5 to 95 everywhere, above what came after.
func TestLearnedRows(t *testing.T) {
	f := learnedOf(t, 5).figure()
	require.Len(t, f.panels, 1)
	p := f.panels[0]
	require.Len(t, p.lines, 10)
	require.Len(t, p.y.ticks, 5)
	for i := 0; i < 10; i += 2 {
		before, after := p.lines[i], p.lines[i+1]
		assert.InDelta(t, 5, before.points[0].x, 1e-9)
		assert.InDelta(t, 95, before.points[2].x, 1e-9)
		assert.InDelta(t, 30, after.points[0].x, 1e-9)
		assert.InDelta(t, 80, after.points[2].x, 1e-9)
		assert.Greater(t, before.points[0].y, after.points[0].y)
		assert.InDelta(t, p.y.ticks[i/2].at, (before.points[0].y+after.points[0].y)/2, 1e-9)
		assert.NotEqual(t, before.marker, after.marker)
		assert.NotEqual(t, before.style.Dashes, after.style.Dashes)
		assert.Empty(t, before.name)
		assert.Contains(t, after.name, " .. ")
	}
	assert.Len(t, f.keys, 2)
	assert.Contains(t, f.subtitle, "Learned from 1 observation, seed 0, 500 draws worth 400 independent ones; 12 inputs more")
	assert.Len(t, learnedOf(t, 99).figure().panels[0].y.ticks, mostRows)
}

func TestLearnedIsDrawn(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, learnedOf(t, 3).Write(&b, PNG))
	_, err := png.Decode(&b)
	require.NoError(t, err)
	b.Reset()
	require.NoError(t, learnedOf(t, 3).Write(&b, SVG))
	assert.Contains(t, b.String(), "<title>")
	assert.NotContains(t, b.String(), "NaN")
	require.ErrorContains(t, learnedOf(t, 0).Write(&b, SVG), "nothing to draw")
	require.False(t, math.IsNaN(float64(learnedOf(t, 1).figure().height())))
}
