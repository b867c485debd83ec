package decide

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sumpward/sim"
)

// What differs by rounding alone is no difference, however many realizations it is in.
func TestRoundingIsNoDifference(t *testing.T) {
	marks := func(pressures ...float64) (list []sim.Mark) {
		for _, p := range pressures {
			list = append(list, sim.Mark{PeakPressure: p})
		}
		return list
	}
	pressure := func(m *sim.Mark) float64 { return m.PeakPressure }
	a := marks(1000, -1000, 0, 1e-20)
	assert.Zero(t, more(a, marks(1000*(1+1e-12), -1000*(1-1e-12), 0, 1e-20), pressure))
	assert.InDelta(t, 1e-3, more(a, marks(1000.001, -1000, 0, 1e-20), pressure), 1e-12)
	assert.InDelta(t, 1.0, more(a, marks(1000, -1000, 1, 1e-20), pressure), 1e-15)
	assert.InDelta(t, -1.0, more(marks(1000, -1000, 1, 1e-20), a, pressure), 1e-15)
}
