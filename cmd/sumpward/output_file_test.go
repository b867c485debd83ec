package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestRenameRefusesAFileThatCameInTheMeantime holds the last look to its word.
func TestRenameRefusesAFileThatCameInTheMeantime(t *testing.T) {
	dir := t.TempDir()
	from, to := filepath.Join(dir, "part"), filepath.Join(dir, "report")
	require.NoError(t, os.WriteFile(from, []byte("new"), 0o600))
	require.NoError(t, os.WriteFile(to, []byte("old"), 0o600))
	assert.Error(t, rename(from, to, false))
	data, err := os.ReadFile(to)
	require.NoError(t, err)
	assert.Equal(t, "old", string(data))
	require.NoError(t, rename(from, to, true))
	data, err = os.ReadFile(to)
	require.NoError(t, err)
	assert.Equal(t, "new", string(data))
}

func TestWriteFileLeavesNothingBeside(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "report")
	require.NoError(t, writeFile(path, []byte("one"), false))
	require.Error(t, writeFile(path, []byte("two"), false))
	require.NoError(t, writeFile(path, []byte("three"), true))
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Len(t, entries, 1)
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "three", string(data))
	info, err := os.Stat(path)
	require.NoError(t, err)
	assert.NotZero(t, info.Mode().Perm()&0o040, "as readable as any new file")
}

// TestWriteFileFlushesItsName: the bytes before the file takes its name, the folder after.
func TestWriteFileFlushesItsName(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "report")
	var fail error
	var flushed []string
	flush = func(f *os.File) error {
		what := "bytes"
		if f.Name() == dir {
			what = "names"
		}
		if _, err := os.Stat(path); err == nil {
			what += ", named"
		}
		flushed = append(flushed, what)
		if f.Name() == dir && fail != nil {
			return &fs.PathError{Op: "sync", Path: dir, Err: fail}
		}
		return f.Sync()
	}
	t.Cleanup(func() { flush = (*os.File).Sync })
	require.NoError(t, writeFile(path, []byte("one"), false))
	assert.Equal(t, []string{"bytes", "names, named"}, flushed)

	fail = syscall.EINVAL
	require.NoError(t, writeFile(path, []byte("two"), true), "a platform that can't")
	fail = syscall.EIO
	assert.EqualError(t, writeFile(path, []byte("three"), true), "write "+path+": "+syscall.EIO.Error(), "a disk that fails")
}

func TestTemporaryNamesDoNotCollide(t *testing.T) {
	path := filepath.Join(t.TempDir(), "report")
	one, err := temporaryBeside(path)
	require.NoError(t, err)
	defer one.Close()
	two, err := temporaryBeside(path)
	require.NoError(t, err)
	defer two.Close()
	assert.NotEqual(t, one.Name(), two.Name())
	assert.Equal(t, filepath.Dir(path), filepath.Dir(one.Name()))
}

// TestErrorsNameTheFileThatWasGiven holds that no message names the temporary
// file. A name as long as a file system takes leaves no room for the rest of
// the temporary one's, whoever runs the test.
func TestErrorsNameTheFileThatWasGiven(t *testing.T) {
	path := filepath.Join(t.TempDir(), strings.Repeat("a", 250))
	err := writeFile(path, []byte("x"), false)
	require.Error(t, err)
	assert.True(t, strings.HasPrefix(err.Error(), "write "+path+": "), err)
	assert.NotContains(t, err.Error(), ".part")
	assert.Equal(t, 1, strings.Count(err.Error(), path))

	denied := &fs.PathError{Op: "open", Path: ".report.1-0.part", Err: syscall.EACCES}
	assert.Equal(t, "permission denied", cause(denied).Error())
	linked := &os.LinkError{Op: "link", Old: ".report.1-0.part", New: "report", Err: syscall.EPERM}
	assert.Equal(t, syscall.EPERM, cause(linked))
	assert.Equal(t, fs.ErrClosed, cause(fs.ErrClosed))
}
