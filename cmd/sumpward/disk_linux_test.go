package main

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/sim/kept"
)

// inNamespace is set for a test that is executed where it may mount.
const inNamespace = "SUMPWARD_TEST_NAMESPACE"

// onSmallDisk executes a test anew, in a user and mount namespace of its own, in a folder
// on a disk of 64 kB; the folder above it has all the room there is.
func onSmallDisk(t *testing.T, test func(t *testing.T)) {
	if os.Getenv(inNamespace) != "" {
		dir := t.TempDir()
		disk := filepath.Join(dir, "disk")
		require.NoError(t, os.Mkdir(disk, 0o700))
		require.NoError(t, syscall.Mount("tmpfs", disk, "tmpfs", 0, "size=64k"))
		t.Cleanup(func() { _ = syscall.Unmount(disk, syscall.MNT_DETACH) })
		t.Chdir(disk)
		test(t)
		return
	}
	c := exec.Command(os.Args[0], "-test.run=^"+t.Name()+"$", "-test.v")
	c.Env = append(os.Environ(), inNamespace+"=1")
	c.SysProcAttr = &syscall.SysProcAttr{
		Cloneflags:  syscall.CLONE_NEWUSER | syscall.CLONE_NEWNS,
		UidMappings: []syscall.SysProcIDMap{{ContainerID: 0, HostID: os.Getuid(), Size: 1}},
		GidMappings: []syscall.SysProcIDMap{{ContainerID: 0, HostID: os.Getgid(), Size: 1}},
	}
	if out, err := c.CombinedOutput(); err != nil {
		if c.ProcessState == nil {
			t.Skipf("no namespace to mount a small disk in: %v", err)
		}
		t.Fatalf("%v\n%s", err, out)
	} else if !strings.Contains(string(out), "--- PASS: "+t.Name()) {
		t.Fatalf("not executed:\n%s", out)
	}
}

// fill leaves no room on the disk.
func fill(t *testing.T) {
	t.Helper()
	f, err := os.Create("filler")
	require.NoError(t, err)
	for err == nil {
		_, err = f.Write(make([]byte, 1024))
	}
	require.ErrorIs(t, err, syscall.ENOSPC)
	_ = f.Close()
}

// TestFullDisk: where only the checkpoint can't be written the work goes on; what was
// written stays whole, nothing is left half written, and with room again it is gone on.
func TestFullDisk(t *testing.T) {
	onSmallDisk(t, func(t *testing.T) {
		whole := unbroken(t)
		const full = "warning: the checkpoint could not be written, and stays as it was; the work goes on: write kept: no space left on device"
		out, said, code := meanwhile(t, "kept", "", func(context.CancelCauseFunc) { fill(t) })
		require.Zero(t, code, said)
		assert.Equal(t, whole, out)
		assert.Equal(t, 1, strings.Count(said, full), "said once: %s", said)
		assert.Equal(t, []string{"filler"}, names(t))

		require.NoError(t, os.Remove("filler"))
		_, said, code = meanwhile(t, "kept", "", func(stop context.CancelCauseFunc) { fill(t); interrupt(stop) })
		require.Equal(t, exitInterrupted, code)
		assert.Contains(t, said, "what was done last could not be kept (write kept: no space left on device); kept holds what was done before\n  to go on from there: mend that, then the same command with --resume")
		assert.Equal(t, []string{"filler", "kept"}, names(t))
		f, err := kept.Open("kept", kept.Checkpoint)
		require.NoError(t, err)
		assert.False(t, f.Work.Empty())
		before := read(t, "kept")

		refused(t, exitFailed, lasting+"kept --resume", "--checkpoint: write kept: no space left on device")
		assert.Equal(t, before, read(t, "kept"))
		refused(t, exitFailed, lasting+"other", "--checkpoint: write other: no space left on device")
		refused(t, exitFailed, lasting+"../kept --shard 1/1 -o part.json", "write part.json: no space left on device")
		refused(t, exitFailed, lasting+"../kept --resume -o result.json", "kept is not of this work: another shard")
		_, err = kept.Open("../kept", kept.Checkpoint)
		require.NoError(t, err, "what was done for a part that can't be written isn't lost")
		_, said, code = executed(t, strings.Fields(lasting+"../kept --resume --shard 1/1 -o ../part.json")...)
		require.Zero(t, code, said)
		merged, said, code := executed(t, "merge", "../part.json")
		require.Zero(t, code, said)
		assert.Equal(t, whole, merged)
		refused(t, exitFailed, "merge ../part.json -o result.txt", "write result.txt: no space left on device")
		refused(t, exitFailed, strings.TrimSuffix(lasting, " --checkpoint-every 1ms --checkpoint ")+" -o result.txt", "write result.txt: no space left on device")
		assert.Equal(t, []string{"filler", "kept"}, names(t))

		require.NoError(t, os.Remove("filler"))
		out, said, code = executed(t, strings.Fields(lasting+"kept --resume")...)
		require.Zero(t, code, said)
		assert.Contains(t, said, "going on from kept")
		assert.Equal(t, whole, out)
		assert.Empty(t, names(t))
	})
}

// TestReadOnlyDisk: it is told ahead of the work, or, where it comes to be so meanwhile,
// beside it.
func TestReadOnlyDisk(t *testing.T) {
	onSmallDisk(t, func(t *testing.T) {
		whole := unbroken(t)
		disk, err := os.Getwd()
		require.NoError(t, err)
		remount := func(flags uintptr) { require.NoError(t, syscall.Mount("", disk, "", syscall.MS_REMOUNT|flags, "")) }
		out, said, code := meanwhile(t, "kept", "", func(context.CancelCauseFunc) { remount(syscall.MS_RDONLY) })
		assert.Equal(t, exitFailed, code)
		assert.Equal(t, whole, out, "the result is there")
		assert.Contains(t, said, "the work goes on: write kept: read-only file system")
		assert.Contains(t, said, "all is written, but for removing the checkpoint: remove "+filepath.Join("", "kept")+": read-only file system: remove it by hand")

		refused(t, exitFailed, lasting+"kept --resume", "--checkpoint: write kept: read-only file system")
		refused(t, exitFailed, lasting+"other", "--checkpoint: write other: read-only file system")
		refused(t, exitFailed, lasting+"../kept -o result.txt", "write result.txt: read-only file system")
		assert.Equal(t, []string{"kept"}, names(t))
		remount(0)
		out, said, code = executed(t, strings.Fields(lasting+"kept --resume")...)
		require.Zero(t, code, said)
		assert.Contains(t, said, "going on from kept")
		assert.Equal(t, whole, out)
		assert.Empty(t, names(t))
	})
}
