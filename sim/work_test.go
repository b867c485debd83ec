package sim_test

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/sim"
)

// told writes all that a result holds.
func told(r *sim.Result) string {
	copied := *r
	copied.Scenario = nil
	return fmt.Sprintf("%#v", copied)
}

// reread writes work and reads it again.
func reread(t *testing.T, w *sim.Work) *sim.Work {
	t.Helper()
	text, err := json.Marshal(w)
	require.NoError(t, err)
	read := &sim.Work{}
	require.NoError(t, json.Unmarshal(text, read))
	return read
}

// Shares of a run, simulated apart and put together in any order, are the run to the
// last bit, and nothing is simulated again; with stints and without.
func TestSharesOfARunAreTheRun(t *testing.T) {
	for _, name := range []string{"sealed-drain", "four-hours"} {
		changes := []scenarios.Change{change("sessions", "[5 min, 10 min]")}
		if name == "four-hours" {
			changes = append(changes, change("duty.event", "10 min"))
		}
		m, err := sim.NewModel(ready(t, name, changes...))
		require.NoError(t, err)
		const n, blocks = 2900, 6
		o := sim.Options{Realizations: n, Keep: 1700, Workers: 2}
		whole, err := m.Run(context.Background(), o)
		require.NoError(t, err)
		require.Greater(t, whole.Realizations, 0)
		for _, shares := range []int{1, 3, 16} {
			put := &sim.Work{}
			for k := shares; k > 0; k-- {
				part := o
				part.Work = &sim.Work{}
				require.NoError(t, m.Simulate(context.Background(), part, (k-1)*blocks/shares, k*blocks/shares))
				require.NoError(t, put.Merge(reread(t, part.Work)))
			}
			o := o
			o.Work = put
			before := put.Simulated()
			merged, err := m.Run(context.Background(), o)
			require.NoError(t, err)
			assert.Equal(t, told(whole), told(merged), "%s in %d shares", name, shares)
			assert.Equal(t, before, put.Simulated())
		}
	}
}

// A run that is cut short again and again, each time taken up from what was written, comes
// out as if it never had been; also where it ends by itself once it is precise enough.
func TestWorkIsTakenUpAgain(t *testing.T) {
	m, err := sim.NewModel(ready(t, "sealed-drain", change("sessions", "[20 min]")))
	require.NoError(t, err)
	for _, o := range []sim.Options{{Realizations: 6200, Keep: 3000}, {SamplingError: 0.009}} {
		o.Workers = 2
		whole, err := m.Run(context.Background(), o)
		require.NoError(t, err)
		saved, _ := json.Marshal(&sim.Work{})
		for cuts := 0; ; cuts++ {
			ctx, cancel := context.WithCancel(context.Background())
			w := &sim.Work{}
			require.NoError(t, json.Unmarshal(saved, w))
			w.SaveEvery(0, func() {
				saved, err = json.Marshal(w)
				require.NoError(t, err)
				cancel() // at the first save: when a second one is due is for the clock to say
			})
			o.Work = w
			got, err := m.Run(ctx, o)
			cancel()
			require.NoError(t, err)
			require.Less(t, cuts, 30)
			if !got.Interrupted {
				assert.Equal(t, told(whole), told(got))
				assert.Greater(t, cuts, 1)
				break
			}
			assert.Greater(t, got.Realizations, 0)
		}
	}
}

// What is asked of single realizations is kept as well, one by one.
func TestFirstTimesAreKept(t *testing.T) {
	m, err := sim.NewModel(ready(t, "sealed-drain", change("sessions", "[20 min]")))
	require.NoError(t, err)
	const n = 300
	fresh, some, all := make([]float64, n), make([]float64, n), make([]float64, n)
	_, err = m.First(context.Background(), sim.Options{}, sim.OverflowOrChoked, nil, fresh)
	require.NoError(t, err)
	o := sim.Options{Work: &sim.Work{}}
	third := func(i int) bool { return i%3 == 1 }
	_, err = m.First(context.Background(), o, sim.OverflowOrChoked, third, some)
	require.NoError(t, err)
	assert.Equal(t, n/3, o.Work.Simulated())
	o.Work = reread(t, o.Work)
	_, err = m.First(context.Background(), o, sim.OverflowOrChoked, nil, all)
	require.NoError(t, err)
	assert.Equal(t, fresh, all)
	assert.Equal(t, n-n/3, o.Work.Simulated())
	for i := range some {
		if third(i) {
			assert.Equal(t, fresh[i], some[i])
		}
	}
}

