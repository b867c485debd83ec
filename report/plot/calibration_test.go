package plot

import (
	"io"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/report"
	"sumpward/sim/pool"
)

func TestCalibration(t *testing.T) {
	list := []pool.Forecast{{Said: 0.97, Came: true}, {Said: 0.01}}
	for i := range 9 {
		list = append(list, pool.Forecast{Said: 0.3, Came: i < 3})
	}
	k := Calibration{Title: "Logbook shop.csv: how forecasts came true", Events: []report.ScoredEvent{
		{Name: "overflow", Scored: pool.Score(list)}, {Name: "choked drain", Scored: pool.Score(nil)},
	}}
	d := svgOf(t, k.Write)
	for _, text := range []string{"Came true, %: overflow", "3 of 9", "1 of 1", "0 of 1", "as said", "said before, %", "came true, with its interval"} {
		assert.Contains(t, d.texts, text)
	}
	f := k.figure()
	require.Len(t, f.panels, 1, "nothing of the other")
	lines := f.panels[0].lines
	require.Len(t, lines, 1+3*2)
	assert.Equal(t, []point{{0, 0}, {100, 100}}, lines[0].points)
	bar, dot := lines[3], lines[4]
	assert.InDelta(t, 30, bar.points[0].x, 1e-9)
	assert.InDelta(t, 7.49, bar.points[0].y, 0.05) // Clopper and Pearson, 3 of 9
	assert.InDelta(t, 70.07, bar.points[1].y, 0.05)
	assert.InDelta(t, 100.0/3, dot.points[0].y, 1e-9)
	require.NoError(t, k.Write(io.Discard, PNG))

	k.Events = k.Events[1:]
	assert.ErrorContains(t, k.Write(io.Discard, SVG), "nothing to draw")
}
