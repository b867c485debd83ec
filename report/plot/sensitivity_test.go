package plot

import (
	"bytes"
	"image/png"
	"io"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/sensitivity"
)

// splitOf is the split of a ready-made scenario between blocks, of few realizations.
func splitOf(t *testing.T) *sensitivity.Result {
	t.Helper()
	s, err := scenarios.Ready("sealed-drain")
	require.NoError(t, err)
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	a, err := sensitivity.New(m, sensitivity.ByBlock, sim.Options{Realizations: 700})
	require.NoError(t, err)
	r, err := a.Run(t.Context())
	require.NoError(t, err)
	return r
}

func index(v float64) sensitivity.Index {
	return sensitivity.Index{Value: v, Low: v - 0.1, High: v + 0.1, Error: 0.05}
}

func TestSensitivityPicture(t *testing.T) {
	r := splitOf(t)
	var b bytes.Buffer
	require.NoError(t, Sensitivity{Result: r, Units: units.Metric}.Write(&b, SVG))
	svg := b.String()
	for _, want := range []string{"the drain", "Overflow or a choked drain within 60 min", "The highest fill within 60 min", "share of the variance, %", "alone: what knowing it takes off", "700 realizations from 100 base points"} {
		assert.Contains(t, svg, want)
	}
	assert.NotContains(t, svg, "NaN")
	var again bytes.Buffer
	require.NoError(t, Sensitivity{Result: r, Units: units.Metric}.Write(&again, SVG))
	assert.Equal(t, svg, again.String(), "the same bytes")

	b.Reset()
	require.NoError(t, Sensitivity{Result: r, Of: []sensitivity.Output{sensitivity.PeakFill}}.Write(&b, PNG))
	if dir := os.Getenv("PICTURES"); dir != "" {
		require.NoError(t, os.WriteFile(dir+"/sensitivity.png", b.Bytes(), 0o644))
	}
	_, err := png.Decode(&b)
	require.NoError(t, err)
}

// Bars are as long as what they stand for; alone is full, with others hatched.
func TestSensitivityBars(t *testing.T) {
	var p panel
	first := index(0.4)
	p.bars(0, "an input", &first, index(0.8))
	require.Len(t, p.bands, 1)
	assert.Equal(t, 40.0, p.bands[0].low[1].x)
	assert.Equal(t, p.bands[0].low[1].x, p.bands[0].high[1].x)
	longest, strokes := 0.0, 0
	for _, l := range p.lines {
		if l.style.Color != rust {
			continue
		}
		strokes++
		for _, at := range l.points {
			longest = max(longest, at.x)
			assert.Negative(t, at.y, "below the row's middle")
		}
	}
	assert.InDelta(t, 80, longest, 1e-9)
	assert.Greater(t, strokes, 50, "hatched")

	var whiskers [][]point
	for _, l := range p.lines {
		if l.style.Color == ink && len(l.points) == 2 && l.points[0].y == l.points[1].y {
			whiskers = append(whiskers, l.points)
		}
	}
	require.Len(t, whiskers, 2)
	assert.InDelta(t, 30, whiskers[0][0].x, 1e-9)
	assert.InDelta(t, 50, whiskers[0][1].x, 1e-9)
	assert.InDelta(t, 90, whiskers[1][1].x, 1e-9)
}

func TestSensitivityOfNothing(t *testing.T) {
	r := &sensitivity.Result{Outputs: []sensitivity.OutputResult{{Output: sensitivity.Overflow, Telling: sensitivity.TooRare}}}
	err := Sensitivity{Result: r}.Write(io.Discard, SVG)
	require.Error(t, err)
	assert.True(t, strings.HasPrefix(err.Error(), "nothing to draw"))
}
