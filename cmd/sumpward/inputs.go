package main

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"
)

// Flags that name a file that is read, and a file that is written.
var (
	readingFlags = []string{"scenario", "faults", "book"}
	writingFlags = []string{"output", "report", "card", "plot", "write", "to"}
)

// sparesInputs is an error where a command would write over a file that it reads: never
// what is meant, with --force either.
func sparesInputs(c *cobra.Command, args []string) error {
	inputs := args
	for _, name := range readingFlags {
		if f := c.Flags().Lookup(name); f != nil && f.Value.String() != "" {
			inputs = append(inputs[:len(inputs):len(inputs)], f.Value.String())
		}
	}
	for _, name := range writingFlags {
		f := c.Flags().Lookup(name)
		if f == nil || f.Value.String() == "" {
			continue
		}
		to, err := os.Stat(f.Value.String())
		if err != nil {
			continue // not there yet
		}
		for _, input := range inputs {
			if reads(input, f.Value.String(), to) {
				return usageError{fmt.Errorf("--%s %s: the command reads that file: name another to write to", name, f.Value.String())}
			}
		}
	}
	return nil
}

// reads reports whether an input is a file, or a folder that it lies in.
func reads(input, path string, file os.FileInfo) bool {
	in, err := os.Stat(input)
	if err != nil {
		return false
	}
	if !in.IsDir() {
		return os.SameFile(in, file)
	}
	folder, err := os.Stat(filepath.Dir(path))
	return err == nil && os.SameFile(in, folder)
}
