package words

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
)

// Every uncertain input of the ready-made scenarios has a name of its own, and no
// name is that of a field that is not there.
func TestInputsHaveNames(t *testing.T) {
	for _, ready := range scenarios.ReadyNames() {
		s, err := scenarios.Ready(ready)
		require.NoError(t, err)
		for _, q := range s.Inputs {
			if !q.IsExact() {
				assert.NotEqual(t, q.Path, InputName(q.Path))
			}
		}
	}
	known := map[string]bool{}
	for _, f := range scenarios.Fields() {
		known[f.Path] = true
	}
	for path, name := range inputNames {
		assert.True(t, known[path], path)
		assert.Equal(t, strings.ToLower(name[:1]), name[:1])
	}
	assert.Equal(t, "the bore of breather block", InputName("breathers.block.bore"))
	assert.Equal(t, "duty.lap.3.load", InputName("duty.lap.3.load"))
}
