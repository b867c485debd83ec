package physics

import "math"

// octaveTable is a function of a positive number in a table: in each cell a cubic through the
// values at its ends and their slopes. A cell is found, and the place within it, from the
// bits of the number, so that the cells of an octave are even in it, and each octave has as
// many of them.
type octaveTable struct {
	shift uint         // bits of a number within a cell
	first int          // the number's bits beyond them, of the first cell
	cells [][4]float64 // by powers of the place within a cell, 0..1
}

// newOctaveTable makes a table from a power of two to another, of 2^cellBits cells an octave.
// f returns value and slope.
func newOctaveTable(lowest, highest float64, cellBits uint, f func(x float64) (value, slope float64, err error)) (t octaveTable, err error) {
	t.shift = 52 - cellBits
	t.first = int(math.Float64bits(lowest) >> t.shift)
	count := int(math.Float64bits(highest)>>t.shift) - t.first
	t.cells = make([][4]float64, count)
	low := t.edge(0)
	f0, s0, err := f(low)
	for i := range t.cells {
		if err != nil {
			return octaveTable{}, err
		}
		high := t.edge(i + 1)
		var f1, s1 float64
		f1, s1, err = f(high)
		d0, d1 := s0*(high-low), s1*(high-low)
		t.cells[i] = [4]float64{f0, d0, 3*(f1-f0) - 2*d0 - d1, d0 + d1 - 2*(f1-f0)}
		low, f0, s0 = high, f1, s1
	}
	return t, err
}

// edge is where a cell begins.
func (t *octaveTable) edge(cell int) float64 {
	return math.Float64frombits(uint64(t.first+cell) << t.shift)
}

// place returns the cell that x lies in, and where in it, 0..1. It is false outside the
// table.
func (t *octaveTable) place(x float64) (c *[4]float64, u float64, within bool) {
	bits := math.Float64bits(x)
	i := int(bits>>t.shift) - t.first
	if uint(i) >= uint(len(t.cells)) {
		return nil, 0, false
	}
	return &t.cells[i], float64(bits&(1<<t.shift-1)) / float64(uint64(1)<<t.shift), true
}

// at returns the value at x, a number within the table.
func (t *octaveTable) at(x float64) (value float64, within bool) {
	c, u, within := t.place(x)
	if !within {
		return 0, false
	}
	return c[0] + u*(c[1]+u*(c[2]+u*c[3])), true
}
