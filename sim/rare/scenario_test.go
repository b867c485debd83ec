package rare

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/sim"
)

func modelOf(t testing.TB, name string, changes ...scenarios.Change) *sim.Model {
	t.Helper()
	s, err := scenarios.Ready(name)
	require.NoError(t, err)
	s, err = s.With(changes...)
	require.NoError(t, err)
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	return m
}

func BenchmarkEvent(b *testing.B) {
	m := modelOf(b, "sealed-drain")
	e := NewEvent(m, sim.Overflow, 900)
	z := make([]float64, e.Dimensions())
	for b.Loop() {
		z[0] = math.Mod(z[0]+0.1, 1)
		if _, err := e.Closeness(z); err != nil {
			b.Fatal(err)
		}
	}
}

// Direct sampling and subset simulation agree on chances of some 1e-3 that both see, with
// a sealed drain and with one that gas holds up.
func TestAgreesWithDirectSampling(t *testing.T) {
	for _, x := range []struct {
		scenario string
		event    sim.Event
		session  string
		n        int
	}{
		{"sealed-drain", sim.Overflow, "25 min", 8000},
		{"lost-circuit", sim.Overflow, "25 min", 4000},
	} {
		if testing.Short() && x.scenario != scenarios.DefaultReady {
			continue // slower
		}
		m := modelOf(t, x.scenario, scenarios.Change{Path: "sessions", Value: "[" + x.session + "]"})
		res, err := m.Run(context.Background(), sim.Options{Realizations: x.n})
		require.NoError(t, err)
		s := &res.Sessions[0]
		e, err := Chance(context.Background(), func() Event { return NewEvent(m, x.event, s.Length) }, Options{Realizations: 200})
		require.NoError(t, err)
		direct := s.Estimate(x.event).Probability
		spread := math.Sqrt(direct/float64(x.n) + math.Pow(e.Variation()*e.Probability, 2)/float64(len(e.Chances)))
		assert.InDelta(t, direct, e.Probability, 4*spread+0.05*direct, "%s: %g and %g, %g", x.scenario, direct, e.Probability, spread)
		assert.Empty(t, e.Warnings)
	}
}
