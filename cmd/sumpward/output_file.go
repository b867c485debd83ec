package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
)

// mayWrite reports, ahead of any work, why a file can't be written: see mayReplace, or
// nothing can be written beside it.
func mayWrite(path string, force bool) error {
	if err := mayReplace(path, force); err != nil {
		return err
	}
	f, err := temporaryBeside(path)
	if err != nil {
		return fmt.Errorf("write %s: %w", path, cause(err))
	}
	_ = f.Close()
	_ = os.Remove(f.Name())
	return nil
}

// mayReplace reports why a file can't be written: it exists and is not to be
// replaced, is no ordinary file, or its folder is not there.
func mayReplace(path string, force bool) error {
	info, err := os.Stat(path)
	switch {
	case err == nil && !info.Mode().IsRegular():
		return fmt.Errorf("%s is not an ordinary file: name another", path)
	case err == nil && !force:
		return fmt.Errorf("%s exists already: name another file, or replace it with --force", path)
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("write %s: %w", path, cause(err))
	}
	folder := filepath.Dir(path)
	if info, err := os.Stat(folder); err != nil || !info.IsDir() {
		return fmt.Errorf("write %s: there is no folder %s: make it first", path, folder)
	}
	return nil
}

// writeFile writes a file whole or not at all: to a temporary file in the
// same folder that takes the name once it is complete. Both the bytes and the
// name are on the disk when it returns.
func writeFile(path string, data []byte, force bool) error {
	err := writeOnce(path, data, force)
	for again := 0; errors.Is(err, fs.ErrNotExist) && again < 3; again++ { // taken for a leftover by who came later
		err = writeOnce(path, data, force)
	}
	return err
}

func writeOnce(path string, data []byte, force bool) (err error) {
	if err := mayReplace(path, force); err != nil {
		return err
	}
	name := path
	if to, err := filepath.EvalSymlinks(path); err == nil {
		path = to // replace what a link leads to, not the link
	}
	f, err := temporaryBeside(path)
	if err != nil {
		return fmt.Errorf("write %s: %w", name, cause(err))
	}
	defer os.Remove(f.Name()) // no longer there once renamed
	if _, err = f.Write(data); err == nil {
		err = flush(f)
	}
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = rename(f.Name(), path, force)
	}
	if err == nil {
		err = flushNames(filepath.Dir(path))
	}
	if err != nil {
		return fmt.Errorf("write %s: %w", name, cause(err))
	}
	return nil
}

// flush puts a file's bytes, or a folder's names, on the disk; a test looks on.
var flush = (*os.File).Sync

// flushNames puts the names in a folder on the disk: a power cut would leave the file
// under its old name, or none. Where the platform, or the folder's permissions, don't
// let a folder be flushed, that is as good as it gets; a disk that fails is an error.
func flushNames(folder string) error {
	d, err := os.Open(folder)
	if err != nil {
		return nil // may be written to, but not be read
	}
	defer d.Close()
	if err := flush(d); errors.Is(err, syscall.EIO) {
		return err
	}
	return nil
}

// holds reports whether an ordinary file holds just these bytes.
func holds(path string, data []byte) bool {
	info, err := os.Stat(path)
	if err != nil || !info.Mode().IsRegular() || info.Size() != int64(len(data)) {
		return false
	}
	there, err := os.ReadFile(path)
	return err == nil && bytes.Equal(there, data)
}

// cause is an error without the name of the file that it befell, which may be
// the temporary one.
func cause(err error) error {
	var path *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &path):
		return path.Err
	case errors.As(err, &link):
		return link.Err
	}
	return err
}

// temporaryBeside makes a new file in the folder of path, with the
// permissions that a new file has.
func temporaryBeside(path string) (*os.File, error) {
	for i := 0; ; i++ {
		name := fmt.Sprintf(".%s.%d-%d.part", filepath.Base(path), os.Getpid(), i)
		f, err := os.OpenFile(filepath.Join(filepath.Dir(path), name), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if !errors.Is(err, fs.ErrExist) || i == 100 {
			return f, err
		}
	}
}

var temporaryRest = regexp.MustCompile(`^\.[0-9]+-[0-9]+\.part$`)

// isTemporaryOf reports whether a name is one that temporaryBeside gives beside a file.
func isTemporaryOf(file, name string) bool {
	rest, is := strings.CutPrefix(name, "."+file)
	return is && temporaryRest.MatchString(rest)
}

// rename gives the temporary file its name. Where nothing may be replaced, a
// link takes the name: it fails on a file that came to be in the meantime.
func rename(from, to string, force bool) error {
	if !force {
		err := os.Link(from, to)
		if err == nil || errors.Is(err, fs.ErrExist) {
			return err
		}
		if err := mayReplace(to, false); err != nil { // no links on this file system
			return err
		}
	}
	return os.Rename(from, to)
}
