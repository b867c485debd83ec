package main

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
)

// inShards are command lines that are cut into shards.
var inShards = []struct {
	name, line string
	formats    []string
	shards     []int
}{
	{"run", "run --quick --sessions 1min,3min --realizations 2300", allFormats, []int{1, 3, 16}},
	{"run at random", "run --quick --sessions 5min --realizations 1700 --sampling random --seed 0", []string{"json"}, []int{3}},
	{"run with what it rests on", "run --sessions 10s --realizations 600", []string{"table"}, []int{3}},
	{"size", "size --sessions 1min --realizations 90 --falls 60mm,90mm --bores 12mm --volumes 0.3L,0.5L", allFormats, []int{1, 3, 16}},
	{"vary", "vary --sessions 1min --realizations 1200 --input drain.fall=50mm,100mm --input drain.bore=10mm,300mm", allFormats, []int{1, 3, 16}},
}

var allFormats = []string{"json", "csv", "table", "markdown"}

// TestShardsMergedAreOneRun: N shards, merged in any order, are one run byte for byte, in
// every format, on stdout and on stderr.
func TestShardsMergedAreOneRun(t *testing.T) {
	for _, c := range inShards {
		t.Run(c.name, func(t *testing.T) {
			t.Chdir(t.TempDir())
			line := onCar(t, c.line)
			parts := map[int][]string{}
			for _, n := range c.shards {
				parts[n] = shardsOf(t, line, n)
			}
			for _, format := range c.formats {
				whole, said, code := executed(t, slices.Concat(line, []string{"--format", format})...)
				require.Zero(t, code, said)
				for _, n := range c.shards {
					merged, also, code := executed(t, slices.Concat([]string{"merge", "--format", format}, parts[n])...)
					require.Zero(t, code, also)
					require.Equal(t, whole, merged, "%d shards", n)
					assert.Equal(t, said, also, "%d shards", n)
				}
			}
		})
	}
}

// onCar writes the example as a file.
func onCar(t *testing.T, line string) []string {
	t.Helper()
	text := string(scenarios.ReadySource("sealed-drain"))
	require.NoError(t, os.WriteFile("car.yaml", []byte(text), 0o600))
	words := strings.Fields(line)
	return slices.Concat(words[:1], []string{"car.yaml"}, words[1:])
}

// shardsOf simulates all shards, the last first, and returns their files.
func shardsOf(t *testing.T, line []string, n int) (files []string) {
	t.Helper()
	for k := n; k > 0; k-- {
		file := fmt.Sprintf("part-%d-of-%d.json", k, n)
		_, said, code := executed(t, slices.Concat(line, []string{"--shard", fmt.Sprintf("%d/%d", k, n), "-o", file})...)
		require.Zero(t, code, said)
		files = append(files, file)
	}
	return files
}
