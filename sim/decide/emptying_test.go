package decide_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/decide"
	"sumpward/sim/internal/still"
)

func emptyings(t *testing.T, realizations int, changes ...scenarios.Change) *decide.EmptyingTable {
	t.Helper()
	m, err := sim.NewModel(still.Read(t, sealed, changes...))
	require.NoError(t, err)
	table, err := decide.EmptyingIntervals(context.Background(), m, sim.Options{Realizations: realizations})
	require.NoError(t, err)
	return table
}

// overflows is the chance that a can of 0.15 L overflows in a time at full throttle,
// s, at a rate that is log-normal about 0.1 g/s with σ = 0.6:
//
//	P = Φ(ln(0.1 g/s t / (V ρ)) / σ).
//
// Derived.
func overflows(t float64) float64 {
	z := math.Log(0.1e-3*t/(0.15e-3*density)) / 0.6
	return 0.5 * math.Erfc(-z/math.Sqrt2)
}

// fourErrors is four standard errors of a share of n.
func fourErrors(p float64, n int) float64 { return 4 * math.Sqrt(p*(1-p)/float64(n)) }

func TestEmptyingByTimeAgainstTheClosedForm(t *testing.T) {
	table := emptyings(t, 1000, scenarios.Change{Path: "sessions", Value: "[20 min, 60 min]"}, scenarios.Change{Path: "limits.risk", Value: "20 %"})
	assert.Equal(t, 3600.0, table.Length)
	assert.Equal(t, 1000, table.Realizations)
	var times []float64
	for i, row := range table.Rows {
		every := row.Every
		if row.Once() {
			every = 3600
		}
		times = append(times, every)
		assert.InDelta(t, overflows(every), row.Overflow.Probability, fourErrors(overflows(every), 1000)+1e-9, "every %g s", every)
		assert.Equal(t, i == 6, row.Written)
	}
	assert.Equal(t, []float64{300, 600, 900, 1200, 1800, 2700, 3600}, times)
	// 11 % at 10 min, 30 % at 15 min against a limit of 20 %
	assert.Equal(t, 1, table.Rarest)
	assert.Equal(t, []decide.Standing{decide.Meets, decide.Meets, decide.Breaks}, []decide.Standing{table.Rows[0].Standing, table.Rows[1].Standing, table.Rows[2].Standing})
}

// At every n-th stop of stints of 10 min the can fills for n stints.
func TestEmptyingAtStopsAgainstTheClosedForm(t *testing.T) {
	schedule := []scenarios.Change{
		{Path: "sessions"}, {Path: "limits.risk", Value: "0.1 %"},
		{Path: "duty.schedule", Value: "[{drive: 10 min}, {stop: 1 s, can: emptied}, {drive: 10 min}, {stop: 1 s}]"},
		{Path: "duty.event", Value: "3004 s"}, // five stints, four stops, too short to cool
	}
	table := emptyings(t, 1000, schedule...)
	require.Len(t, table.Rows, 6)
	assert.True(t, table.Rows[0].Own && table.Rows[0].Written, "every second stop of the schedule, the first among them")
	assert.InDelta(t, overflows(1200), table.Rows[0].Overflow.Probability, fourErrors(overflows(1200), 1000))
	for i, stints := range []float64{1, 2, 3, 4, 5} {
		row := table.Rows[i+1]
		assert.InDelta(t, overflows(600*stints), row.Overflow.Probability, fourErrors(overflows(600*stints), 1000), "%+v", row)
		assert.Equal(t, i == 4, row.Once())
		if i < 4 {
			assert.Equal(t, i+1, row.Stops)
		}
		assert.False(t, row.Written)
	}
	assert.Equal(t, -1, table.Rarest, "none keeps 0.1 %")
}

func TestEmptyingMarksWhatIsWritten(t *testing.T) {
	rows := func(emptied string, more ...scenarios.Change) (list []decide.EmptyingInterval) {
		for _, row := range emptyings(t, 200, append(more, scenarios.Change{Path: "drain.emptied", Value: emptied})...).Rows {
			if row.Written {
				list = append(list, row)
			}
		}
		return list
	}
	for emptied, want := range map[string]float64{"every 10 min": 600, "every 7 min": 420, "every 30 min": 0, "every session": 0} {
		list := rows(emptied)
		require.Len(t, list, 1, emptied)
		assert.Equal(t, want, list[0].Every, emptied)
		assert.False(t, list[0].Own, emptied)
		assert.Equal(t, want == 0, list[0].Once(), emptied)
	}
	list := rows("every 7 .. 9 min")
	require.Len(t, list, 1)
	assert.True(t, list[0].Own)
	assert.InDelta(t, 480, list[0].Every, 1)
	stops := []scenarios.Change{
		{Path: "sessions"}, {Path: "duty.schedule", Value: "[{drive: 1 min}, {stop: 1 min}]"}, {Path: "duty.event", Value: "30 min"},
	}
	list = rows("every 7 stops", stops...)
	require.Len(t, list, 1)
	assert.Equal(t, 7, list[0].Stops)
}

func TestACanThatDrainsHasNoEmptying(t *testing.T) {
	m, err := sim.NewModel(held(t, "0.2 kPa", "100 mm"))
	require.NoError(t, err)
	table, err := decide.EmptyingIntervals(context.Background(), m, sim.Options{})
	require.NoError(t, err)
	assert.Nil(t, table)
}
