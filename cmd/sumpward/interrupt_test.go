package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestInterruptReportsWhatWasFinished stops a run that would take hours.
func TestInterruptReportsWhatWasFinished(t *testing.T) {
	ctx, cancel := context.WithCancelCause(context.Background())
	time.AfterFunc(500*time.Millisecond, func() { cancel(errors.New("a signal")) })
	var out, messages bytes.Buffer
	a := &app{stdout: &out, stderr: &messages}
	code := a.execute(ctx, []string{"run", "--realizations", "900000000", "--format", "json"})
	assert.Equal(t, 130, code)
	var r struct {
		Interrupted  bool
		Realizations int
	}
	require.NoError(t, json.Unmarshal(out.Bytes(), &r))
	assert.True(t, r.Interrupted)
	assert.Positive(t, r.Realizations)
	assert.Zero(t, r.Realizations%500, "complete blocks only")
	assert.Contains(t, messages.String(), "interrupted: the report covers the ")
}

func TestInterruptAheadOfAnyResult(t *testing.T) {
	ctx, cancel := context.WithCancelCause(context.Background())
	cancel(errors.New("a signal"))
	for _, args := range [][]string{{"run"}, {"replay", "--worst"}} {
		var out, messages bytes.Buffer
		a := &app{stdout: &out, stderr: &messages}
		assert.Equal(t, 130, a.execute(ctx, args))
		assert.Empty(t, out.String())
		assert.Contains(t, messages.String(), "stopped before the first")
	}
}
