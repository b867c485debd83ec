package report

import (
	"encoding/csv"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/stats"
)

// event is a ready-made scenario driven by a schedule.
func event(t *testing.T, name, schedule, length string, more ...scenarios.Change) *scenarios.Scenario {
	t.Helper()
	return ready(t, name, append([]scenarios.Change{
		{Path: "duty.schedule", Value: schedule}, {Path: "duty.event", Value: length}, {Path: "sessions"},
	}, more...)...)
}

const fourStints = "[{drive: 55 min}, {stop: 5 min, oil: topped_up}]"

// stinted is a result by hand of an event of n stints, an hour each, in which so
// many of 1,000 realizations overflow and choke: in the first, and in the others.
func stinted(t *testing.T, kind sim.DrainKind, n int, first, others int64) *sim.Result {
	t.Helper()
	s := event(t, "sealed-drain", fourStints, "24 h", scenarios.Change{Path: "oil.temperature.settled", Value: "110 C"})
	res := made(t, kind, 1000, sim.Events{})
	res.Scenario = s
	res.Sessions = nil
	for _, length := range s.Sessions {
		res.Sessions = append(res.Sessions, sim.SessionResult{Length: length, Overflow: shareOf(0), Fails: shareOf(0), OverPressure: shareOf(0), OilLost: shareOf(0)})
	}
	for i := range n {
		k, from := others, 363.15
		if i == 0 {
			k, from = first, 298.15
		}
		res.Stints = append(res.Stints, sim.StintResult{
			Start: float64(i) * 3600, End: float64(i)*3600 + 3300, StartTemperature: from, EndTemperature: 383.15, Reached: 1000,
			Overflow: shareOf(0), DrainChoked: shareOf(k), OverPressure: shareOf(1000), Fails: shareOf(k),
			DrainChokedEvents: k, OverPressureEvents: 1000, FailsEvents: k,
		})
	}
	return res
}

func shareOf(k int64) stats.Estimate {
	i := stats.ClopperPearson(float64(k), 1000, sim.Level)
	return stats.Estimate{Probability: float64(k) / 1000, Low: i.Low, High: i.High}
}

func TestStintsAreToldOneByOne(t *testing.T) {
	r := Run{Result: stinted(t, sim.Sealed, 3, 120, 30)}
	rows := r.stints().rows
	require.Len(t, rows, 3)
	// Clopper and Pearson, 120 and 30 of 1,000: 10.05 .. 14.18 and 2.03 .. 4.26 %
	assert.Equal(t, []string{"1", "0:00-0:55", "25→110", "none (< 0.37)", "12 (10 .. 14)", "all (> 99.63)"}, rows[0])
	assert.Equal(t, []string{"3", "2:00-2:55", "90→110", "none (< 0.37)", "3.0 (2.0 .. 4.3)", "all (> 99.63)"}, rows[2])
	text := written(t, r, Text)
	fits(t, text)
	assert.Contains(t, oneLine(text), "In each stint and the stop after it, whatever happened before: the chance in % and its 95 % interval")
	assert.Contains(t, oneLine(text), "In the first stint, with oil from 25 °C and an empty can, the can overflows or its drain backs up in 12 %; "+
		"in the others, from 90 °C or warmer, in 3.0 %: the first is the worst.")
	r.Units = units.US
	assert.Equal(t, "77→230", r.stints().rows[0][2])
	assert.Contains(t, r.stints().head, "oil, °F")

	dry := Run{Result: stinted(t, sim.NoDrain, 3, 120, 30)}
	assert.Equal(t, []string{"stint", "hours", "oil, °C", "overflow", "over-pressure"}, dry.stints().head)
	assert.Empty(t, Run{Result: stinted(t, sim.Sealed, 1, 120, 30)}.stints().rows, "the event itself")
}

func TestFirstStintIsComparedWithTheOthers(t *testing.T) {
	of := func(first, others int64) string {
		return FirstStint(stinted(t, sim.Sealed, 3, first, others), units.Metric)
	}
	assert.Contains(t, of(30, 120), ": the first is the best.")
	assert.Contains(t, of(30, 31), ": the first can't be told from the others.")
	assert.Contains(t, of(0, 31), "in none of 1,000; ")
	res := stinted(t, sim.Sealed, 3, 120, 30)
	res.Stints[0].StartTemperature = 92 + 273.15
	assert.Empty(t, FirstStint(res, units.Metric), "not cold")
	assert.Empty(t, FirstStint(stinted(t, sim.Sealed, 1, 120, 30), units.Metric), "no other")
	assert.Empty(t, FirstStint(made(t, sim.Sealed, 1000, sim.Events{}), units.Metric), "no schedule")
}

// Many stints are told in runs that can't be told apart, from the lowest to the
// highest end of their intervals.
func TestManyStintsAreToldInRuns(t *testing.T) {
	res := stinted(t, sim.Sealed, 24, 120, 30)
	res.Stints[5].DrainChoked, res.Stints[5].DrainChokedEvents = shareOf(35), 35
	res.Stints[20].DrainChoked, res.Stints[20].DrainChokedEvents = shareOf(200), 200
	assert.Equal(t, []StintRun{{0, 0}, {1, 19}, {20, 20}, {21, 23}}, StintRuns(res))
	rows := Run{Result: res}.stints().rows
	// 30 and 35 of 1,000: 2.03 .. 4.26 % and 2.45 .. 4.84 %
	assert.Equal(t, []string{"2-20", "1:00-19:55", "90→110", "none (< 0.37)", "2.0 .. 4.8", "all (> 99.63)"}, rows[1])
	assert.Equal(t, "20 (18 .. 23)", rows[2][4])

	res = stinted(t, sim.Sealed, 120, 120, 30)
	for i := 1; i < 120; i += 2 {
		res.Stints[i].DrainChoked, res.Stints[i].DrainChokedEvents = shareOf(500), 500
	}
	runs := StintRuns(res)
	assert.LessOrEqual(t, len(runs), mostStintRuns)
	next := 0
	for _, run := range runs {
		assert.Equal(t, next, run.First)
		next = run.Last + 1
	}
	assert.Equal(t, 120, next)
	assert.Equal(t, StintRun{0, 0}, runs[0])
	assert.Equal(t, "2 .. 53", Run{Result: res}.stints().rows[1][4], "3 % and 50 % alternate")
}

