package main

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/sim/kept"
)

// lasting is a command line that takes long enough for something to happen meanwhile.
const lasting = "run --quick --sessions 25min --realizations 8000 --workers 1 --checkpoint-every 1ms --checkpoint "

// meanwhile executes lasting, and does something once its checkpoint holds work.
func meanwhile(t *testing.T, checkpoint, more string, then func(stop context.CancelCauseFunc)) (stdout, stderr string, code int) {
	t.Helper()
	ctx, stop := context.WithCancelCause(context.Background())
	defer stop(nil)
	var out, said bytes.Buffer
	ended := make(chan int)
	go func() {
		ended <- (&app{stdout: &out, stderr: &said}).execute(ctx, strings.Fields(lasting+checkpoint+" "+more))
	}()
	for {
		select {
		case code := <-ended:
			require.Fail(t, "ended before anything happened", "%d %s", code, said.String())
		case <-time.After(100 * time.Microsecond):
		}
		if info, err := os.Stat(checkpoint); err == nil && info.Size() > 4000 {
			break
		}
	}
	then(stop)
	code = <-ended
	return out.String(), said.String(), code
}

// unbroken is what lasting gives.
func unbroken(t *testing.T) string {
	t.Helper()
	out, said, code := executed(t, strings.Fields(strings.TrimSuffix(lasting, " --checkpoint-every 1ms --checkpoint "))...)
	require.Zero(t, code, said)
	return out
}

func interrupt(stop context.CancelCauseFunc) { stop(errors.New("a signal")) }

// TestInterruptedIsGoneOnWith: what was done is kept, and the same command with --resume
// gives what an unbroken one does.
func TestInterruptedIsGoneOnWith(t *testing.T) {
	t.Chdir(t.TempDir())
	whole := unbroken(t)
	out, said, code := meanwhile(t, "kept", "", interrupt)
	assert.Equal(t, exitInterrupted, code)
	assert.Empty(t, out, "no result of a part of it")
	assert.Contains(t, said, "interrupted (a signal): what was done is kept in kept\n  to go on: the same command with --resume")
	f, err := kept.Open("kept", kept.Checkpoint)
	require.NoError(t, err)
	assert.False(t, f.Work.Empty())

	for line, want := range map[string]string{
		lasting + "kept": "--checkpoint: kept exists already: go on from it with --resume, or replace it with --force",
		strings.Replace(lasting, "8000", "8001", 1) + "kept --resume":                     "kept is not of this work: arguments",
		lasting + "kept --resume --sampling latin-hypercube":                              "kept is not of this work: sampling sobol, sampling latin-hypercube",
		lasting + "kept --resume --seed 2":                                                "kept is not of this work: seed 1, seed 2",
		strings.Replace(lasting, "run", "run four-hours", 1) + "kept --resume":            "kept is not of this work: scenario \"",
		lasting + "kept --resume --shard 1/2":                                             "kept is not of this work: another shard: name another checkpoint, or begin anew with --force in place of --resume",
		"vary --input drain.fall=50mm,60mm --realizations 500 --checkpoint kept --resume": "kept is not of this work: command run, command vary",
		"merge kept": "kept: a checkpoint, where a partial result is wanted",
	} {
		refused(t, exitFailed, line, want)
	}
	text := read(t, "kept")
	require.NoError(t, os.WriteFile("part", []byte(strings.Replace(text, "sumpward/checkpoint", "sumpward/part", 1)), 0o600))
	require.NoError(t, os.WriteFile("damaged", []byte(text[:len(text)/2]), 0o600))
	require.NoError(t, os.WriteFile("empty", nil, 0o600))
	refused(t, exitFailed, lasting+"part --resume", "part: a partial result, where a checkpoint is wanted: name the file that --checkpoint wrote")
	refused(t, exitFailed, lasting+"damaged --resume", "damaged: damaged: not one whole", "begin anew with --force in place of --resume")
	refused(t, exitFailed, lasting+"empty --resume", "empty: damaged: not one whole", "begin anew with --force in place of --resume")

	for _, name := range []string{"damaged", "empty"} { // begun anew
		out, said, code = executed(t, strings.Fields(lasting+name+" --force")...)
		require.Zero(t, code, said)
		assert.Equal(t, whole, out)
		require.NoFileExists(t, name)
	}
	out, said, code = executed(t, strings.Fields(lasting+"kept --resume")...)
	require.Zero(t, code, said)
	assert.Contains(t, said, "going on from kept")
	assert.Equal(t, whole, out)
	assert.Equal(t, []string{"part"}, names(t), "the checkpoint is taken away, others are not")
	out, said, code = executed(t, strings.Fields(lasting+"kept --resume")...)
	require.Zero(t, code)
	assert.NotContains(t, said, "going on")
	assert.Equal(t, whole, out, "begins anew where there is none")
}

