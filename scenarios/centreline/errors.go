package centreline

import "sumpward/scenarios/internal/problem"

// Error is one problem of a centre line, with the Name of the file, the Line in
// it (from 1; 0 where the problem has none), the Column (x, y or z; in GeoJSON
// the path, coordinates[12][0]; may be empty), What is wrong (got X, allowed A to
// B) and the Hint that mends it (may be empty). Error gives "name:line: column:
// what; hint".
type Error = problem.Problem

// Errors are all the problems that were found, up to 20 and the number of the
// rest. errors.As finds the first *Error in it.
type Errors = problem.List
