package centreline

import (
	"fmt"
	"strings"

	"sumpward/scenarios/units"
)

// Error is one problem of a centre line, with where it is and how to mend it.
type Error struct {
	Name   string // of the file
	Line   int    // from 1; 0 where the problem has no line
	Column string // x, y or z; in GeoJSON the path, coordinates[12][0]; may be empty
	What   string // what is wrong (got X, allowed A to B)
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

// Errors are all the problems that were found. errors.As finds each *Error in
// it.
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

// maxProblems is how many problems of a file are listed; the rest is counted.
const maxProblems = 20

// problems collects what is wrong with one file.
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

// err gives nil, or Errors.
func (p *problems) err() error {
	switch {
	case len(p.list) == 0:
		return nil
	case p.more > 0:
		return append(p.list, &Error{Name: p.name, What: fmt.Sprintf("and %d more problems", p.more)})
	}
	return p.list
}

// quoted quotes text from the file for a message, shortened.
func quoted(s string) string { return fmt.Sprintf("%q", units.Shorten(s)) }
