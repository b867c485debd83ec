package sim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/sim"
)

var watched = []sim.Event{sim.Overflow, sim.DrainChoked, sim.OverPressure, sim.OilLost, sim.OverflowOrChoked}

// Closeness is 1 or more exactly where an event happens, in cars of every kind, and
// watching changes nothing of what happens. Short of it the parts alone, without the
// event's own word for it, tell the two apart.
func TestClosenessIsOneWhereItHappens(t *testing.T) {
	k, plain := sim.NewKernel(), sim.NewKernel()
	k.Watch(true)
	var out, unwatched sim.Outcome
	happened, not := map[sim.Event]int{}, map[sim.Event]int{}
	for seed := range uint64(260) {
		car, kind := randomCar(seed)
		require.NoError(t, k.Realize(car, seed, 1, &out), kind)
		require.NoError(t, plain.Realize(car, seed, 1, &unwatched), kind)
		require.Equal(t, unwatched.Firsts(), out.Firsts(), kind)
		require.Equal(t, unwatched.Balance, out.Balance, kind)
		if car.Drain.Kind != sim.NoDrain {
			assert.Equal(t, out.DrainChoked < sim.Never, k.HighestLull() >= 1, "%s, seed %d", kind, seed)
		}
		for _, e := range watched {
			c := k.Closeness(e)
			if out.Firsts().Of(e) < sim.Never {
				happened[e]++
				assert.GreaterOrEqual(t, c, 1.0, "%s, seed %d, event %d", kind, seed, e)
			} else {
				not[e]++
				assert.Less(t, c, 1.0, "%s, seed %d, event %d", kind, seed, e)
				assert.Less(t, k.Measure(e), 1.0, "%s, seed %d, event %d", kind, seed, e)
			}
			if car.Drain.Kind != sim.Unsealed && e != sim.OverPressure && c >= 1 {
				assert.GreaterOrEqual(t, k.Measure(e), 1-1e-9, "%s, seed %d, event %d", kind, seed, e)
			}
		}
	}
	for _, e := range watched {
		assert.Greater(t, happened[e], 20, "event %d", e)
		assert.Greater(t, not[e], 20, "event %d", e)
	}
}
