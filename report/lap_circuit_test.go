package report

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// lapOf looks at the lap of a scenario, with what follows from its inputs.
func lapOf(t *testing.T, s *scenarios.Scenario) Lap {
	t.Helper()
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	r := Lap{Scenario: s, Car: m.Nominal()}
	r.Circuit, err = m.CircuitLap()
	require.NoError(t, err)
	r.Follows, err = m.Follows(context.Background(), 1, 100)
	require.NoError(t, err)
	return r
}

// handMade is 40 m in 2 s, 60 m in 2 s and 100 m in 10 s.
func handMade() *sim.CircuitLap {
	return &sim.CircuitLap{Length: 200, Turning: 2 * math.Pi, Time: 14, TopSpeed: 30, Least: 10, Samples: []sim.LapSample{
		{Distance: 0, Time: 0, Duration: 2, Speed: 20, Load: 1, Forward: 5},
		{Distance: 40, Time: 2, Duration: 2, Speed: 30, Forward: -10},
		{Distance: 100, Time: 4, Duration: 10, Speed: 10, Load: 0.5, Left: 8},
	}}
}

// TestPlacesOfPhases adds up samples that phases cut in two.
func TestPlacesOfPhases(t *testing.T) {
	r := Lap{
		Scenario: &scenarios.Scenario{Duty: scenarios.Duty{Circuit: &scenarios.Circuit{Layout: "made"}}}, Circuit: handMade(),
		Car: &sim.Car{Laps: []int{0}, Lap: []sim.Phase{{Duration: 3, Load: 1}, {Duration: 0}, {Duration: 6}, {Duration: 5}}},
	}
	places := r.places()
	require.Len(t, places, 4)
	for i, want := range []place{{0, 70.0 / 3}, {70, math.NaN()}, {70, 80.0 / 6}, {150, 10}} {
		assert.InDelta(t, want.at, places[i].at, 1e-12, "phase %d", i+1)
		if math.IsNaN(want.speed) {
			assert.True(t, math.IsNaN(places[i].speed))
			continue
		}
		assert.InDelta(t, want.speed, places[i].speed, 1e-12, "phase %d", i+1)
	}
	text := written(t, r, Text)
	assert.Contains(t, text, "Circuit made of 200 m, once round in 4 phases")
	assert.Regexp(t, `(?m)^ +3 +3.00 +6.00 +0 +0.00 +0.00 +70 +48$`, text, "80 m in 6 s are 48 km/h")
	assert.Regexp(t, `(?m)^speed +36 to 108 km/h$`, text)
	assert.Nil(t, Lap{Car: r.Car}.places())

	r.Units = units.US
	text = written(t, r, Text)
	assert.Contains(t, text, "Circuit made of 656 ft")
	assert.Regexp(t, `(?m)^speed +22 to 67 mph$`, text)
}

// TestDistancesAddUp: speed times time over the phases is once round.
func TestDistancesAddUp(t *testing.T) {
	r := lapOf(t, ready(t, "four-hours"))
	total, places := 0.0, r.places()
	for i, p := range r.Car.Lap {
		assert.InDelta(t, total, places[i].at, 1e-6*r.Circuit.Length)
		total += p.Duration * places[i].speed
		assert.GreaterOrEqual(t, places[i].speed, r.Circuit.Least-1e-9)
		assert.LessOrEqual(t, places[i].speed, r.Circuit.TopSpeed+1e-9)
	}
	assert.InDelta(t, r.Circuit.Length, total, 1e-6*r.Circuit.Length)
}

func TestSamplesForPrograms(t *testing.T) {
	r := lapOf(t, ready(t, "four-hours"))
	rows, err := csv.NewReader(strings.NewReader(written(t, r, CSV))).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, len(r.Car.Lap)+1)
	assert.Equal(t, []string{"distance_m", "speed_m_s"}, rows[0][7:])

	r.Samples = true
	rows, err = csv.NewReader(strings.NewReader(written(t, r, CSV))).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, len(r.Circuit.Samples)+1)
	assert.Equal(t, []string{"distance_m", "time_s", "for_s", "speed_m_s", "load", "forward_m_s2", "left_m_s2"}, rows[0])
	time, way := 0.0, 0.0
	for _, row := range rows[1:] {
		at := func(i int) float64 {
			v, err := strconv.ParseFloat(row[i], 64)
			require.NoError(t, err)
			return v
		}
		assert.InDelta(t, time, at(1), 1e-6)
		assert.InDelta(t, way, at(0), 1e-3)
		time, way = time+at(2), way+at(2)*at(3)
	}
	assert.InDelta(t, r.Circuit.Time, time, 1e-6)
	assert.InDelta(t, r.Circuit.Length, way, 1e-3)

	var j struct {
		LapTime float64 `json:"lap_time_s"`
		Circuit struct {
			Name    string
			Length  float64 `json:"length_m"`
			Turning float64 `json:"turning_rad"`
			Top     float64 `json:"top_speed_m_s"`
			Spread  struct {
				LapTime struct{ P05, P50, P95 float64 } `json:"lap_time_s"`
			} `json:"over_realizations"`
			Samples []struct {
				Speed float64 `json:"speed_m_s"`
			}
		}
		Phases []struct {
			At    *float64 `json:"distance_m"`
			Speed *float64 `json:"speed_m_s"`
		}
	}
	require.NoError(t, json.Unmarshal([]byte(written(t, r, JSON)), &j))
	assert.Equal(t, "larkmoor-long", j.Circuit.Name)
	assert.Equal(t, r.Circuit.Length, j.Circuit.Length)
	assert.Equal(t, r.Circuit.TopSpeed, j.Circuit.Top)
	assert.InDelta(t, r.Circuit.Time, j.LapTime, 1e-9)
	assert.Equal(t, r.Follows.LapTime.P05, j.Circuit.Spread.LapTime.P05)
	require.Len(t, j.Circuit.Samples, len(r.Circuit.Samples))
	assert.Equal(t, r.Circuit.Samples[7].Speed, j.Circuit.Samples[7].Speed)
	require.NotNil(t, j.Phases[3].Speed)
	assert.Equal(t, r.places()[3].at, *j.Phases[3].At)

	assert.NotContains(t, written(t, lapOf(t, ready(t, "sealed-drain")), JSON), "circuit")
}

