package sim_test

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/sim"
)

func ready(t testing.TB, name string, changes ...scenarios.Change) *scenarios.Scenario {
	t.Helper()
	s, err := scenarios.Ready(name)
	require.NoError(t, err)
	s, err = s.With(changes...)
	require.NoError(t, err)
	return s
}

// The same seed gives the same result for any number of workers, bit for bit.
func TestWorkersLeaveNoTrace(t *testing.T) {
	half, whole := "5 min", "10 min"
	if testing.Short() {
		half, whole = "30 s", "1 min" // the workers meet as often
	}
	for _, name := range scenarios.ReadyNames() {
		changes := []scenarios.Change{change("sessions", "["+half+", "+whole+"]")}
		if name == "four-hours" {
			changes = append(changes, change("duty.event", whole))
		}
		s := ready(t, name, changes...)
		var first string
		for _, workers := range []int{1, 2, 7} {
			r, err := sim.Run(context.Background(), s, sim.Options{Realizations: 1700, Workers: workers})
			require.NoError(t, err)
			require.Equal(t, 1700, r.Realizations)
			r.Scenario = nil
			text := fmt.Sprintf("%#v", *r)
			if first == "" {
				first = text
			}
			assert.Equal(t, first, text, "%s with %d workers", name, workers)
		}
	}
}

// Another seed gives other results, and seed 0 is a seed.
func TestSeedsDiffer(t *testing.T) {
	s := ready(t, "sealed-drain", change("sessions", "[20 min]"))
	seen := map[int64]uint64{}
	for _, seed := range []uint64{0, 1, 2} {
		r, err := sim.Run(context.Background(), s, sim.Options{Realizations: 1000, Seed: &seed})
		require.NoError(t, err)
		assert.Equal(t, seed, r.Seed)
		seen[r.Sessions[0].Events.DrainChoked] = seed
	}
	assert.Greater(t, len(seen), 1)
}

// Making one more input uncertain leaves the draws of the others as they were.
func TestAnotherInputMovesNoDraw(t *testing.T) {
	s := ready(t, "sealed-drain")
	more := ready(t, "sealed-drain", change("drain.bore", "12 .. 13 mm"))
	drawn := func(s *scenarios.Scenario) map[string]float64 {
		m, err := sim.NewModel(s)
		require.NoError(t, err)
		trace, err := m.Replay(context.Background(), nil, 1, 777, 10)
		require.NoError(t, err)
		values := map[string]float64{}
		for _, in := range trace.Inputs {
			values[in.Quantity.Path] = in.Value
		}
		return values
	}
	before, after := drawn(s), drawn(more)
	require.Greater(t, len(before), 10)
	require.Len(t, after, len(before)+1)
	for path, value := range before {
		assert.Equal(t, value, after[path], path)
	}
}

// A longer run keeps every complete block of a shorter one: what a replay shows
// is what the run counted.
func TestReplayIsTheRunsOwnRealization(t *testing.T) {
	s := ready(t, "sealed-can", change("sessions", "[30 min]"))
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	r, err := m.Run(context.Background(), sim.Options{Realizations: 500})
	require.NoError(t, err)
	require.Less(t, r.Worst.Overflow, sim.Never)
	trace, err := m.Replay(context.Background(), nil, r.Seed, r.Worst.Realization, 1)
	require.NoError(t, err)
	assert.InDelta(t, r.Worst.Overflow, trace.Outcome.Overflow, 1e-6, "the points noted in between change nothing")
	overflows := 0
	for i := range uint64(500) {
		trace, err := m.Replay(context.Background(), nil, r.Seed, i, 600)
		require.NoError(t, err)
		if trace.Outcome.Overflow <= 1800 {
			overflows++
		}
		assert.GreaterOrEqual(t, trace.Outcome.Overflow, r.Worst.Overflow-1e-6)
	}
	assert.EqualValues(t, r.Sessions[0].Events.Overflow, overflows)
}

