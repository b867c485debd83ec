package sampling_test

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/sampling"
)

// Every input that can be written at one path has a dimension of the Sobol' sequence, and
// so has the pick of a joint draw.
func TestEveryInputHasADimension(t *testing.T) {
	seen := 0
	for _, f := range scenarios.Fields() {
		if f.Kind != scenarios.QuantityKind || strings.Contains(f.Path, "*") {
			continue
		}
		seen++
		assert.NotEqual(t, -1, sampling.DimensionOf(sampling.InputKey(f.Path)), "%s: add it at the end of dimensionPaths", f.Path)
	}
	assert.Greater(t, seen, 70)
	assert.NotEqual(t, -1, sampling.DimensionOf(sampling.InputKey(scenarios.LearnedPath)))
}

// Of the inputs of the ready-made scenarios, only those of lists and with names of their
// own have none.
func TestInputsOfReadyScenarios(t *testing.T) {
	for name, without := range map[string]int{"sealed-drain": 0, "lost-circuit": 0, "sealed-can": 2, "four-hours": 2} {
		s, err := scenarios.Ready(name)
		require.NoError(t, err)
		m, err := sim.NewModel(s)
		require.NoError(t, err)
		n := 0
		for _, q := range m.Uncertain() {
			if sampling.DimensionOf(sampling.InputKey(q.Path)) < 0 {
				n++
			}
		}
		assert.Equal(t, without, n, name)
	}
}

// In every design an uncertain input more, with a dimension or without, leaves the draws
// of all others where they are.
func TestOneMoreInputMovesNoDraw(t *testing.T) {
	text := scenarios.ReadySource("sealed-drain")
	more := bytes.Replace(text, []byte("bore: 12.7 mm"), []byte("bore: 12 .. 13 mm"), 1)
	more = bytes.Replace(more, []byte("length: 700 mm, loss_coefficient: 3}"), []byte("length: 700 mm, loss_coefficient: 2 .. 4}"), 1)
	drawn := func(d sampling.Design, text []byte) map[string]float64 {
		s, err := scenarios.Parse("test.yaml", text, nil)
		require.NoError(t, err)
		m, err := sim.NewModel(s)
		require.NoError(t, err)
		trace, err := m.Replay(context.Background(), d, 1, 777, 10)
		require.NoError(t, err)
		values := map[string]float64{}
		for _, in := range trace.Inputs {
			values[in.Quantity.Path] = in.Value
		}
		return values
	}
	for _, name := range []string{"latin-hypercube", "sobol", "random"} {
		d, err := sampling.DesignByName(name)
		require.NoError(t, err)
		before, after := drawn(d, text), drawn(d, more)
		require.Greater(t, len(before), 10)
		require.Len(t, after, len(before)+2)
		for path, value := range before {
			assert.Equal(t, value, after[path], "%s: %s", name, path)
		}
	}
}
