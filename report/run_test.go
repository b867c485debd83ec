package report

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

func ran(t *testing.T, s *scenarios.Scenario) *sim.Result {
	t.Helper()
	res, err := sim.Run(context.Background(), s, sim.Options{Realizations: 300})
	require.NoError(t, err)
	return res
}

func ready(t *testing.T, name string, changes ...scenarios.Change) *scenarios.Scenario {
	t.Helper()
	s, err := scenarios.Ready(name)
	require.NoError(t, err)
	s, err = s.With(changes...)
	require.NoError(t, err)
	return s
}

func written(t *testing.T, r Report, f Format) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Write(&b, r, f))
	return b.String()
}

// short keeps a test fast.
var short = scenarios.Change{Path: "sessions", Value: "[15 min, 20 min]"}

// TestEveryReportFitsATerminal looks at every ready-made scenario and variant
// in both systems of units, under a title that is long and hostile.
func TestEveryReportFitsATerminal(t *testing.T) {
	title := scenarios.Change{Path: "title", Value: strings.Repeat("A long title | with 漢字 ", 8)}
	for _, name := range scenarios.ReadyNames() {
		s := ready(t, name, title, short)
		for _, s := range append(variants(t, s), s) {
			m, err := sim.NewModel(s)
			require.NoError(t, err)
			res, err := sim.Run(context.Background(), s, sim.Options{Realizations: 50})
			require.NoError(t, err)
			trace, err := m.Replay(context.Background(), nil, 1, res.Worst.Realization, 5)
			require.NoError(t, err)
			for _, u := range []units.System{units.Metric, units.US} {
				for _, r := range []Report{
					Run{Result: res, Units: u}, Inputs{Scenario: s, Units: u}, Lap{Scenario: s, Car: m.Nominal(), Units: u, All: true},
					withGains(t, s, u), Replay{s, trace, u},
				} {
					fits(t, written(t, r, Text))
					assert.NotContains(t, written(t, r, Text), "NaN")
					assert.NotContains(t, written(t, r, Markdown), "NaN")
				}
			}
		}
	}
}

func variants(t *testing.T, s *scenarios.Scenario) []*scenarios.Scenario {
	t.Helper()
	var list []*scenarios.Scenario
	for _, name := range s.Variants {
		v, err := s.Variant(name)
		require.NoError(t, err)
		list = append(list, v)
	}
	return list
}

func TestRunStaysOnOnePage(t *testing.T) {
	for _, name := range scenarios.ReadyNames() {
		res, most := ran(t, ready(t, name)), 50
		if len(res.Stints) > 0 {
			most = 70 // the stints of an event, and how it is driven
		}
		assert.LessOrEqual(t, strings.Count(written(t, Run{Result: res}, Text), "\n"), most, name)
	}
}

