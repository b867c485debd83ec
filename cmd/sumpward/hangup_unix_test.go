//go:build unix

package main

import (
	"bytes"
	"os"
	"os/exec"
	"os/signal"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestHangup: a terminal that is closed ends a run as an interrupt does, told twice or
// not; under nohup it doesn't.
func TestHangup(t *testing.T) {
	if signal.Ignored(syscall.SIGHUP) {
		t.Skip("the test itself is told to outlive its terminal")
	}
	t.Chdir(t.TempDir())
	whole := unbroken(t)

	out, said, code := hungUp(t, `exec sumpward "$@"`)
	assert.Equal(t, exitInterrupted, code, said)
	assert.Empty(t, out)
	assert.Contains(t, said, "interrupted (hangup signal received): what was done is kept in kept\n  to go on: the same command with --resume")
	out, said, code = executed(t, strings.Fields(lasting+"kept --resume")...)
	require.Zero(t, code, said)
	assert.Contains(t, said, "going on from kept")
	assert.Equal(t, whole, out)

	out, said, code = hungUp(t, `trap '' HUP; exec sumpward "$@"`)
	assert.Zero(t, code, said)
	assert.Equal(t, whole, out)
	assert.Empty(t, names(t))
}

// hungUp executes lasting in a shell, and has its terminal closed once its checkpoint holds work.
func hungUp(t *testing.T, shell string) (stdout, stderr string, code int) {
	t.Helper()
	c := exec.Command("sh", append([]string{"-c", shell, "sh"}, strings.Fields(lasting+"kept")...)...)
	var out, said bytes.Buffer
	c.Stdout, c.Stderr = &out, &said
	require.NoError(t, c.Start())
	ended := make(chan error, 1)
	go func() { ended <- c.Wait() }()
	for {
		select {
		case err := <-ended:
			require.Fail(t, "ended before anything happened", "%v %s", err, said.String())
		case <-time.After(100 * time.Microsecond):
		}
		if info, err := os.Stat("kept"); err == nil && info.Size() > 4000 {
			break
		}
	}
	for range 2 {
		require.NoError(t, c.Process.Signal(syscall.SIGHUP))
		time.Sleep(time.Millisecond) // two at once would be one
	}
	<-ended
	return out.String(), said.String(), c.ProcessState.ExitCode()
}
