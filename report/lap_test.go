package report

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/sim"
)

const g = 9.80665

// TestFiguresOfALap checks a lap that was summed up by hand.
func TestFiguresOfALap(t *testing.T) {
	car := &sim.Car{Laps: []int{0, 4}, Lap: []sim.Phase{
		{Duration: 4, Load: 1},                // burst, goes on from the last phase: 4 + 3
		{Duration: 3, Load: 0, Left: 0.9 * g}, // corner of 3 s and 1 s, joined
		{Duration: 1, Load: 0.5, Left: -0.81 * g},
		{Duration: 2, Load: 0.5, Left: 0.8 * g}, // not above 0.8 g
		{Duration: 5, Load: 0.99},               // burst of 5
		{Duration: 1, Load: 0, Left: -g},        // above, too short to count as a corner
		{Duration: 6, Load: 1, Stopped: true},   // neither
		{Duration: 3, Load: 1, Left: -0.4 * g},
	}}
	f := figuresOf(car)
	assert.InDelta(t, 12.5, f.lapTime, 1e-12)
	assert.InDelta(t, 12.0/25, f.fullThrottle, 1e-12)
	assert.InDeltaSlice(t, []float64{5, 7}, f.bursts, 1e-12)
	assert.InDelta(t, 6.0, median(f.bursts), 1e-12)
	assert.InDelta(t, (4+0.5+1+4.95+3)/19, f.meanLoad, 1e-12)
	assert.InDelta(t, 5.0/2, f.above, 1e-12)
	assert.InDelta(t, 4.0/2, f.corners, 1e-12)
	assert.InDelta(t, 6.0/2, f.stopped, 1e-12)
	assert.InDelta(t, 5.0/2, f.left, 1e-12)
	assert.InDelta(t, 5.0/2, f.right, 1e-12)
}

func TestFiguresOfNothingButFullThrottle(t *testing.T) {
	f := figuresOf(&sim.Car{Laps: []int{0}, Lap: []sim.Phase{{Duration: 4, Load: 1}, {Duration: 2, Load: 1}}})
	assert.True(t, f.allFullThrottle)
	assert.Equal(t, []float64{6}, f.bursts)
	f = figuresOf(&sim.Car{Laps: []int{0}, Lap: []sim.Phase{{Duration: 4, Load: 0.5}}})
	assert.Empty(t, f.bursts)
}

// TestFiguresOfALogAgreeWithItsReport compares two ways of adding up.
func TestFiguresOfALogAgreeWithItsReport(t *testing.T) {
	s := ready(t, "sealed-can")
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	f, p := figuresOf(m.Nominal()), s.Duty.Log.Report
	assert.InDelta(t, p.FullThrottleShare, f.fullThrottle, 1e-9)
	assert.InDelta(t, p.MeanLoad, f.meanLoad, 1e-9)
	assert.InDelta(t, p.LapTime, f.lapTime, 1e-9)
	assert.InDelta(t, p.TimeAbove08g, f.above*float64(p.Laps), 1e-9)
	assert.InDelta(t, p.LongCorners, f.corners*float64(p.Laps), 1e-9)
}

func TestLapOfALogShowsTheFirstLapUnlessAskedForAll(t *testing.T) {
	s := ready(t, "sealed-can")
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	r := Lap{Scenario: s, Car: m.Nominal()}
	assert.Equal(t, m.Nominal().Laps[1], r.listed())
	assert.Contains(t, written(t, r, Text), "The first lap only")
	r.All = true
	assert.Equal(t, len(m.Nominal().Lap), r.listed())
	all := written(t, r, Text)
	assert.NotContains(t, all, "The first lap only")
	assert.Contains(t, all, "How the log was read")

	var j struct {
		Phases []struct {
			For float64 `json:"for_s"`
			Lap int
		}
		Log struct{ Laps int }
	}
	require.NoError(t, json.Unmarshal([]byte(written(t, r, JSON)), &j))
	require.Len(t, j.Phases, len(m.Nominal().Lap))
	assert.Equal(t, 1, j.Phases[0].Lap)
	assert.Equal(t, j.Log.Laps, j.Phases[len(j.Phases)-1].Lap)
	assert.Equal(t, len(j.Phases)+1, strings.Count(written(t, r, CSV), "\n"))
}

func TestLapOfAPattern(t *testing.T) {
	s := ready(t, "sealed-drain", scenarios.Change{Path: "duty", Value: "{pattern: {full_throttle: 40 %, burst: 6 s}}"})
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	text := written(t, Lap{Scenario: s, Car: m.Nominal()}, Text)
	assert.Contains(t, text, "Random bursts")
	assert.Contains(t, text, "40.0 % of the time; bursts of 6 s")
}
