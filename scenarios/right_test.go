package scenarios

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestRight loads every right file, and sees that between them and the
// ready-made scenarios no field of the catalogue goes unread.
func TestRight(t *testing.T) {
	files, err := filepath.Glob("testdata/right/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	read := map[string]bool{}
	for _, file := range files {
		s, err := Load(file)
		require.NoError(t, err, file)
		for i, q := range s.Inputs {
			assert.Equal(t, i, q.ID)
		}
		t.Log(file, s.Warnings)
		collect(s.source.tree, fields().root, "", read)
	}
	for _, f := range Fields() {
		assert.True(t, read[f.Path], "no right file has %s", f.Path)
	}
}

// collect notes the catalogue's paths that a tree has.
func collect(n *node, f *Field, path string, read map[string]bool) {
	if n.assumed {
		return
	}
	for _, e := range n.entries {
		if c := f.child(e.key); c != nil {
			read[c.Path] = true
			collect(e.value, c, c.Path, read)
		}
	}
	for _, item := range n.items {
		collect(item, f, path, read)
	}
}
