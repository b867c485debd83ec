//go:build unix

package scenarios

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// places are the three places in which a scenario names a file.
var places = map[string]func(name string) string{
	"duty.log.file": func(name string) string {
		return withDuty("duty:\n  log:\n    file: " + name + "\n    positive: {longitudinal: forward, lateral: left}\n")
	},
	"duty.circuit.centre_line.file": func(name string) string {
		return withDuty("duty:\n  circuit: {centre_line: {file: " + name + "}}\n  car: {mass: 1100 kg, power: 200 kW}\n")
	},
	"learned.draws": func(name string) string { return least + "learned:\n  draws: " + name + "\n" },
}

// withDuty is the least scenario with another duty.
func withDuty(duty string) string {
	return strings.Replace(least, "duty: {pattern: {full_throttle: 50 %, burst: 7 s}}\n", duty, 1)
}

// TestNamesInAFileLeadToItsFolderAlone gives every name that leads elsewhere, on any
// system, and what is no ordinary file: none is opened, and none is waited for.
func TestNamesInAFileLeadToItsFolderAlone(t *testing.T) {
	outside := t.TempDir()
	secret := filepath.Join(outside, "secret.csv")
	require.NoError(t, os.WriteFile(secret, []byte("the secret\n1\n2\n"), 0o600))
	dir := t.TempDir()
	t.Chdir(dir)
	require.NoError(t, os.Mkdir("folder", 0o700))
	require.NoError(t, os.Symlink(secret, "link.csv"))
	require.NoError(t, os.Symlink(outside, "linked"))
	require.NoError(t, os.Symlink("/dev/zero", "zero.csv"))
	require.NoError(t, os.Symlink("round.csv", "round.csv"))
	require.NoError(t, syscall.Mkfifo("pipe.csv", 0o600))
	up, err := filepath.Rel(dir, secret)
	require.NoError(t, err)
	refused := []string{
		secret, up, "../secret.csv", "folder/../../secret.csv", "./laps.csv", "folder//laps.csv", "/", ".", "..", "C:laps.csv", `C:\laps.csv`, `\\server\share\laps.csv`, `..\laps.csv`,
		"//server/share", "laps.csv:stream", "NUL", "con.csv", "folder/COM1.csv", "aux", "lpt9.txt", "laps.csv ", "laps.csv.", "folder./laps.csv", "\"la\\x00ps.csv\"", "\"la\\nps.csv\"", "'a*b'", "'a?'", "'<a>'",
	}
	opened := []string{"link.csv", "linked/secret.csv", "zero.csv", "round.csv", "pipe.csv", "folder"}
	for path, scenario := range places {
		for _, name := range append(refused, opened...) {
			text := name
			if !strings.HasPrefix(name, `"`) && !strings.HasPrefix(name, "'") {
				text = "'" + name + "'"
			}
			require.NoError(t, os.WriteFile("car.yaml", []byte(scenario(text)), 0o600))
			_, err := Load("car.yaml")
			var problems Problems
			require.ErrorAs(t, err, &problems, name)
			assert.NotContains(t, err.Error(), "the secret", name)
			if strings.TrimRight(name, " ") == "laps.csv" {
				continue // blanks around a name are no part of it
			}
			at := problems[0]
			assert.Equal(t, path, at.Path, "%s: %v", name, err)
			if slices.Contains(opened, name) {
				assert.Contains(t, at.What, "can't be read: open: ", name)
				assert.Contains(t, at.Hint, "ordinary file")
			} else {
				assert.Contains(t, at.What, "lies beside the scenario or in a folder below it", name)
			}
		}
	}
}

// TestWhatTheCommandLineNamesMayLieAnywhere reads a pipe, and no more of an endless
// device than a file may have; a folder is told.
func TestWhatTheCommandLineNamesMayLieAnywhere(t *testing.T) {
	dir := t.TempDir()
	_, err := Load(dir)
	assert.ErrorContains(t, err, "is a folder: name a file in it")
	_, err = Load("/dev/zero")
	assert.ErrorContains(t, err, "the file is too large")
	pipe := filepath.Join(dir, "pipe")
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	go func() { _ = os.WriteFile(pipe, []byte(least), 0o600) }()
	s, err := Load(pipe)
	require.NoError(t, err)
	assert.NotEmpty(t, s.Inputs)
}
