package physics

import "math"

// Reynolds numbers between which the friction factor of a smooth pipe is in a table, and
// the cells of an octave of them, 2^8. It is within 1e-7 of the factor where laminar flow
// turns turbulent, and within 1e-10 elsewhere.
const (
	lowestTabled     = 1 << 9
	highestTabled    = 1 << 18
	frictionCellBits = 8
)

var frictionTable, _ = newOctaveTable(lowestTabled, highestTabled, frictionCellBits, func(re float64) (f, slope float64, err error) {
	f, exponent := smoothFriction(re)
	return f, exponent * f / re, nil
})

// tabledFriction is smoothFriction from the table, with the slope of what stands there.
func tabledFriction(re float64) (f, slope float64) {
	c, u, within := frictionTable.place(re)
	if !within || re < laminarReynolds {
		return smoothFriction(re)
	}
	f = c[0] + u*(c[1]+u*(c[2]+u*c[3]))
	mantissa := math.Float64frombits(math.Float64bits(re)&(1<<52-1) | 1023<<52)
	return f, (c[1] + u*(2*c[2]+u*3*c[3])) * mantissa * (1 << frictionCellBits) / f
}
