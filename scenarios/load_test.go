package scenarios

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestReadyLoads(t *testing.T) {
	for _, name := range ReadyNames() {
		s, err := Ready(name)
		require.NoError(t, err, name)
		t.Logf("%s: %d inputs, %d warnings %v", name, len(s.Inputs), len(s.Warnings), s.Warnings)
	}
	_, err := Parse("template.yaml", Template(), nil)
	require.NoError(t, err)
}
