package sim_test

import (
	"context"
	"encoding/json"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/sim"
)

// A tally that was made by hand may say anything, but not what can't be: counts of
// another number of realizations, or such as overflow when they are added up.
func TestTalliesThatCannotBeAreRefused(t *testing.T) {
	m, err := sim.NewModel(ready(t, "four-hours", change("duty.event", "20 min"), change("sessions", "[10 min, 20 min]")))
	require.NoError(t, err)
	o := sim.Options{Realizations: 40, Keep: 5, Work: &sim.Work{}}
	_, err = m.Run(context.Background(), o)
	require.NoError(t, err)
	text, err := json.Marshal(o.Work)
	require.NoError(t, err)
	run := func(change func(run, tally map[string]any)) error {
		var work map[string]map[string]any
		require.NoError(t, json.Unmarshal(text, &work))
		for _, list := range work["runs"] {
			run := list.([]any)[0].(map[string]any)
			change(run, run["tally"].(map[string]any))
		}
		forged, err := json.Marshal(work)
		require.NoError(t, err)
		o := o
		o.Work, o.Partial = &sim.Work{}, true
		if err := json.Unmarshal(forged, o.Work); err != nil {
			return err
		}
		_, err = m.Run(context.Background(), o)
		return err
	}
	require.NoError(t, run(func(_, _ map[string]any) {}))
	session := func(tally map[string]any) map[string]any { return tally["sessions"].([]any)[1].(map[string]any) }
	stint := func(tally map[string]any) map[string]any { return tally["stints"].([]any)[0].(map[string]any) }
	const most = 1 << 60
	for i, change := range []func(run, tally map[string]any){
		func(_, tally map[string]any) { tally["n"] = 39 },
		func(_, tally map[string]any) { tally["n"] = -40 },
		func(_, tally map[string]any) { tally["n"], tally["failed"] = most, map[string]any{"count": 40 - most} },
		func(_, tally map[string]any) { tally["failed"] = map[string]any{"count": 1} },
		func(_, tally map[string]any) { tally["sessions"] = []any{session(tally)} },
		func(_, tally map[string]any) { tally["sessions"] = nil },
		func(_, tally map[string]any) { session(tally)["fill"] = nil },
		func(_, tally map[string]any) { session(tally)["fill"] = map[string]any{"zeros": 39} },
		func(_, tally map[string]any) { session(tally)["held"] = map[string]any{"zeros": 41} },
		func(_, tally map[string]any) { session(tally)["intake"] = map[string]any{"never": most} },
		func(_, tally map[string]any) { session(tally)["events"].([]any)[0] = []int{0, 39, 1, 0, 0, 1521} },
		func(_, tally map[string]any) {
			session(tally)["events"].([]any)[0] = []int{40, 40, 1, most, most, most}
		},
		func(_, tally map[string]any) {
			session(tally)["events"].([]any)[0] = []int{41, 40, 1, 1681, 1640, 1600}
		},
		func(_, tally map[string]any) { session(tally)["events"] = nil },
		func(_, tally map[string]any) { session(tally)["intake_sum"] = "x" },
		func(_, tally map[string]any) { stint(tally)["reached"] = 41 },
		func(_, tally map[string]any) { stint(tally)["reached"] = 39 },
		func(_, tally map[string]any) { stint(tally)["events"].([]any)[0] = []int{40, 40, 1, most, most, most} },
		func(_, tally map[string]any) { tally["stints"] = make([]struct{}, 500) },
		func(_, tally map[string]any) { tally["pressure"] = map[string]any{"zeros": 41} },
		func(_, tally map[string]any) { tally["pressure"] = map[string]any{"positive": []int{-1 << 30, 40}} },
		func(_, tally map[string]any) { tally["pressure"] = map[string]any{"positive": []int{0, -40}} },
		func(_, tally map[string]any) { tally["margin"] = map[string]any{"ever": 41} },
		func(_, tally map[string]any) { tally["to_over"] = nil },
		func(_, tally map[string]any) { tally["range_exits"] = 41 },
		func(_, tally map[string]any) { tally["stage_exits"] = -1 },
		func(run, _ map[string]any) { run["to"] = 2 },
		func(run, _ map[string]any) { run["kept"] = "AAAA" },
		func(run, _ map[string]any) { run["keep"] = 6 },
		func(run, _ map[string]any) { run["tally"] = "x" },
	} {
		assert.Error(t, run(change), fmt.Sprint("change ", i))
	}
}

// Fewer blocks of a run for which more is kept take the place of more of them for which
// less is: what is written can be read again.
func TestWhatIsKeptNeverOverlaps(t *testing.T) {
	m, err := sim.NewModel(ready(t, "sealed-drain", change("sessions", "[1 min]")))
	require.NoError(t, err)
	w := &sim.Work{}
	require.NoError(t, m.Simulate(context.Background(), sim.Options{Realizations: 5000, Work: w}, 0, 9))
	require.NoError(t, m.Simulate(context.Background(), sim.Options{Realizations: 5000, Work: w, Keep: 700}, 0, 3))
	o := sim.Options{Realizations: 5000, Keep: 700}
	whole, err := m.Run(context.Background(), o)
	require.NoError(t, err)
	o.Work = reread(t, w)
	got, err := m.Run(context.Background(), o)
	require.NoError(t, err)
	assert.Equal(t, told(whole), told(got))
	assert.Equal(t, 3500, o.Work.Simulated())
}

// A run that ends by itself ends at the same look, wherever between two looks it was cut
// short: also where it happened to be precise enough there. Stopped there it is not whole.
func TestRunsThatEndByThemselvesEndAtTheSameLook(t *testing.T) {
	m, err := sim.NewModel(ready(t, "sealed-drain", change("sessions", "[12 min]"), change("drain.fall", "60 mm")))
	require.NoError(t, err)
	const block = 500
	o := sim.Options{SamplingError: 0.0022}
	whole, err := m.Run(context.Background(), o)
	require.NoError(t, err)
	require.Greater(t, whole.Realizations, 10*block, "looked at more than once")
	w := &sim.Work{}
	stopped, stop := context.WithCancel(context.Background())
	stop()
	early := 0
	for from, done := 0, 15; done <= whole.Realizations/block; from, done = done, done+1 {
		require.NoError(t, m.Simulate(context.Background(), sim.Options{Realizations: sim.MostRealizations, Work: w}, from, done))
		o.Work = reread(t, w)
		got, err := m.Run(context.Background(), o)
		require.NoError(t, err)
		assert.Equal(t, told(whole), told(got), "cut at block %d", done)
		o.Work = reread(t, w)
		cut, err := m.Run(stopped, o)
		require.NoError(t, err)
		assert.Equal(t, done*block, cut.Realizations)
		assert.Equal(t, done < whole.Realizations/block, cut.Interrupted, "cut at block %d", done)
		if cut.Reached <= o.SamplingError && done < whole.Realizations/block {
			early++
		}
	}
	assert.Positive(t, early, "precise enough ahead of a look: else this shows nothing")
}