// TestShardIsGoneOnWith: a shard that was cut short gives the part that an unbroken one does.
func TestShardIsGoneOnWith(t *testing.T) {
	t.Chdir(t.TempDir())
	_, said, code := meanwhile(t, "kept", "--shard 1/1 -o part.json", interrupt)
	require.Equal(t, exitInterrupted, code, said)
	assert.Equal(t, []string{"kept"}, names(t))
	refused(t, exitFailed, lasting+"kept --resume", "another shard")
	require.NoError(t, os.WriteFile(".part.json.12-0.part", nil, 0o600), "as one leaves who is killed while writing it")
	_, said, code = executed(t, strings.Fields(lasting+"kept --resume --shard 1/1 -o part.json")...)
	require.Zero(t, code, said)
	assert.Equal(t, []string{"part.json"}, names(t))
	_, said, code = executed(t, strings.Fields(strings.TrimSuffix(lasting, " --checkpoint-every 1ms --checkpoint ")+" --shard 1/1 -o whole.json")...)
	require.Zero(t, code, said)
	assert.True(t, read(t, "whole.json") == read(t, "part.json"), "part.json is another")
}

// TestCheckpointsPath: what is no ordinary file is refused ahead of any work; a link leads
// to the checkpoint, and both are taken away; files of others stay.
func TestCheckpointsPath(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.Mkdir("folder", 0o700))
	require.NoError(t, os.Symlink("nowhere", "dangling"))
	require.NoError(t, os.WriteFile("file", []byte("mine"), 0o600))
	for path, want := range map[string]string{
		"folder": "folder is not an ordinary file: name another", "dangling": "dangling is a link that leads nowhere: name another file, or remove it",
		"none/kept": "there is no folder none: make it first", "file/kept": "not a directory", "file": "file exists already, and is no checkpoint: name another file, or remove it",
	} {
		for _, more := range []string{"", " --resume", " --resume --force", " --force"} {
			refused(t, exitFailed, lasting+path+more, "--checkpoint: ", want)
		}
	}
	assert.Equal(t, "mine", read(t, "file"), "--force is no leave to write over, and take away, what is no checkpoint")
	require.NoError(t, os.Mkdir("elsewhere", 0o700))
	for _, other := range []string{".kept.notes.part", ".kept.b.12-0.part", ".kept.part", "kept.b"} {
		require.NoError(t, os.WriteFile(filepath.Join("elsewhere", other), nil, 0o600))
	}
	require.NoError(t, os.WriteFile("elsewhere/.kept.12-0.part", nil, 0o600))
	_, said, code := meanwhile(t, "elsewhere/kept", "", interrupt)
	require.Equal(t, exitInterrupted, code, said)
	require.NoError(t, os.Symlink("elsewhere/kept", "link"))
	out, said, code := executed(t, strings.Fields(lasting+"link --resume")...)
	require.Zero(t, code, said)
	assert.Equal(t, unbroken(t), out)
	assert.Equal(t, []string{"dangling", "elsewhere", "file", "folder"}, names(t))
	t.Chdir("elsewhere")
	assert.Equal(t, []string{".kept.b.12-0.part", ".kept.notes.part", ".kept.part", "kept.b"}, names(t))
}

// TestFolderIsGoneMeanwhile: the work goes on, and says so.
func TestFolderIsGoneMeanwhile(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.Mkdir("folder", 0o700))
	out, said, code := meanwhile(t, "folder/kept", "", func(context.CancelCauseFunc) {
		require.NoError(t, os.Rename("folder", "away"))
	})
	require.Zero(t, code, said)
	assert.Equal(t, 1, strings.Count(said, "warning: the checkpoint could not be written, and stays as it was; the work goes on: write folder/kept: there is no folder folder"), said)
	assert.Equal(t, unbroken(t), out)
}
