package physics

import "math"

// The friction factor of a smooth pipe in a table: the range of Reynolds numbers, and how
// many cells an octave of them has. A cell is found, and the place within it, from the bits
// of the number. In each a cubic through the factors at its ends and their slopes is within
// 1e-7 of the factor where laminar flow turns turbulent, and within 1e-10 elsewhere.
const (
	lowestTabled  = 1 << 9
	highestTabled = 1 << 24
	cellBits      = 8
	cellShift     = 52 - cellBits
	frictionCells = (24 - 9) << cellBits
)

var (
	firstCell     = int(math.Float64bits(lowestTabled) >> cellShift)
	frictionTable = newFrictionTable()
)

func newFrictionTable() *[frictionCells][4]float64 {
	var t [frictionCells][4]float64
	at := func(i int) (f, perCell float64) {
		re := math.Float64frombits(uint64(firstCell+i) << cellShift)
		f, slope := smoothFriction(re)
		return f, slope * f
	}
	for i := range t {
		low, high := math.Float64frombits(uint64(firstCell+i)<<cellShift), math.Float64frombits(uint64(firstCell+i+1)<<cellShift)
		f0, d0 := at(i)
		f1, d1 := at(i + 1)
		d0, d1 = d0*(high-low)/low, d1*(high-low)/high
		t[i] = [4]float64{f0, d0, 3*(f1-f0) - 2*d0 - d1, d0 + d1 - 2*(f1-f0)}
	}
	return &t
}

// tabledFriction is smoothFriction from the table, with the slope of what stands there.
func tabledFriction(re float64) (f, slope float64) {
	if !(re >= laminarReynolds && re < highestTabled) {
		return smoothFriction(re)
	}
	bits := math.Float64bits(re)
	c := &frictionTable[int(bits>>cellShift)-firstCell]
	u := float64(bits&(1<<cellShift-1)) * (1. / (1 << cellShift))
	f = c[0] + u*(c[1]+u*(c[2]+u*c[3]))
	mantissa := math.Float64frombits(bits&(1<<52-1) | 1023<<52)
	return f, (c[1] + u*(2*c[2]+u*3*c[3])) * mantissa * (1 << cellBits) / f
}
