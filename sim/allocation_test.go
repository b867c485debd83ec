package sim

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
)

// A realization allocates nothing, whatever its drain.
func TestRealizationAllocatesNothing(t *testing.T) {
	for name, edit := range map[string]func(*Car){
		"sealed":    func(*Car) {},
		"closing":   func(c *Car) { c.Gas.Element.ClosesFrom = 0.5; c.Drain.OpensAt = 900 },
		"unsealed":  func(c *Car) { c.Drain.Kind = Unsealed },
		"below oil": func(c *Car) { c.Drain.Kind, c.Drain.Valve = BelowOil, false },
		"no drain":  func(c *Car) { c.Drain.Kind = NoDrain },
	} {
		car, k := larkmoor(), NewKernel()
		edit(car)
		car.Sessions = []float64{300, 600}
		var out Outcome
		require.NoError(t, k.Realize(car, 1, 0, &out)) // grows its memory once
		n := testing.AllocsPerRun(3, func() {
			if err := k.Realize(car, 1, 0, &out); err != nil {
				t.Fatal(err)
			}
		})
		assert.Zero(t, n, name)
	}
}

// Nor do its inputs, and what is taken of it for the result.
func TestBlockAllocatesNothing(t *testing.T) {
	for _, name := range []string{"sealed-drain", "lost-circuit"} {
		s, err := scenarios.Ready(name)
		require.NoError(t, err)
		m, err := NewModel(s)
		require.NoError(t, err)
		r, _, err := m.runner(Options{Realizations: 100_000, Workers: 1})
		require.NoError(t, err)
		w, block := r.workers[0], handBlocks
		w.block(r, block) // grows its memory once
		n := testing.AllocsPerRun(2, func() {
			block++
			w.block(r, block)
		})
		assert.Less(t, n, 5.0, "%s: for 500 realizations", name) // the design's own
	}
}

// A realization that was run before is the same when run again on a kernel that
// has seen others meanwhile.
func TestKernelKeepsNothing(t *testing.T) {
	sealed, open := larkmoor(), larkmoor()
	open.Drain.Kind = Unsealed
	open.Lap = open.Lap[:3]
	var first, other, again Outcome
	k := NewKernel()
	require.NoError(t, k.Realize(sealed, 1, 5, &first))
	require.NoError(t, k.Realize(open, 1, 6, &other))
	require.NoError(t, k.Realize(sealed, 1, 5, &again))
	assert.Equal(t, fmt.Sprintf("%#v", first), fmt.Sprintf("%#v", again)) // NaN is NaN here
}

// Session lengths must rise from above 0.
func TestSessionsMustRise(t *testing.T) {
	for _, lengths := range [][]float64{{}, {0}, {-1}, {300, 300}, {300, 200}, {Never}} {
		car := larkmoor()
		car.Sessions = lengths
		assert.Error(t, NewKernel().Realize(car, 1, 0, &Outcome{}), "%v", lengths)
	}
}
