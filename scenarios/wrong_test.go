package scenarios

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// beside opens files beside a scenario of the test data.
func beside(file string) func(string) (io.ReadCloser, error) { return within(filepath.Dir(file)) }

// TestWrong compares the messages about every wrong file with the expected
// ones beside it.
func TestWrong(t *testing.T) {
	files, err := filepath.Glob("testdata/wrong/*.yaml")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 40)
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".yaml"), func(t *testing.T) {
			data, err := os.ReadFile(file)
			require.NoError(t, err)
			s, err := Parse(filepath.Base(file), data, beside(file))
			require.Error(t, err)
			assert.Nil(t, s)
			assert.IsType(t, Problems{}, err)
			asExpected(t, file, err)
		})
	}
}

// asExpected compares the messages about a file with those beside it.
func asExpected(t *testing.T, file string, err error) {
	t.Helper()
	expected := strings.TrimSuffix(file, ".yaml") + ".txt"
	if *update {
		require.NoError(t, os.WriteFile(expected, []byte(err.Error()+"\n"), 0o644))
	}
	want, readErr := os.ReadFile(expected)
	require.NoError(t, readErr)
	assert.Equal(t, string(want), err.Error()+"\n", file)
}

// TestTableHints loads what the hints about tables say to write, weights and
// all, for fields of every dimension.
func TestTableHints(t *testing.T) {
	files, err := filepath.Glob("testdata/wrong/table-w*.txt")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 5)
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		_, hint, found := strings.Cut(strings.TrimSpace(string(data)), "write: fall: ")
		require.True(t, found, file)
		assert.Contains(t, hint, "weights: [", file)
		parsed(t, strings.Replace(least, "fall: 120 mm", "fall: "+hint, 1))
	}
	for _, f := range Fields() {
		if f.Kind != QuantityKind {
			continue
		}
		d := newDecoder(&source{memory: newMemory()}, "")
		hint := spelled{d, &value{field: &f, path: f.Path}}.tableHint(nil)
		_, text, _ := strings.Cut(hint, f.Name()+": ")
		root, _ := document("hint.yaml", []byte("x: "+text+"\n"))
		require.NotNil(t, root, hint)
		d.decode(&f, root.get("x"), f.Path, 1)
		assert.Empty(t, d.problems, hint)
		table := d.values[f.Path].distribution
		assert.Less(t, table.Quantile(0.1), table.Quantile(0.9), hint)
	}
}

// TestHuge refuses a file over 1 MiB, and stops reading there.
func TestHuge(t *testing.T) {
	line := []byte("# Larkmoor, car 42, a line of comment\n")
	data := append([]byte("scenario: 1\n"), bytes.Repeat(line, largestFile/len(line)+1)...)
	_, err := Parse("huge.yaml", data, nil)
	assert.EqualError(t, err, "huge.yaml:1: the file is too large (got 1048622 bytes, allowed 0 to 1048576)")

	file := filepath.Join(t.TempDir(), "huge.yaml")
	require.NoError(t, os.WriteFile(file, data, 0o644))
	_, err = Load(file)
	assert.ErrorContains(t, err, "the file is too large (got 1048577 bytes")
}

// TestTooMany refuses what would take minutes.
func TestTooMany(t *testing.T) {
	for text, want := range map[string]string{
		least + strings.Repeat("\n", mostLines):                                                         "the file has too many lines (got 10006, allowed 1 to 10000)",
		least + "breathers: [" + strings.Repeat("{}, ", 5001) + "]":                                     "breathers: too many (got 5001, allowed 1 to 5000)",
		least + "breathers: [" + strings.Repeat("{}, ", 9) + "]":                                        "breathers: too many circuits (got 9, allowed 1 to 8)",
		least + "sessions: [" + strings.Repeat("1 min, ", 51) + "]":                                     "sessions: too many (got 51, allowed 1 to 50)",
		onTrack("segments: [" + strings.Repeat("{straight: 9 m}, ", 501) + "]"):                         "duty.circuit.segments: too many (got 501, allowed 1 to 500)",
		scheduled("schedule: ["+strings.Repeat("{drive: 9 s}, ", 501)+"]", ""):                          "duty.schedule: too many (got 501, allowed 1 to 500)",
		least + "variants:\n" + manyVariants(101):                                                       "variants: too many (got 101, allowed 1 to 100)",
		least + "title: " + strings.Repeat("x", 501):                                                    "title: the text is too long (got 501 characters, allowed 1 to 500)",
		strings.Repeat("a: [1]\n", 150):                                                                 "test.yaml: and 49 more problems",
		strings.Replace(least, "fall: 120 mm", "route: ["+strings.Repeat("[0, 0, 1 mm], ", 101)+"]", 1): "a list of 2 to 100 points is wanted here (got 101 points)",
	} {
		_, err := Parse("test.yaml", []byte(text), nil)
		assert.ErrorContains(t, err, want)
	}
}

func manyVariants(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "  v%d: {drain.fall: 130 mm}\n", i)
	}
	return b.String()
}

// TestLoadAbsent tells of a file that is not there.
func TestLoadAbsent(t *testing.T) {
	_, err := Load(filepath.Join(t.TempDir(), "none.yaml"))
	assert.ErrorIs(t, err, os.ErrNotExist)
	_, err = Ready("none")
	assert.EqualError(t, err, "none: no such ready-made scenario\n  known: sealed-drain, four-hours, lost-circuit, sealed-can")
}
