package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/peterh/liner"
	"golang.org/x/term"

	"sumpward/report/words"
)

// prompter reads answers, a line each: with line editing and completion where
// standard input and output are a terminal that can, else plainly, from a pipe or
// a dumb terminal. It uses no colours.
type prompter struct {
	out      io.Writer // where questions go
	terminal bool      // a person types
	read     func(prompt string) (string, error)
	choices  []string // that the next answer is completed from
	close    func()
}

// isTerminal reports whether a file is a terminal.
func isTerminal(f *os.File) bool { return term.IsTerminal(int(f.Fd())) }

// newPrompter returns a prompter, which must be closed: until then the terminal
// may be in another mode.
func (a *app) newPrompter() *prompter {
	if isTerminal(os.Stdin) && isTerminal(os.Stdout) && liner.TerminalSupported() {
		p := &prompter{out: os.Stdout, terminal: true}
		line := liner.NewLiner()
		line.SetCtrlCAborts(true)
		line.SetCompleter(p.complete)
		p.read = line.Prompt
		p.close = func() { _ = line.Close() }
		return p
	}
	// Liner reads plain lines too, but would print on standard output, where
	// results go.
	in := bufio.NewReader(os.Stdin)
	p := &prompter{out: a.stderr, terminal: isTerminal(os.Stdin), close: func() {}}
	p.read = func(prompt string) (string, error) {
		fmt.Fprint(p.out, prompt)
		text, err := lineFrom(in)
		if !p.terminal && err == nil {
			p.say(text) // as a terminal would have shown it
		}
		return text, err
	}
	return p
}

// lineFrom reads a line, no longer than an argument may be.
func lineFrom(in *bufio.Reader) (string, error) {
	var text []byte
	for {
		part, err := in.ReadSlice('\n')
		text = append(text, part...)
		switch {
		case len(text) > longestArgument:
			return "", usageError{fmt.Errorf("an answer is too long (allowed %d bytes): nothing was written", longestArgument)}
		case errors.Is(err, bufio.ErrBufferFull):
			continue
		case err == io.EOF && len(text) > 0:
			err = nil // a last line without an end
		}
		return strings.TrimRight(string(text), "\r\n"), err
	}
}

func (p *prompter) complete(line string) (list []string) {
	for _, c := range p.choices {
		if strings.HasPrefix(strings.ToLower(c), strings.ToLower(strings.TrimLeft(line, " "))) {
			list = append(list, c)
		}
	}
	return list
}

// say puts a line before the person.
func (p *prompter) say(text string) { fmt.Fprintln(p.out, words.Plain(text)) }

// line reads one line. It ends with io.EOF at the end of input, and as interrupted
// on Ctrl-C or when the context ends.
func (p *prompter) line(ctx context.Context, prompt string) (string, error) {
	type answer struct {
		text string
		err  error
	}
	got := make(chan answer, 1)
	go func() { // reading can't be cut short
		text, err := p.read(prompt)
		got <- answer{text, err}
	}()
	select {
	case <-ctx.Done():
		return "", p.interrupted()
	case a := <-got:
		if errors.Is(a.err, liner.ErrPromptAborted) {
			return "", p.interrupted()
		}
		return a.text, a.err
	}
}

// interrupted ends the line of the prompt.
func (p *prompter) interrupted() error {
	p.say("")
	return interrupted{errors.New("interrupted: nothing was written")}
}
