// Package house holds what concerns the whole project: who may import whom, and
// that the README shows what the program prints.
package house

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mayImport lists, for each room, the rooms that it may import besides its own
// sub-packages. physics and scenarios know nothing of each other.
var mayImport = map[string][]string{
	"physics":   {},
	"scenarios": {},
	"sim":       {"physics", "scenarios"},
	"report":    {"sim", "scenarios"},
	"cluster":   {},
	"cmd":       {"report", "sim", "scenarios", "cluster"},
}

// Imports run one way.
func TestImportsRunOneWay(t *testing.T) {
	seen := map[string]int{}
	for file, imports := range importsOfProject(t) {
		room := strings.SplitN(filepath.ToSlash(file), "/", 2)[0]
		allowed, known := mayImport[room]
		require.True(t, known, "%s: no such room: put it where it belongs, or add the room here", file)
		seen[room]++
		for _, in := range imports {
			other := strings.SplitN(in, "/", 2)[0]
			assert.True(t, other == room || slices.Contains(allowed, other), "%s imports %s", file, in)
		}
	}
	for room := range mayImport {
		assert.Positive(t, seen[room], room)
	}
}

// Inside sim the binding files alone tie scenarios to physics, and sampling and
// statistics know nothing of either.
func TestBindingTiesScenariosToPhysics(t *testing.T) {
	var ties []string
	for file, imports := range importsOfProject(t) {
		file = filepath.ToSlash(file)
		if strings.HasPrefix(file, "sim/") && slices.Contains(imports, "physics") && slices.Contains(imports, "scenarios") {
			ties = append(ties, file)
		}
		if strings.HasPrefix(file, "sim/sampling/") || strings.HasPrefix(file, "sim/stats/") {
			for _, in := range imports {
				assert.Equal(t, "sim", strings.SplitN(in, "/", 2)[0], "%s imports %s", file, in)
			}
		}
	}
	slices.Sort(ties)
	assert.Equal(t, []string{"sim/binding.go", "sim/binding_can.go", "sim/binding_duty.go"}, ties)
}

// importsOfProject returns, by file that isn't a test, the packages of the
// project that it imports, without the module's name.
func importsOfProject(t *testing.T) map[string][]string {
	t.Helper()
	found := map[string][]string{}
	err := filepath.WalkDir(".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || path.Ext(name) != ".go" || strings.HasSuffix(name, "_test.go") {
			return err
		}
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		found[name] = nil
		for _, spec := range f.Imports {
			in, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			if rest, ours := strings.CutPrefix(in, "sumpward/"); ours {
				found[name] = append(found[name], rest)
			}
		}
		return nil
	})
	require.NoError(t, err)
	require.NotEmpty(t, found)
	return found
}
