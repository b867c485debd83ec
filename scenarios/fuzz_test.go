package scenarios_test

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/internal/bounded"
	"sumpward/sim"
)

// FuzzParse feeds any bytes: Parse returns a complete scenario that a model can be
// made of, or problems with their lines; it never panics, nor takes long.
func FuzzParse(f *testing.F) {
	for _, pattern := range []string{"testdata/right/*.yaml", "testdata/wrong/*.yaml", "ready/*.yaml", "template.yaml"} {
		files, err := filepath.Glob(pattern)
		require.NoError(f, err)
		require.NotEmpty(f, files)
		for _, file := range files {
			data, err := os.ReadFile(file)
			require.NoError(f, err)
			f.Add(data)
		}
	}
	log, err := os.ReadFile("testdata/right/logs/three-laps.csv")
	require.NoError(f, err)
	line, err := os.ReadFile("testdata/right/circuits/oval.csv")
	require.NoError(f, err)
	open := func(name string) (io.ReadCloser, error) {
		if strings.HasPrefix(name, "circuits/") {
			return io.NopCloser(bytes.NewReader(line)), nil
		}
		return io.NopCloser(bytes.NewReader(log)), nil
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var s *scenarios.Scenario
		var err error
		bounded.Do(t, func() { s, err = scenarios.Parse("fuzz.yaml", data, open) })
		if err != nil {
			scenarios.CheckProblems(t, err, data)
			return
		}
		scenarios.Complete(t, s)
		bounded.Do(t, func() {
			m, err := sim.NewModel(s)
			if err == nil {
				m.Nominal()
			} else if err.Error() == "" {
				t.Fatal("an error without a message")
			}
		})
	})
}
