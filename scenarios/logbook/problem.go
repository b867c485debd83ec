package logbook

import (
	"fmt"
	"strings"
)

// Problem is one thing that is wrong with a logbook or an entry, with where it is
// and how to mend it.
type Problem struct {
	Name   string // of the logbook
	Line   int    // from 1; 0 where it has none
	Column string // empty where it has none
	What   string // what is wrong (got X, allowed …)
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

// Problems are all that is wrong with a logbook, in the order of the file.
type Problems []*Problem

// Error gives one problem a line.
func (p Problems) Error() string {
	lines := make([]string, len(p))
	for i, one := range p {
		lines[i] = one.Error()
	}
	return strings.Join(lines, "\n")
}

// most is how many problems of one logbook are listed; the rest is counted.
const most = 20

// found collects problems.
type found struct {
	name string
	list Problems
	more int
}

func (f *found) add(line int, column, what, hint string) {
	if len(f.list) >= most {
		f.more++
		return
	}
	f.list = append(f.list, &Problem{f.name, line, column, what, hint})
}

// err gives nil, or Problems.
func (f *found) err() error {
	if len(f.list) == 0 {
		return nil
	}
	if f.more > 0 {
		return append(f.list, &Problem{Name: f.name, What: fmt.Sprintf("%d more problems", f.more)})
	}
	return f.list
}

// quoted shortens and quotes a text of the file for a message.
func quoted(s string) string {
	if r := []rune(s); len(r) > 40 {
		s = string(r[:40]) + "…"
	}
	return fmt.Sprintf("%q", s)
}