// TestRunSaysTheSameInEveryFormat compares what is shown with the result itself.
func TestRunSaysTheSameInEveryFormat(t *testing.T) {
	s := ready(t, "lost-circuit", short)
	res := ran(t, s)
	r := Run{Result: res}

	var j struct {
		Format       string
		Version      int
		Scenario     struct{ Title, SHA256 string }
		Seed         uint64
		Realizations int
		Sessions     []map[string]json.RawMessage
		Balance      map[string]float64
		Warnings     []string
		References   []string
	}
	require.NoError(t, json.Unmarshal([]byte(written(t, r, JSON)), &j))
	assert.Equal(t, "sumpward/run", j.Format)
	assert.Equal(t, 1, j.Version)
	assert.Equal(t, s.Title, j.Scenario.Title)
	assert.Equal(t, s.SHA256, j.Scenario.SHA256)
	assert.Equal(t, 300, j.Realizations)
	assert.NotNil(t, j.Warnings)
	assert.NotEmpty(t, j.References)
	require.Len(t, j.Sessions, 2)
	for i, x := range j.Sessions {
		var c, fill, oil map[string]float64
		require.NoError(t, json.Unmarshal(x["drain_choked"], &c))
		require.NoError(t, json.Unmarshal(x["peak_fill"], &fill))
		require.NoError(t, json.Unmarshal(x["oil_to_intake_m3"], &oil))
		want := res.Sessions[i]
		assert.Equal(t, want.DrainChoked.Probability, c["probability"])
		assert.Equal(t, want.DrainChoked.Low, c["low"])
		assert.Equal(t, want.DrainChoked.High, c["high"])
		assert.Equal(t, want.PeakFill.P95, fill["p95"])
		assert.Equal(t, want.OilToIntake.Mean, oil["mean"])
		assert.JSONEq(t, strconv.FormatFloat(want.Length, 'g', -1, 64), string(x["length_s"]))
		for _, key := range []string{"overflow", "over_pressure", "oil_lost"} {
			assert.Contains(t, x, key)
		}
	}
	b := j.Balance
	assert.InDelta(t, b["carried_m3"], b["drained_m3"]+b["uncaught_m3"]+b["over_the_top_m3"]+b["emptied_m3"]+b["held_m3"],
		1e-9*math.Abs(b["carried_m3"]), "the balance that is reported closes")
	assert.Contains(t, b, "residual")

	rows, err := csv.NewReader(strings.NewReader(written(t, r, CSV))).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 3)
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	for i, row := range rows[1:] {
		for name, want := range map[string]float64{
			"length_s": res.Sessions[i].Length, "drain_choked_probability": res.Sessions[i].DrainChoked.Probability,
			"overflow_high": res.Sessions[i].Overflow.High, "peak_fill_p50": res.Sessions[i].PeakFill.P50,
			"oil_to_intake_p95_m3": res.Sessions[i].OilToIntake.P95, "overflow_or_choked_low": res.Sessions[i].Fails.Low,
		} {
			got, err := strconv.ParseFloat(row[column[name]], 64)
			require.NoError(t, err, name)
			assert.Equal(t, want, got, name)
		}
	}

	text := written(t, r, Text)
	assert.Contains(t, text, words.SessionChances(res, &res.Sessions[0])[1].Text())
	assert.Contains(t, text, "seed 1")
	for _, caution := range Cautions {
		assert.Contains(t, text, caution)
	}
}

// TestRunWithoutADrain holds what can't occur to 0, 0, 0.
func TestRunWithoutADrain(t *testing.T) {
	res := ran(t, ready(t, "sealed-can", short))
	out := written(t, Run{Result: res}, JSON)
	assert.Regexp(t, `"drain_choked": \{\s+"probability": 0,\s+"low": 0,\s+"high": 0,`, out)
	assert.NotContains(t, out, "drain_margin_m")
	assert.NotContains(t, out, "held_share")
	assert.NotContains(t, out, "until_oil_stands_s")
	assert.Contains(t, written(t, Run{Result: res}, Text), "cannot occur")
}

func TestRunSaysWhatItRestsOn(t *testing.T) {
	assert.Contains(t, RestsOn(ready(t, "sealed-can")), "Most are assumed")
	n := basisCount(ready(t, "sealed-drain"))
	assert.Equal(t, 1, n[scenarios.Measured], "full-throttle blow-by")
	assert.Contains(t, RestsOn(ready(t, "sealed-drain")), "1 input measured, ")
}

func TestRunTellsOfAnInterrupt(t *testing.T) {
	res := ran(t, ready(t, "sealed-drain", short))
	res.Interrupted = true
	assert.Contains(t, written(t, Run{Result: res}, Text), "INTERRUPTED")
	assert.Contains(t, written(t, Run{Result: res}, JSON), `"interrupted": true`)
}

func TestUnitsOfTheUS(t *testing.T) {
	text := written(t, Run{Result: ran(t, ready(t, "sealed-drain", short)), Units: units.US}, Text)
	for _, want := range []string{"(> 4.01 inH2O)", "(> 1.06 US qt)", "US fl oz", "bore 0.5 in"} {
		assert.Contains(t, text, want)
	}
	assert.NotContains(t, text, "kPa")
	assert.NotContains(t, text, " mm")
}

func TestFormats(t *testing.T) {
	for _, f := range Formats {
		got, err := ParseFormat(string(f))
		require.NoError(t, err)
		assert.Equal(t, f, got)
	}
	_, err := ParseFormat("xml")
	assert.EqualError(t, err, `unknown format "xml": use table, csv, json, markdown`)
}

func TestFullThrottleInHand(t *testing.T) {
	assert.Equal(t, []string{"12.3 s"}, words.InHand(units.Metric, 12.34))
	assert.Equal(t, []string{"more than 2 h"}, words.InHand(units.Metric, math.Inf(1)))
	assert.Equal(t, []string{"-", "112 s"}, words.InHand(units.Metric, math.NaN(), 112))
	assert.Equal(t, []string{"4.5 min", "1.87 min", "more than 2 h"}, words.InHand(units.US, 270, 112, sim.HandHorizon), "one unit on a line")
}
