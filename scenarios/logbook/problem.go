package logbook

import "sumpward/scenarios/internal/problem"

// Problem is one thing that is wrong with a logbook or an entry, with the Name of
// the logbook, the Line in it (from 1; 0 where it has none), the Column (empty
// where it has none), What is wrong (got X, allowed …) and the Hint that mends it
// (may be empty). Error gives "name:line: column: what; hint".
type Problem = problem.Problem

// Problems are all that is wrong with a logbook, in the order of the file, up to
// 20 and the number of the rest.
type Problems = problem.List
