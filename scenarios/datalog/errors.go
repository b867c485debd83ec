package datalog

import (
	"fmt"
	"slices"

	"sumpward/scenarios/internal/problem"
)

// Error is one problem of a log, with the Name of the log, the Line in it (from
// 1; 0 where the problem has none), the Column (the quantity: time, throttle, …;
// empty where it has none), What is wrong (got X, allowed …) and the Hint that
// mends it (may be empty). Error gives "name:line: column: what; hint".
type Error = problem.Problem

// Errors are all the problems that were found in a log, in the order of the
// file as far as it could be read, up to 20 and the number of the rest. errors.As
// finds the first *Error in it.
type Errors = problem.List

// problems collects what is wrong with one log.
type problems struct {
	problem.Found
	rows   map[string]int // problems of single rows, by column
	ofRows int            // problems of single rows
}

// problemsOf begins with none in the log of a name.
func problemsOf(name string) *problems { return &problems{Found: problem.Found{Name: name}} }

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
		p.Add(line, column, what, hint)
	}
}

func (p *problems) countRows() {
	for _, column := range slices.Concat(quantities, []string{""}) {
		if n := p.rows[column] - maxRowProblems; n > 0 {
			p.Add(0, column, fmt.Sprintf("and in %d more rows", n), "")
		}
	}
}