func TestWideRowsOfStintsLeaveTheEstimateOut(t *testing.T) {
	res := stinted(t, sim.Sealed, 12, 100, 100)
	for i := range res.Stints {
		res.Stints[i].Overflow, res.Stints[i].OverflowEvents = shareOf(100), 100
		res.Stints[i].OverPressure, res.Stints[i].OverPressureEvents = shareOf(100), 100
	}
	r := Run{Result: res}
	table := r.stints()
	assert.LessOrEqual(t, table.natural(), Width)
	assert.Equal(t, "8.2 .. 12.0", table.rows[0][3])
	assert.Contains(t, table.heading, "the 95 % interval of the chance, in %")
	fits(t, written(t, r, Text))
}

// What rounding leaves at the end of an event is no stint.
func TestEndOfAnEventIsNoStint(t *testing.T) {
	res := stinted(t, sim.Sealed, 4, 1, 1)
	res.Stints[3].Start, res.Stints[3].End = 4*3600-1e-9, 4*3600
	assert.Len(t, Stints(res), 3)
}

func TestStintsForPrograms(t *testing.T) {
	r := Run{Result: stinted(t, sim.Sealed, 3, 120, 30)}
	var j struct {
		Stints []struct {
			Start   float64 `json:"start_s"`
			End     float64 `json:"end_s"`
			Oil     float64 `json:"oil_at_start_K"`
			Reached int
			Choked  struct {
				Probability, Low, High float64
				Events                 int
			} `json:"drain_choked"`
		}
	}
	require.NoError(t, json.Unmarshal([]byte(written(t, r, JSON)), &j))
	require.Len(t, j.Stints, 3)
	want := r.Result.Stints[0]
	assert.Equal(t, []float64{0, 3300, 298.15}, []float64{j.Stints[0].Start, j.Stints[0].End, j.Stints[0].Oil})
	assert.Equal(t, want.DrainChoked, stats.Estimate{Probability: j.Stints[0].Choked.Probability, Low: j.Stints[0].Choked.Low, High: j.Stints[0].Choked.High})
	assert.Equal(t, []int{1000, 120}, []int{j.Stints[0].Reached, j.Stints[0].Choked.Events})

	rows, err := csv.NewReader(strings.NewReader(written(t, r, CSV))).ReadAll()
	require.NoError(t, err)
	n := len(r.Result.Sessions)
	require.Len(t, rows, 1+n+3)
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	assert.Equal(t, "", rows[n][column["stint"]])
	assert.Equal(t, "86400", rows[n][column["length_s"]])
	stint := rows[n+1]
	for name, want := range map[string]string{
		"length_s": "", "stint": "1", "start_s": "0", "end_s": "3300", "oil_at_start_K": "298.15", "drain_choked_probability": "0.12",
		"drain_choked_events": "120", "oil_lost_probability": "", "overflow_or_choked_events": "120", "realizations": "1000", "peak_fill_p05": "",
	} {
		assert.Equal(t, want, stint[column[name]], name)
	}
	plain := written(t, Run{Result: made(t, sim.Sealed, 100, sim.Events{})}, CSV)
	assert.NotContains(t, plain, "stint")
}

// An event is driven as the simulator drives it: what is told is what it found.
func TestRunOfAnEvent(t *testing.T) {
	res := ran(t, event(t, "sealed-drain", "[{drive: 10 min}, {stop: 5 min}]", "30 min", scenarios.Change{Path: "duty.slow_laps", Value: "{chance: 35 %, for: 2 min}"}))
	require.Len(t, Stints(res), 2)
	text := oneLine(written(t, Run{Result: res}, Text))
	assert.Contains(t, text, "Event of 30 min: stints of 10 min, stops of 5 min (engine stopped), slow laps of 2 min in 35 % of the stints")
	assert.Contains(t, text, "Chance by the end of …, and its 95 % interval from sampling alone the first ")
	assert.Contains(t, text, "0:15-0:25")
	assert.Contains(t, text, " simulated ")
	assert.Contains(t, text, "event")
	assert.NotContains(t, text, "session")
}

func TestLongEventsLeaveLengthsOut(t *testing.T) {
	r := Run{Result: stinted(t, sim.Sealed, 24, 120, 30)}
	require.Len(t, r.Result.Sessions, 24)
	assert.Equal(t, []int{0, 2, 5, 8, 11, 14, 17, 20, 23}, r.told())
	r.Requirements = []RequirementResult{{session: 3}}
	assert.Contains(t, r.told(), 3)
	assert.Contains(t, written(t, r, Text), "14 of the 24 lengths: --format json or csv has them all")
	plain := Run{Result: made(t, sim.Sealed, 100, sim.Events{}, sim.Events{}, sim.Events{}, sim.Events{})}
	assert.Equal(t, []int{0, 1, 2, 3}, plain.told())
}
