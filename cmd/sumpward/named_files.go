package main

import (
	"fmt"
	"path/filepath"
	"strings"
)

// apart is an error where two flags name the same file; a flag that isn't used
// names none.
func apart(flag, file, other, otherFile string) error {
	if file == "" || otherFile == "" || filepath.Clean(file) != filepath.Clean(otherFile) {
		return nil
	}
	return usageError{fmt.Errorf("%s and %s name the same file: give two", flag, other)}
}

// namedHTML is an error where the file of a flag, a page or a card, isn't named
// like one.
func namedHTML(flag, what, file string) error {
	switch strings.ToLower(filepath.Ext(file)) {
	case ".html", ".htm":
		return nil
	}
	return usageError{fmt.Errorf("%s %s: a %s is HTML: let the name end in .html", flag, file, what)}
}
