package scenarios

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path"
	"regexp"
	"strings"
	"syscall"
)

// ReadFile reads a file that holds what is named, up to one byte more than a file in
// YAML may have. The user named it: it may lie anywhere, and be a pipe.
func ReadFile(what, name string) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", what, err)
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, fmt.Errorf("read %s: %s is a folder: name a file in it", what, name)
	}
	data, err := io.ReadAll(io.LimitReader(f, largestFile+1))
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", what, err)
	}
	return data, nil
}

// within opens files in a folder or below it, wherever links lead: ordinary ones
// only, so that no pipe or device is waited for.
func within(folder string) func(name string) (io.ReadCloser, error) {
	return func(name string) (io.ReadCloser, error) {
		root, err := os.OpenRoot(folder)
		if err != nil {
			return nil, err
		}
		defer root.Close()
		f, err := root.OpenFile(name, os.O_RDONLY|syscall.O_NONBLOCK, 0)
		if err != nil {
			return nil, err
		}
		if info, err := f.Stat(); err != nil || !info.Mode().IsRegular() {
			_ = f.Close()
			return nil, errNotOrdinary
		}
		return f, nil
	}
}

var errNotOrdinary = errors.New("no ordinary file")

// deviceName is a name that stands for a device on some systems, whatever its ending.
var deviceName = regexp.MustCompile(`(?i)^(?:con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³]|conin\$|conout\$) *(?:\..*)?$`)

// besides reports whether a name that stands in a file leads to that file's folder or
// below, on every system: with slashes, without a drive, a stream or a device.
func besides(name string) bool {
	if path.IsAbs(name) || path.Clean(name) != name {
		return false
	}
	for _, part := range strings.Split(name, "/") { // "." and ".." end in a dot, too
		if deviceName.MatchString(part) || strings.TrimRight(part, " .") != part {
			return false
		}
	}
	return !strings.ContainsFunc(name, func(r rune) bool { return r < ' ' || r == 0x7F || strings.ContainsRune(`\:*?"<>|`, r) })
}
