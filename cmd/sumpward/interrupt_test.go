package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/sim"
)

// TestInterruptReportsWhatWasFinished stops a run that would take hours.
func TestInterruptReportsWhatWasFinished(t *testing.T) {
	out, said, code := stoppedAfter(t, strings.Fields("run --realizations 900000000 --format json"), "stopped before")
	assert.Equal(t, 130, code)
	var r struct {
		Interrupted  bool
		Realizations int
	}
	require.NoError(t, json.Unmarshal([]byte(out), &r))
	assert.True(t, r.Interrupted)
	assert.Positive(t, r.Realizations)
	assert.Zero(t, r.Realizations%500, "complete blocks only")
	assert.Contains(t, said, "interrupted: the report covers the ")
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

// TestInterruptedBetweenRunAndReport stops what follows from a run that was finished. The
// report says that it is not all there, and so does the exit code.
func TestInterruptedBetweenRunAndReport(t *testing.T) {
	t.Chdir(t.TempDir())
	out, said, code := stoppedAfter(t, strings.Fields("run --quick --rare --rare-repeats 1000 --sessions 2min --realizations 500 --workers 1 --report page.html --card card.html"),
		"stopped before", "were finished")
	assert.Equal(t, exitInterrupted, code)
	assert.Contains(t, said, "interrupted: the report covers all 500 realizations, but leaves out what was still to be worked out from them")
	assert.Contains(t, said, "no page: the run was interrupted")
	assert.Contains(t, said, "no card: the run was interrupted")
	assert.Contains(t, strings.Join(strings.Fields(out), " "), "; INTERRUPTED, what was still to be worked out is left out")
	assert.Empty(t, names(t))
}

// TestNothingIsRequiredOfWhatWasCutShort: without what a requirement depends on, it is not judged.
func TestNothingIsRequiredOfWhatWasCutShort(t *testing.T) {
	s, err := scenarios.Ready("sealed-drain")
	require.NoError(t, err)
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	o := sim.Options{Realizations: 500, Keep: 500}
	res, err := m.Run(context.Background(), o)
	require.NoError(t, err)
	required, err := requirements([]string{"overflow < 5 %"})
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	for quick, want := range map[bool]int{true: 1, false: 1} {
		list, err := (&app{}).judged(ctx, required, m, res, o, quick)
		require.NoError(t, err)
		assert.Len(t, list, want)
	}
	cancel()
	for quick, want := range map[bool]int{true: 1, false: 0} {
		list, err := (&app{}).judged(ctx, required, m, res, o, quick)
		require.NoError(t, err)
		assert.Len(t, list, want, "quick: %v", quick)
	}
}

// stoppedAfter interrupts a command line later and later, until it says none of what it
// says when that was too early.
func stoppedAfter(t *testing.T, args []string, early ...string) (stdout, stderr string, code int) {
	t.Helper()
	for after := 50 * time.Millisecond; ; after += after / 4 {
		ctx, cancel := context.WithCancelCause(context.Background())
		time.AfterFunc(after, func() { cancel(errors.New("a signal")) })
		var out, said bytes.Buffer
		code := (&app{stdout: &out, stderr: &said}).execute(ctx, args)
		cut := ctx.Err() != nil
		cancel(nil)
		require.True(t, cut, "ended by itself: %s", said.String())
		if !slices.ContainsFunc(early, func(e string) bool { return strings.Contains(said.String(), e) }) {
			return out.String(), said.String(), code
		}
	}
}

// TestInterruptSaysWhatWasLost: more than the name of a signal.
func TestInterruptSaysWhatWasLost(t *testing.T) {
	ctx, cancel := context.WithCancelCause(context.Background())
	cancel(errors.New("a signal"))
	for line, hint := range map[string]bool{
		"size": true, "vary --input drain.fall=3cm,4cm": true, "run --realizations 500 --shard 1/1": true, "compare": false, "choose": false,
		"sensitivity": false, "cluster --tasks 1 --realizations 500 --estimate": false,
	} {
		var out, said bytes.Buffer
		assert.Equal(t, exitInterrupted, (&app{stdout: &out, stderr: &said}).execute(ctx, strings.Fields(line)), line)
		assert.Empty(t, out.String(), line)
		assert.Contains(t, said.String(), "sumpward: interrupted (a signal): it was not finished\n", line)
		assert.Equal(t, hint, strings.Contains(said.String(), "\n  to be able to go on another time: --checkpoint FILE\n"), line)
		assert.Equal(t, !hint, strings.Contains(said.String(), "\n  what it had done is lost: "+strings.Fields(line)[0]+" keeps no checkpoint, as run, size and vary do; it has to begin anew\n"), line)
	}
}
