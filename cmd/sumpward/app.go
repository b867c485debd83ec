package main

import (
	"context"
	"fmt"
	"io"
	"os"

	"golang.org/x/term"

	"sumpward/report/words"
)

// app is what the commands share.
type app struct {
	stdout, stderr io.Writer
	running        bool     // the command line was understood, a command runs
	merging        *merging // of a command that merge executes; else nil
}

// execute runs one command line and returns its exit code.
func (a *app) execute(ctx context.Context, args []string) int {
	root := newRootCommand(a)
	root.SetArgs(args)
	root.SetOut(a.stdout)
	root.SetErr(a.stderr)
	err := root.ExecuteContext(ctx)
	switch {
	case err != nil && ctx.Err() != nil:
		err = interrupted{err}
	case err != nil && !a.running:
		err = usageError{err}
	}
	if err != nil {
		a.explain(err)
	}
	return exitCode(err)
}

// say puts a message on stderr.
func (a *app) say(format string, args ...any) {
	fmt.Fprintf(a.stderr, "sumpward: %s\n", words.Plain(fmt.Sprintf(format, args...)))
}

// warn puts warnings on stderr.
func (a *app) warn(texts []string) {
	for _, t := range texts {
		fmt.Fprintf(a.stderr, "warning: %s\n", words.Plain(t))
	}
}

// onTerminal reports whether stderr is a terminal.
func (a *app) onTerminal() bool {
	f, ok := a.stderr.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}
