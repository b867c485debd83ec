package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"sumpward/report/words"
)

// app is what the commands share.
type app struct {
	stdout, stderr io.Writer
	running        bool     // the command line was understood, a command runs
	merging        *merging // of a command that merge executes; else nil
}

// longestArgument is how many bytes an argument may have.
const longestArgument = 16 << 10

// execute runs one command line and returns its exit code.
func (a *app) execute(ctx context.Context, args []string) int {
	for _, arg := range args {
		if len(arg) > longestArgument {
			a.explain(usageError{fmt.Errorf("an argument is too long (got %d bytes, allowed %d): %.40s…", len(arg), longestArgument, arg)})
			return exitCommandLine
		}
	}
	root := newRootCommand(a)
	root.SetArgs(args)
	root.SetOut(plainWriter{a.stdout})
	root.SetErr(plainWriter{a.stderr})
	c, err := root.ExecuteContextC(ctx)
	switch {
	case err != nil && ctx.Err() != nil:
		err = interrupted{notFinished(c, err, context.Cause(ctx))}
	case err != nil && !a.running:
		err = usageError{err}
	}
	if err != nil {
		a.explain(err)
	}
	return exitCode(err)
}

// notFinished says what became of a command, where its error is the signal and no more.
func notFinished(c *cobra.Command, err, signal error) error {
	if err.Error() != signal.Error() && err.Error() != context.Canceled.Error() {
		return err
	}
	hint := ""
	switch flag := c.Flags().Lookup("checkpoint"); {
	case flag == nil:
		hint = "\n  what it had done is lost: " + c.Name() + " keeps no checkpoint, as run, size and vary do; it has to begin anew"
	case !flag.Changed:
		hint = "\n  to be able to go on another time: --checkpoint FILE"
	}
	return fmt.Errorf("interrupted (%w): it was not finished%s", signal, hint)
}

// say puts a message on stderr.
func (a *app) say(format string, args ...any) {
	fmt.Fprintf(a.stderr, "sumpward: %s\n", cut(words.Plain(fmt.Sprintf(format, args...))))
}

// warn puts warnings on stderr.
func (a *app) warn(texts []string) {
	for _, t := range texts {
		fmt.Fprintf(a.stderr, "warning: %s\n", cut(words.Plain(t)))
	}
}

// longestLine is how many characters of a line of a message are shown.
const longestLine = 1000

// cut takes out the middle of lines that are too long to be read: a message repeats what
// was written.
func cut(text string) string {
	if len(text) <= longestLine {
		return text
	}
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		if r := []rune(line); len(r) > longestLine {
			lines[i] = string(r[:longestLine*3/4]) + " … " + string(r[len(r)-longestLine/8:])
		}
	}
	return strings.Join(lines, "\n")
}

// plainWriter writes what the library for command lines prints by itself: texts of the
// command line come in it.
type plainWriter struct{ to io.Writer }

// Write writes a whole text, but for tabs as [words.Plain] does.
func (w plainWriter) Write(p []byte) (int, error) {
	var b strings.Builder
	for part := range strings.SplitAfterSeq(string(p), "\t") {
		text, tab := strings.CutSuffix(part, "\t")
		b.WriteString(words.Plain(text))
		if tab {
			b.WriteByte('\t')
		}
	}
	if _, err := io.WriteString(w.to, b.String()); err != nil {
		return 0, err
	}
	return len(p), nil
}

// onTerminal reports whether stderr is a terminal.
func (a *app) onTerminal() bool {
	f, ok := a.stderr.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}
