package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A command never writes over a file that it reads, with --force either.
func TestNoCommandWritesOverWhatItReads(t *testing.T) {
	t.Chdir(t.TempDir())
	_, said, code := executed(t, "new", "car.yaml")
	require.Zero(t, code, said)
	_, said, code = executed(t, "run", "car.yaml", "--realizations", "500", "--shard", "1/1", "-o", "part.json")
	require.Zero(t, code, said)
	require.NoError(t, os.Mkdir("parts", 0o777))
	require.NoError(t, os.Link("part.json", filepath.Join("parts", "part.json")))
	require.NoError(t, os.WriteFile("faults.yaml", []byte("[]"), 0o666))
	require.NoError(t, os.Symlink("car.yaml", "link.html"))
	for _, args := range [][]string{
		{"run", "car.yaml", "--force", "-o", "car.yaml", "--format", "csv"},
		{"run", "./car.yaml", "--force", "--report", "link.html"},
		{"merge", "part.json", "--force", "-o", "parts/part.json"},
		{"merge", "parts", "--force", "-o", "parts/part.json"},
		{"merge", "part.json", "--scenario", "car.yaml", "--force", "-o", "car.yaml", "--format", "table"},
		{"diagnose", "car.yaml", "faults.yaml", "--faults", "faults.yaml", "--force", "-o", "faults.yaml", "--format", "json"},
	} {
		kept := map[string]string{}
		for _, name := range []string{"car.yaml", "part.json", "faults.yaml"} {
			kept[name] = read(t, name)
		}
		_, said, code := executed(t, args...)
		assert.Equal(t, exitCommandLine, code, "%v: %s", args, said)
		assert.Contains(t, said, "the command reads that file: name another to write to", "%v", args)
		for name, text := range kept {
			assert.Equal(t, text, read(t, name), "%v", args)
		}
	}
	_, said, code = executed(t, "merge", "part.json", "-o", "parts/whole.txt")
	assert.Zero(t, code, "beside a part, not over it: %s", said)
}

// Where nothing can be written it is said ahead of the work.
func TestFolderThatTakesNothing(t *testing.T) {
	if _, err := os.Stat("/proc/self"); err != nil {
		t.Skip("no folder here that takes nothing")
	}
	for _, args := range [][]string{
		{"run", "--realizations", "100000000", "-o", "/proc/self/result.json"},
		{"run", "--realizations", "100000000", "--report", "/proc/self/page.html"},
	} {
		_, said, code := executed(t, args...)
		assert.Equal(t, exitFailed, code, said)
		assert.Contains(t, said, "write /proc/self/")
	}
}
