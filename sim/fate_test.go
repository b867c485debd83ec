package sim_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/sim"
)

// A realization with given draws depends on them alone, allocates nothing once its car is
// settled, and has one draw for each input at least.
func TestFateIsItsDraws(t *testing.T) {
	for _, name := range []string{"sealed-drain", "lost-circuit", "four-hours"} {
		m, err := sim.NewModel(ready(t, name))
		require.NoError(t, err)
		f := m.Fate(1500)
		require.Greater(t, f.Dimensions(), len(m.Uncertain()))
		random := rand.New(rand.NewPCG(1, 2))
		draw := func() []float64 {
			z := make([]float64, f.Dimensions())
			for i := range z {
				z[i] = random.NormFloat64()
			}
			return z
		}
		first, other := draw(), draw()
		require.NoError(t, f.Run(first))
		want := [2]float64{f.Closeness(sim.Overflow), f.Closeness(sim.OilLost)}
		require.NoError(t, f.Run(other))
		assert.NotEqual(t, want[1], f.Closeness(sim.OilLost), name)
		single, u := m.Single(), make([]float64, len(m.Uncertain()))
		for i := range u {
			u[i] = 0.5
		}
		settling := testing.AllocsPerRun(3, func() { _, err = single.Settle(u) })
		require.NoError(t, err)
		assert.LessOrEqual(t, testing.AllocsPerRun(3, func() { err = f.Run(first) }), settling, name)
		require.NoError(t, err)
		assert.Equal(t, want, [2]float64{f.Closeness(sim.Overflow), f.Closeness(sim.OilLost)}, name)
		assert.Error(t, f.Run(first[1:]), name)
	}
}
