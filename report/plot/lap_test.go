package plot

import (
	"bytes"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

func lapOf(t *testing.T, name string, changes ...scenarios.Change) Lap {
	t.Helper()
	s, err := scenarios.Ready(name)
	require.NoError(t, err)
	s, err = s.With(changes...)
	require.NoError(t, err)
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	c, err := m.CircuitLap()
	require.NoError(t, err)
	return Lap{Scenario: s, Car: m.Nominal(), Circuit: c}
}

func TestLapShowsSpeedWhereItIsKnown(t *testing.T) {
	rest := []string{"Load, %", "Acceleration forward, g (braking counts negative)", "Acceleration to the left, g (a right turn counts negative)"}
	plain := lapOf(t, "sealed-drain")
	assert.Equal(t, rest, headings(plain.figure()))
	texts := svgOf(t, plain.Write).texts
	assert.Contains(t, texts, "A nominal lap of 89 s")
	assert.Contains(t, texts, "time, s")
	assert.NotContains(t, texts, "as driven")
	assert.NotContains(t, texts, "engine stopped")

	round := lapOf(t, "four-hours")
	assert.Equal(t, append([]string{"Speed, km/h"}, rest...), headings(round.figure()))
	texts = svgOf(t, round.Write).texts
	for _, text := range []string{"as driven", "in phases", "0.8 g", "-0.8 g"} {
		assert.Contains(t, texts, text)
	}
	assert.Contains(t, svgOf(t, round.Write).title, "Circuit larkmoor-long of 4,58")
	round.Units = units.US
	assert.Contains(t, headings(round.figure()), "Speed, mph")
	assert.Contains(t, svgOf(t, round.Write).title, "Circuit larkmoor-long of 15,0")
}

func TestLapNamesItsVariant(t *testing.T) {
	l := lapOf(t, "four-hours")
	assert.NotContains(t, svgOf(t, l.Write).title, "variant")
	v, err := l.Scenario.Variant("always to the left")
	require.NoError(t, err)
	l.Scenario = v
	assert.Contains(t, svgOf(t, l.Write).title, `; variant "always to the left"`)
}

// TestSpeedIsDrawnAtItsTime reads the highest and the lowest speed back.
func TestSpeedIsDrawnAtItsTime(t *testing.T) {
	l := lapOf(t, "four-hours")
	points := l.figure().panels[0].lines[0].points
	require.Len(t, points, len(l.Circuit.Samples))
	low, high := reach(1e9, 0, points)
	assert.InDelta(t, 3.6*l.Circuit.TopSpeed, high, 1e-9)
	assert.InDelta(t, 3.6*l.Circuit.Least, low, 1e-9)
	way := 0.0
	for i, p := range points {
		s := l.Circuit.Samples[i]
		way += s.Duration * p.y / 3.6
		assert.InDelta(t, s.Time+s.Duration/2, p.x, 1e-9)
	}
	assert.InDelta(t, l.Circuit.Length, way, 1e-3)
}

// TestPhasesAreDrawnAsSteps compares every phase with its step: a left turn up.
func TestPhasesAreDrawnAsSteps(t *testing.T) {
	l := lapOf(t, "sealed-drain", scenarios.Change{Path: "duty", Value: "{lap: [{for: 9 s, load: 100 %, forward: 0.3 g}, {for: 4 s, load: 0 %, left: 1.1 g}, {for: 20 s, engine: stopped}, {for: 7 s, engine: stopped}, {for: 5 s, load: 20 %, left: -0.9 g}]}"})
	f := l.figure()
	last := func(i int) []point { return f.panels[i].lines[len(f.panels[i].lines)-1].points }
	near := func(want, got []point) {
		require.Len(t, got, len(want))
		for i := range want {
			assert.InDelta(t, want[i].x, got[i].x, 1e-9)
			assert.InDelta(t, want[i].y, got[i].y, 1e-9)
		}
	}
	near([]point{{0, 100}, {9, 100}, {9, 0}, {13, 0}, {13, 0}, {33, 0}, {33, 0}, {40, 0}, {40, 20}, {45, 20}}, last(0))
	near([]point{{0, 0}, {9, 0}, {9, 1.1}, {13, 1.1}, {13, 0}, {33, 0}, {33, 0}, {40, 0}, {40, -0.9}, {45, -0.9}}, last(2))
	near([]point{{0, 0.3}, {9, 0.3}, {9, 0}, {13, 0}, {13, 0}, {33, 0}, {33, 0}, {40, 0}, {40, 0}, {45, 0}}, last(1))
	assert.Equal(t, []span{{13, 40}}, f.panels[1].shaded)
	assert.Contains(t, svgOf(t, l.Write).texts, "engine stopped")
}

func TestLapOfALogIsTheFirst(t *testing.T) {
	l := lapOf(t, "sealed-can")
	first := l.duration()
	assert.Contains(t, strings.Join(svgOf(t, l.Write).texts, " "), "Data log larkmoor-laps.csv, the first of 3 laps, 89.3 s")
	l.All = true
	assert.Greater(t, l.duration(), 2.5*first)
	assert.Contains(t, strings.Join(svgOf(t, l.Write).texts, " "), "all 3 laps in a row")

	burst := lapOf(t, "sealed-drain", scenarios.Change{Path: "duty", Value: "{pattern: {full_throttle: 40 %, burst: 6 s}}"})
	assert.Contains(t, svgOf(t, burst.Write).texts, "Random bursts of full throttle: one mean burst and one mean rest, 15 s")

	long := lapOf(t, "sealed-drain", scenarios.Change{Path: "duty", Value: "{lap: [{for: 900 s, load: 100 %}]}"})
	assert.Equal(t, "time, min", long.figure().x.label)
	assert.InDelta(t, 15, long.figure().x.high, 1e-9)
}

func TestLapIsDrawnTheSameEachTime(t *testing.T) {
	for _, format := range []Format{SVG, PNG} {
		var a, b bytes.Buffer
		require.NoError(t, lapOf(t, "four-hours").Write(&a, format))
		require.NoError(t, lapOf(t, "four-hours").Write(&b, format))
		assert.True(t, bytes.Equal(a.Bytes(), b.Bytes()))
		assert.Less(t, a.Len(), 300_000)
	}
	assert.Error(t, Lap{Scenario: &scenarios.Scenario{}, Car: &sim.Car{}}.Write(io.Discard, SVG))
}
