package datalog

import (
	"fmt"
	"strings"
)

// Error is one problem of a log, with where it is and how to mend it.
type Error struct {
	Name   string // of the log
	Line   int    // from 1; 0 where the problem has no line
	Column string // the quantity (time, throttle, …); empty where it has none
	What   string // what is wrong (got X, allowed …)
	Hint   string // how to mend it; may be empty
}

// Error gives "name:line: column: what; hint".
func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.Name)
	if e.Line > 0 {
		fmt.Fprintf(&b, ":%d", e.Line)
	}
	b.WriteString(": ")
	if e.Column != "" {
		b.WriteString(e.Column + ": ")
	}
	b.WriteString(e.What)
	if e.Hint != "" {
		b.WriteString("; " + e.Hint)
	}
	return b.String()
}

// Errors are all the problems that were found in a log, in the order of the
// file as far as it could be read. errors.As finds each *Error in it.
type Errors []*Error

// Error gives one problem a line.
func (e Errors) Error() string {
	lines := make([]string, len(e))
	for i, one := range e {
		lines[i] = one.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap gives the problems one by one.
func (e Errors) Unwrap() []error {
	list := make([]error, len(e))
	for i, one := range e {
		list[i] = one
	}
	return list
}

// maxProblems is how many problems of one log are listed; the rest is counted.
const maxProblems = 20

// problems collects what is wrong with one log.
type problems struct {
	name string
	list Errors
	more int
}

func (p *problems) add(line int, column, what, hint string) {
	if len(p.list) >= maxProblems {
		p.more++
		return
	}
	p.list = append(p.list, &Error{Name: p.name, Line: line, Column: column, What: what, Hint: hint})
}

func (p *problems) full() bool { return len(p.list) >= maxProblems }

// err gives nil, or Errors.
func (p *problems) err() error {
	if len(p.list) == 0 {
		return nil
	}
	list := p.list
	if p.more > 0 {
		list = append(list, &Error{Name: p.name, What: fmt.Sprintf("%d more problems", p.more)})
	}
	return list
}

// quoted shortens and quotes text from the file for a message.
func quoted(s string) string {
	r := []rune(s)
	if len(r) > 40 {
		s = string(r[:40]) + "…"
	}
	return fmt.Sprintf("%q", s)
}
