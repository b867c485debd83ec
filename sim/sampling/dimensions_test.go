package sampling_test

import (
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
