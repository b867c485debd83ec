package main

import (
	"bytes"
	"context"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// output runs a command line and reads its JSON into v.
func output(t *testing.T, v any, args ...string) {
	t.Helper()
	var out, messages bytes.Buffer
	a := &app{stdout: &out, stderr: &messages}
	require.Equal(t, 0, a.execute(context.Background(), args), messages.String())
	require.NoError(t, json.Unmarshal(out.Bytes(), v))
}

// TestReplayOfTheWorst goes from a run to its worst realization: the same
// number, and the same first overflow.
func TestReplayOfTheWorst(t *testing.T) {
	var run struct {
		Worst struct {
			Realization uint64
			Overflow    float64 `json:"overflow_s"`
		}
	}
	flags := []string{"--realizations", "1000", "--seed", "3", "--format", "json"}
	output(t, &run, append([]string{"run", "--quick"}, flags...)...)
	require.NotZero(t, run.Worst.Realization)
	require.Positive(t, run.Worst.Overflow, "the example overflows now and then")

	var replay struct {
		Realization uint64
		First       struct {
			Overflow float64 `json:"overflow_s"`
		}
	}
	output(t, &replay, append([]string{"replay", "--worst"}, flags...)...)
	assert.Equal(t, run.Worst.Realization, replay.Realization)
	assert.InDelta(t, run.Worst.Overflow, replay.First.Overflow, 1e-6, "a replay stops at more moments, which rounds otherwise")
}