// Another scenario, seed, design or number of realizations is other work.
func TestOtherWorkIsNotTaken(t *testing.T) {
	w := &sim.Work{}
	seed := uint64(9)
	done := 0
	for i, one := range []struct {
		fall string
		o    sim.Options
	}{
		{"100 mm", sim.Options{Realizations: 300}}, {"101 mm", sim.Options{Realizations: 300}},
		{"100 mm", sim.Options{Realizations: 299}}, {"100 mm", sim.Options{Realizations: 300, Seed: &seed}},
		{"100 mm", sim.Options{Realizations: 300, Sampling: "random"}},
	} {
		m, err := sim.NewModel(ready(t, "sealed-drain", change("sessions", "[20 min]"), change("drain.fall", one.fall)))
		require.NoError(t, err)
		one.o.Work = w
		_, err = m.Run(context.Background(), one.o)
		require.NoError(t, err)
		done += one.o.Realizations
		assert.Equal(t, done, w.Simulated(), i)
	}
}

// What is missing of a run is said; all that is there counts.
func TestPartialWork(t *testing.T) {
	m, err := sim.NewModel(ready(t, "sealed-drain", change("sessions", "[20 min]")))
	require.NoError(t, err)
	o := sim.Options{Realizations: 2400, Keep: 2400, Work: &sim.Work{}}
	require.NoError(t, m.Simulate(context.Background(), o, 1, 3))
	require.NoError(t, m.Simulate(context.Background(), o, 4, 5))
	o.Work = reread(t, o.Work)
	o.Partial = true
	got, err := m.Run(context.Background(), o)
	require.NoError(t, err)
	assert.Equal(t, []sim.Gap{{From: 0, To: 500}, {From: 1500, To: 2000}}, got.Missing)
	assert.Equal(t, 1400, got.Realizations)
	assert.False(t, got.Interrupted)
	assert.Contains(t, got.Warnings, "realizations 1500 to 1999 are missing")
	events := 0
	for i, k := range got.Kept {
		there := i >= 500 && i < 1500 || i >= 2000
		assert.Equal(t, !there, math.IsNaN(k.Overflow), i)
		if k.Fails() <= 1200 {
			events++
		}
	}
	assert.EqualValues(t, got.Sessions[0].Events.Fails, events)

	o.Work = &sim.Work{}
	_, err = m.Run(context.Background(), o)
	assert.ErrorIs(t, err, sim.ErrNothingKept)
}

// The same blocks twice, or numbers that differ, can't be put together.
func TestWorkThatDoesNotFit(t *testing.T) {
	m, err := sim.NewModel(ready(t, "sealed-drain", change("sessions", "[20 min]")))
	require.NoError(t, err)
	simulated := func(from, to int) *sim.Work {
		w := &sim.Work{}
		require.NoError(t, m.Simulate(context.Background(), sim.Options{Realizations: 2000, Work: w}, from, to))
		return w
	}
	assert.ErrorIs(t, simulated(0, 2).Merge(simulated(1, 3)), sim.ErrDoubled)
	assert.NoError(t, simulated(0, 2).Merge(simulated(2, 3)))
	for _, text := range []string{
		`{"runs":{"x":[{"from":3,"to":2}]}}`, `{"runs":{"x":[{"from":-1,"to":2}]}}`, `{"firsts":{"x":"AAA="}}`, `[]`,
		`{"runs":{"x":[{"from":0,"to":2},{"from":1,"to":3}]}}`,
	} {
		assert.Error(t, json.Unmarshal([]byte(text), &sim.Work{}), text)
	}
}

// A stopped run says at once that it stopped, and saves.
func TestStoppingSaves(t *testing.T) {
	m, err := sim.NewModel(ready(t, "sealed-drain"))
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	saves := 0
	w := &sim.Work{}
	w.SaveEvery(time.Hour, func() { saves++ })
	_, err = m.Run(ctx, sim.Options{Realizations: 100_000, Workers: 2, Work: w, Progress: func(int) { cancel() }})
	require.NoError(t, err)
	assert.Equal(t, 1, saves)
	first := make([]float64, 10)
	_, err = m.First(ctx, sim.Options{Work: w}, sim.Overflow, nil, first)
	assert.ErrorIs(t, err, context.Canceled)
	assert.Equal(t, 2, saves)
}
