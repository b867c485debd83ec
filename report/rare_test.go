package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/rare"
	"sumpward/sim/stats"
)

// A small chance is a count that is never 0 with an interval that is told apart, and
// what was not reached is below one in so many.
func TestRareChanceIsNeverABareZero(t *testing.T) {
	for _, x := range []struct {
		p, low, high     float64
		chance, interval string
	}{
		{3e-6, 1e-6, 9e-6, "3 in 1,000,000", "1 to 9"},
		{7.4e-7, 4.7e-7, 1.2e-6, "7 in 10,000,000", "5 to 12"},
		{4.5e-4, 3.8e-4, 5.4e-4, "45 in 100,000", "38 to 54"},
		{4e-10, 1e-10, 1.5e-9, "4 in 10,000,000,000", "1 to 15"},
		{0, 0, 1e-9, "below 1 in 1,000,000,000", "-"},
	} {
		e := &rare.Estimate{Estimate: stats.Estimate{Probability: x.p, Low: x.low, High: x.high}, Least: 1e-9, Chances: []float64{x.p, x.p, x.p}}
		chance, interval := RareChance(e)
		assert.Equal(t, x.chance, chance)
		assert.Equal(t, x.interval, interval)
	}
	stalled := &rare.Estimate{Least: 1e-9, Chances: []float64{0, 0, 0}, Warnings: []string{"stalled"}}
	chance, _ := RareChance(stalled)
	assert.Equal(t, "not told", chance)
}

// rareRun is a report with one small chance that direct sampling contradicts.
func rareRun(t *testing.T) Run {
	t.Helper()
	s, err := scenarios.Ready(scenarios.DefaultReady)
	require.NoError(t, err)
	res := &sim.Result{Scenario: s, Realizations: 1000, Kind: sim.Sealed}
	for _, length := range s.Sessions {
		res.Sessions = append(res.Sessions, sim.SessionResult{Length: length})
	}
	return Run{Result: res, Units: units.Metric, Rare: &Rare{Session: 1, Found: []rare.Found{{
		Event: sim.OilLost, Session: s.Sessions[1], Direct: stats.Estimate{Probability: 0.004, Low: 0.001, High: 0.01}, Seen: 4, Of: 1000,
		Estimate: &rare.Estimate{
			Estimate: stats.Estimate{Probability: 3e-6, Low: 1e-6, High: 9e-6}, Chances: []float64{1e-6, 3e-6, 5e-6}, Levels: 6,
			Realizations: 17000, Least: 1e-9, Warnings: []string{"doubtful"}, First: []rare.Level{{Threshold: 0.5, Chance: 0.1}},
		},
	}}}}
}

// The report tells the chance, that it rests on tails, its warnings, and that direct
// sampling says otherwise.
func TestRareInWords(t *testing.T) {
	r := rareRun(t)
	var d Document
	rareWords{r.Rare, r}.write(&d)
	var b bytes.Buffer
	require.NoError(t, d.WriteText(&b))
	for _, line := range strings.Split(b.String(), "\n") {
		assert.LessOrEqual(t, len(line), Width)
	}
	text := strings.Join(strings.Fields(b.String()), " ")
	for _, want := range []string{"too small to see, within 25 min", "1,000,000", "1 to 9", "what is not known comes first", "Oil lost: doubtful.", "Trust the direct one"} {
		assert.Contains(t, text, want)
	}
	r.Rare.Found = nil
	d, b = Document{}, bytes.Buffer{}
	rareWords{r.Rare, r}.write(&d)
	require.NoError(t, d.WriteText(&b))
	assert.Contains(t, b.String(), "No chance within 25 min is too small to see")
}

// Data carry it beside the rest, and only where it was asked for.
func TestRareInData(t *testing.T) {
	r := rareRun(t)
	var b bytes.Buffer
	require.NoError(t, r.WriteJSON(&b))
	var out struct {
		Rare *struct {
			Length float64 `json:"length_s"`
			Events []struct {
				Event            string
				Probability, Low float64
				Disagrees        bool `json:"disagrees_with_direct"`
				Repeats          []float64
			}
		}
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &out))
	require.NotNil(t, out.Rare)
	require.Len(t, out.Rare.Events, 1)
	assert.Equal(t, 1500.0, out.Rare.Length)
	e := out.Rare.Events[0]
	assert.Equal(t, "oil_lost", e.Event)
	assert.Equal(t, 3e-6, e.Probability)
	assert.True(t, e.Disagrees)
	assert.Len(t, e.Repeats, 3)

	b.Reset()
	require.NoError(t, r.WriteCSV(&b))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	column := -1
	for i, name := range rows[0] {
		if name == "oil_lost_rare_probability" {
			column = i
		}
	}
	require.Positive(t, column)
	assert.Empty(t, rows[1][column])
	assert.Equal(t, "3e-06", rows[2][column])

	r.Rare = nil
	b.Reset()
	require.NoError(t, r.WriteJSON(&b))
	assert.NotContains(t, b.String(), `"rare"`)
}