// A run stops when every interval is within what was asked for, not before.
func TestRunStopsWhenPreciseEnough(t *testing.T) {
	s := ready(t, "sealed-drain", change("sessions", "[25 min]"))
	loose, err := sim.Run(context.Background(), s, sim.Options{SamplingError: 0.03})
	require.NoError(t, err)
	tight, err := sim.Run(context.Background(), s, sim.Options{SamplingError: 0.005})
	require.NoError(t, err)
	assert.LessOrEqual(t, loose.Reached, 0.03)
	assert.LessOrEqual(t, tight.Reached, 0.005)
	assert.Greater(t, tight.Realizations, loose.Realizations)
	random, err := sim.Run(context.Background(), s, sim.Options{SamplingError: 0.005, Sampling: "random"})
	require.NoError(t, err)
	t.Logf("half-width 0.5 %%: %d Sobol' points, %d at random", tight.Realizations, random.Realizations)
	assert.Less(t, 3*tight.Realizations, random.Realizations)
}

// A stopped run says how far it came; one stopped at once is an error.
func TestStoppedRun(t *testing.T) {
	s := ready(t, "sealed-drain")
	ctx, cancel := context.WithCancel(context.Background())
	r, err := sim.Run(ctx, s, sim.Options{Realizations: 100_000, Workers: 2, Progress: func(int) { cancel() }})
	require.NoError(t, err)
	assert.True(t, r.Interrupted)
	assert.GreaterOrEqual(t, r.Realizations, 500)
	assert.Less(t, r.Realizations, 5000)
	assert.Zero(t, r.Realizations%500)

	_, err = sim.Run(ctx, s, sim.Options{Realizations: 1000})
	assert.ErrorIs(t, err, context.Canceled)
}

// Correlations that contradict each other are an error that names the inputs.
func TestContradictingCorrelations(t *testing.T) {
	s := ready(t, "sealed-drain")
	s.Correlations = append(s.Correlations,
		scenarios.Correlation{Between: [2]*scenarios.Quantity{s.Input("engine.blow_by.full_throttle"), s.Input("drain.fall")}, Rank: 0.95},
		scenarios.Correlation{Between: [2]*scenarios.Quantity{s.Input("carry_over.oil_used"), s.Input("drain.fall")}, Rank: -0.95})
	_, err := sim.NewModel(s)
	require.Error(t, err)
	assert.Contains(t, err.Error(), "drain.fall")
}

// Any lap length and any spacing of a replay's points comes to its end: times
// that are multiples of others only up to rounding are no trap.
func TestAnyLapLengthAndSpacingEnds(t *testing.T) {
	for _, length := range []string{"4.1 s", "4.7 s", "6.1 s", "7.7 s", "8.9 s", "9.3 s", "11.7 s", "13.3 s"} {
		s := ready(t, "sealed-drain", change("duty", "{lap: [{for: "+length+", load: 100 %}, {for: 20 s, load: 30 %}]}"), change("sessions", "[10 min]"))
		m, err := sim.NewModel(s)
		require.NoError(t, err)
		check, err := m.CheckDrain(context.Background())
		require.NoError(t, err, length)
		assert.LessOrEqual(t, check.LongestHeld, check.HeldShare*check.LapTime+1e-9, length)
	}
	pattern := ready(t, "sealed-drain", change("duty", "{pattern: {full_throttle: 45 %, burst: 5 s}}"), change("sessions", "[10 min]"))
	m, err := sim.NewModel(pattern)
	require.NoError(t, err)
	_, err = m.CheckDrain(context.Background())
	require.NoError(t, err)
	for _, every := range []float64{0.1, 0.3, 0.7, 1.1, 1.3, 1.7, 2.3, 3.3, 11.1} {
		trace, err := m.Replay(context.Background(), nil, 1, 0, every)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, len(trace.Points), int(600/every))
	}
}

// A replay and a drain check end with their context.
func TestReplayAndDrainCheckEndEarly(t *testing.T) {
	m, err := sim.NewModel(ready(t, "sealed-drain"))
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = m.Replay(ctx, nil, 1, 0, 1)
	assert.ErrorIs(t, err, context.Canceled)
	_, err = m.CheckDrain(ctx)
	assert.ErrorIs(t, err, context.Canceled)
}
