package report

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios/units"
	"sumpward/sim"
)

func TestThinnedKeepsTheEndsAndTheOrder(t *testing.T) {
	var points []sim.TracePoint
	for i := range 1000 {
		points = append(points, sim.TracePoint{Time: float64(i*i) / 100})
	}
	list := thinned(points, 40)
	assert.LessOrEqual(t, len(list), 40)
	assert.Greater(t, len(list), 35)
	assert.Equal(t, points[0], list[0])
	assert.Equal(t, points[999], list[len(list)-1])
	for i := 1; i < len(list); i++ {
		assert.Greater(t, list[i].Time, list[i-1].Time)
	}
	assert.Equal(t, points[:7], thinned(points[:7], 40))
}

func TestReplayInEveryFormat(t *testing.T) {
	s := ready(t, "sealed-drain", short)
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	trace, err := m.Replay(context.Background(), nil, 5, 17, 1)
	require.NoError(t, err)
	r := Replay{Scenario: s, Trace: trace}

	rows, err := csv.NewReader(strings.NewReader(written(t, r, CSV))).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, len(trace.Points)+1)
	for i, p := range trace.Points {
		for column, want := range map[int]float64{0: p.Time, 2: p.Load, 5: p.Temperature, 6: p.Crankcase, 10: p.Fill} {
			got, err := strconv.ParseFloat(rows[i+1][column], 64)
			require.NoError(t, err)
			require.Equal(t, want, got)
		}
	}
	assert.Equal(t, "sump_K", rows[0][5])

	var j struct {
		Seed, Realization uint64
		Inputs            []struct {
			Path  string
			Value float64
		}
		Points []json.RawMessage
	}
	require.NoError(t, json.Unmarshal([]byte(written(t, r, JSON)), &j))
	assert.Equal(t, uint64(17), j.Realization)
	assert.Equal(t, uint64(5), j.Seed)
	assert.Len(t, j.Points, len(trace.Points))
	require.Len(t, j.Inputs, len(trace.Inputs))
	assert.Equal(t, trace.Inputs[0].Value, j.Inputs[0].Value)

	text := written(t, r, Text)
	assert.Contains(t, text, "Realization 17 of seed 5")
	assert.Contains(t, text, "Inputs as drawn")
	assert.LessOrEqual(t, strings.Count(text, "\n"), mostRows+len(trace.Inputs)+16)
}

// TestReplayInUSUnits: 1 US fl oz is 29.5735 mL, 1 oz is 28.3495 g.
func TestReplayInUSUnits(t *testing.T) {
	r := Replay{Units: units.US, Trace: &sim.Trace{Points: []sim.TracePoint{{DrainFlow: 29.5735e-6 / 60 * 4.2, ToIntake: 28.3495e-3 * 0.25}}}}
	table := r.table()
	assert.Equal(t, []string{"drain\nUS fl oz/min", "intake\noz"}, table.head[8:10])
	assert.Equal(t, []string{"4.2", "0.250"}, table.rows[0][8:10])
	r.Units = units.Metric
	table = r.table()
	assert.Equal(t, []string{"drain\nmL/min", "intake\ng"}, table.head[8:10])
	assert.Equal(t, []string{"124", "7.1"}, table.rows[0][8:10])
}
