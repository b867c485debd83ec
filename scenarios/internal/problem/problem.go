// Package problem holds what is wrong with a table that a person wrote or a
// device exported: each problem with its line, its column and how to mend it,
// and no more of them than anyone reads.
package problem

import (
	"fmt"
	"strings"
)

// Problem is one thing that is wrong with a file, with where it is and how to
// mend it.
type Problem struct {
	Name   string // of the file; empty where it is of none
	Line   int    // from 1; 0 where the problem has no line
	Column string // or the path within the file; empty where it has none
	What   string // what is wrong (got X, allowed A to B)
	Hint   string // how to mend it; may be empty
}

// Error gives "name:line: column: what; hint".
func (p *Problem) Error() string {
	var b strings.Builder
	b.WriteString(p.Name)
	if p.Line > 0 {
		fmt.Fprintf(&b, ":%d", p.Line)
	}
	if b.Len() > 0 {
		b.WriteString(": ")
	}
	if p.Column != "" {
		b.WriteString(p.Column + ": ")
	}
	b.WriteString(p.What)
	if p.Hint != "" {
		b.WriteString("; " + p.Hint)
	}
	return b.String()
}

// List is all that is wrong with a file. errors.As finds the first *Problem in
// it.
type List []*Problem

// Error gives one problem a line.
func (l List) Error() string {
	lines := make([]string, len(l))
	for i, one := range l {
		lines[i] = one.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap gives the problems one by one.
func (l List) Unwrap() []error {
	list := make([]error, len(l))
	for i, one := range l {
		list[i] = one
	}
	return list
}

// Most is how many problems of a file are listed; the rest is counted.
const Most = 20

// Found collects what is wrong with one file. Its zero value is ready, and is of
// no file.
type Found struct {
	Name string // of the file

	list List
	more int
}

// Add adds a problem; line 0, and an empty column or hint, stand for none. Those
// beyond the first Most are counted only.
func (f *Found) Add(line int, column, what, hint string) {
	if len(f.list) >= Most {
		f.more++
		return
	}
	f.list = append(f.list, &Problem{Name: f.Name, Line: line, Column: column, What: what, Hint: hint})
}

// Len is the number of problems that are listed, at most Most.
func (f *Found) Len() int { return len(f.list) }

// Err gives nil where nothing is wrong, or a List, which ends by saying how many
// more there are.
func (f *Found) Err() error {
	switch {
	case len(f.list) == 0:
		return nil
	case f.more > 0:
		return append(f.list, &Problem{Name: f.Name, What: fmt.Sprintf("and %d more problems", f.more)})
	}
	return f.list
}
