package datalog

import (
	"fmt"
	"slices"
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
	rows map[string]int // problems of single rows, by column

	ofRows int // problems of single rows
}

// maxFaultyRows is after how many problems of single rows reading stops.
const maxFaultyRows = 10_000

// maxRowProblems is how many problems of single rows are listed for a column.
const maxRowProblems = 3

// addRow adds a problem of one row. Those beyond the first few of a column are
// counted only; countRows tells them.
func (p *problems) addRow(line int, column, what, hint string) {
	if p.rows == nil {
		p.rows = make(map[string]int)
	}
	p.ofRows++
	if p.rows[column]++; p.rows[column] <= maxRowProblems {
		p.add(line, column, what, hint)
	}
}

func (p *problems) countRows() {
	for _, column := range slices.Concat(quantities, []string{""}) {
		if n := p.rows[column] - maxRowProblems; n > 0 {
			p.add(0, column, fmt.Sprintf("and in %d more rows", n), "")
		}
	}
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