func TestWhatACircuitDoesNot(t *testing.T) {
	corner := func(degrees float64, right bool) scenarios.Segment {
		return scenarios.Segment{Radius: 50, Angle: degrees * math.Pi / 180, Right: right}
	}
	r := Lap{Scenario: &scenarios.Scenario{}, Circuit: handMade()}
	r.Scenario.Duty.Circuit = &scenarios.Circuit{Segments: []scenarios.Segment{{Length: 90}, corner(180, false), corner(180, false)}}
	assert.Equal(t, "turns 360° to the left, always to that side, in 2 corners", r.turning())
	r.Scenario.Duty.Circuit.Segments = append(r.Scenario.Duty.Circuit.Segments, corner(90, false), corner(90, true))
	assert.Equal(t, "turns 360° to the left in all: 3 corners to the left (450°), 1 to the right (90°)", r.turning())
	r.Circuit.Turning = -2 * math.Pi
	assert.Contains(t, r.turning(), "turns 360° to the right in all")
	r.Circuit.Turning = 0
	assert.Contains(t, r.turning(), "turns as far to the left as to the right in all")

	r.Scenario.Duty.Circuit = &scenarios.Circuit{CentreLine: &scenarios.CentreLine{File: "map.csv"}}
	r.Circuit.Gap = 0.9
	r.Circuit.Fit = &sim.CentreLineFit{Points: 1234, LargestOffset: 0.6, CurvatureError: 0.001}
	text := factsText(r.circuitFacts())
	assert.NotContains(t, text, "gap")
	assert.Contains(t, text, "1,234 points, smoothed: the line passes them by up to 600 mm; its curvature is off by 0.001 1/m, a tenth of that of a corner of 100 m (standard error)")
	assert.Equal(t, "Circuit by the centre line map.csv of 200 m", CircuitName(r.Scenario, r.Circuit, units.Metric))
	r.Circuit.Gap = 15.7
	assert.NotContains(t, factsText(r.circuitFacts()), "gap", "of a centre line it is a step between two points")
	fit := r.Circuit.Fit
	r.Circuit.Fit = nil
	assert.Contains(t, factsText(r.circuitFacts()), "gap: it does not close as laid out: its end is 15.7 m from its start")
	r.Circuit.Fit = fit
	r.Units = units.US // 0.001 1/m is 0.0003048 1/ft
	assert.Contains(t, factsText(r.circuitFacts()), "off by 0.0003 1/ft, a tenth of that of a corner of 328 ft")
}

func factsText(f facts) string {
	var lines []string
	for _, x := range f {
		lines = append(lines, x.name+": "+x.value)
	}
	return strings.Join(lines, "\n")
}

// TestLapTellsItsSpreadAndTheEvent: only where something spreads.
func TestLapTellsItsSpreadAndTheEvent(t *testing.T) {
	r := lapOf(t, ready(t, "four-hours"))
	r.Follows.LapTime = sim.Spread{P05: 104.04, P50: 108, P95: 113.06}
	r.Follows.FullThrottleShare = sim.Spread{P05: 0.5, P50: 0.55, P95: 0.6}
	text := strings.Join(strings.Fields(written(t, r, Text)), " ")
	assert.Contains(t, text, "108 s at nominal values; 104.0 .. 113.1 s in 90 % of 100 realizations")
	assert.Contains(t, text, "; 50.0 .. 60.0 % in 90 % of 100 realizations")
	assert.Contains(t, text, "Event of 4 h: stint of 55 min, stop of 5 +- 1 min")
	r.Follows.LapTime = sim.Spread{P05: 108, P50: 108, P95: 108}
	assert.NotContains(t, written(t, r, Text), "at nominal values")
	assert.NotContains(t, written(t, lapOf(t, ready(t, "sealed-drain")), Text), "realizations")
	assert.NotContains(t, written(t, lapOf(t, ready(t, "sealed-drain")), Text), "Event of")
	fits(t, written(t, r, Text))
}
