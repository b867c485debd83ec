package exact

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The expected numbers of this file are closed forms evaluated once more elsewhere
// (scipy), each matched there to an ODE solver to 8 digits or more; the tolerance is
// the last digit given.

var laminar = LaminarTank{
	Area: 5e-3, Resistance: LaminarResistance(0.012, 0.8, 0.010), Density: 830, Fall: 0.35, Pressure: 1500,
}

func TestLaminarTank(t *testing.T) {
	assert.InDelta(t, 3.911392e7, laminar.Resistance, 6)
	assert.InDelta(t, 24.027167, laminar.TimeConstant(), 6e-7)
	assert.InDelta(t, 0.122612, laminar.FinalLevel(60e-6), 6e-7)
	assert.InDelta(t, 11.34460165, laminar.TimeBetween(0.10, 0, 0), 6e-9)
	for _, row := range []struct{ h0, inflow, time, level float64 }{
		{0.10, 0, 1, 0.08916808},
		{0.10, 0, 5, 0.05007969},
		{0.10, 20e-6, 1, 0.09308598},
		{0.10, 20e-6, 5, 0.06813586},
		{0.10, 20e-6, 20, 0.00417436},
		{0.02, 60e-6, 1, 0.02418302},
		{0.02, 60e-6, 5, 0.03927797},
		{0.02, 60e-6, 20, 0.07797501},
	} {
		assert.InDelta(t, row.level, laminar.Level(row.h0, row.inflow, row.time), 6e-9, "%+v", row)
		assert.InDelta(t, row.time, laminar.TimeBetween(row.h0, row.level, row.inflow), 1e-5, "%+v", row)
	}
	assert.True(t, math.IsNaN(laminar.TimeBetween(0.02, 0.13, 60e-6)), "beyond the final level")
	assert.True(t, math.IsNaN(laminar.TimeBetween(0.02, 0.01, 60e-6)), "against the flow")
}

func TestOrificeTank(t *testing.T) {
	orifice := OrificeTank{Area: 5e-3, Orifice: 0.62 * math.Pi / 4 * 0.006 * 0.006, Density: 830}
	assert.InDelta(t, 40.73245560, orifice.TimeBetween(0.10, 0), 6e-9)
	assert.InDelta(t, 22.51634768, orifice.TimeBetween(0.10, 0.02), 6e-9)
	assert.InDelta(t, 40.73245560/2, orifice.TimeBetween(0.10, 0.025), 6e-9, "half the time leaves a quarter")
	assert.InDelta(t, 31.03080805, orifice.TimeBetweenWithInflow(0.10, 0.04, 10e-6), 6e-9)
	assert.True(t, math.IsNaN(orifice.TimeBetweenWithInflow(0.10, 0.0165, 10e-6)), "below the final level 0.01659133")
	assert.InDelta(t, 22.51634768, orifice.TimeBetweenWithInflow(0.10, 0.02, 0), 6e-9, "no inflow")

	pressed := orifice
	pressed.Fall, pressed.Pressure = 0.35, 1500
	assert.InDelta(t, 13.96203366, pressed.TimeBetween(0.10, 0), 6e-9)
}

func TestLossyTank(t *testing.T) {
	area := math.Pi / 4 * 0.010 * 0.010
	lossy := LossyTank{LaminarTank: laminar, Loss: 0.5 * 830 * 1.5 / (area * area)}
	assert.InDelta(t, 1.009159e11, lossy.Loss, 6e4)
	assert.InDelta(t, 49.0796275e-6, lossy.Flow(0.10), 6e-14)
	assert.InDelta(t, 31.8649779e-6, lossy.Flow(0), 6e-14)
	assert.InDelta(t, 12.51252767, lossy.TimeBetween(0.10, 0, 0), 6e-9)
	assert.Zero(t, lossy.Flow(1500/(830*gravity)-0.35), "held at the manometer level")
}

// With inflow no closed value is given: an integrator of fourth order is the second
// route, and without losses the laminar form.
func TestLossyTankWithInflow(t *testing.T) {
	area := math.Pi / 4 * 0.010 * 0.010
	lossy := LossyTank{LaminarTank: laminar, Loss: 0.5 * 830 * 1.5 / (area * area)}
	for _, row := range []struct{ h0, inflow, time float64 }{
		{0.10, 20e-6, 10}, {0.02, 60e-6, 30}, {0.10, 45e-6, 5},
	} {
		h, steps := row.h0, 2000
		dt := row.time / float64(steps)
		slope := func(h float64) float64 { return (row.inflow - lossy.Flow(h)) / lossy.Area }
		for range steps {
			k1 := slope(h)
			k2 := slope(h + dt/2*k1)
			k3 := slope(h + dt/2*k2)
			k4 := slope(h + dt*k3)
			h += dt / 6 * (k1 + 2*k2 + 2*k3 + k4)
		}
		assert.InDelta(t, row.time, lossy.TimeBetween(row.h0, h, row.inflow), 1e-8, "%+v", row)
	}
	lossless := LossyTank{LaminarTank: laminar}
	assert.InDelta(t, laminar.TimeBetween(0.10, 0.05, 20e-6), lossless.TimeBetween(0.10, 0.05, 20e-6), 1e-9)
}
