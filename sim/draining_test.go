package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/physics"
	"sumpward/sim/internal/exact"
)

// tank sets a kernel up as a draining tank: a sealed drain of given loss under a
// can of 50 cm2, oil of 830 kg/m3 and 12 mPa·s, a hose of 10 mm and 0.8 m that
// falls 0.35 m, 1500 Pa against it.
func tank(t *testing.T, lossCoefficient, laminarCoefficient, inflow float64) *Kernel {
	car := larkmoor()
	car.Oil.Aeration = 0
	car.Can.CrossSection, car.Can.UsableVolume = 5e-3, 2e-3
	car.Drain.Hose = physics.DrainHose{Bore: 0.010, Length: 0.8, LossCoefficient: lossCoefficient, LaminarCoefficient: laminarCoefficient}
	car.Drain.Route = physics.StraightRoute(0.35, 0.8)
	car.Drain.HeldLength = 0.8
	car.Drain.Valve, car.Drain.Port = false, 0
	k := NewKernel()
	require.NoError(t, k.prepare(car, &Outcome{}))
	k.oil.hoseDensity, k.oil.canDensity = 830, 830
	k.oil.a, k.oil.b = car.Drain.Hose.Resistance(830, 0.012)
	k.oil.heldMass = 830 * math.Pi / 4 * 1e-4 * 0.8
	op := &k.points[0]
	op.gas = gasState{drive: 1500, circuits: 1}
	op.rate = oilRate{liquid: inflow * 830}
	k.derive(op)
	k.layOut(op)
	return k
}

// level is the level in the can of a tank, m.
func (k *Kernel) level() float64 { return (k.mass - k.piece.bottom) / (830 * 5e-3) }

func (k *Kernel) setLevel(h float64) { k.mass = k.piece.bottom + h*830*5e-3 }

// A laminar hose empties a tank exponentially (exact solution, checked to eight
// digits against an ODE solver).
func TestLaminarDrainIsExponential(t *testing.T) {
	for _, c := range []struct{ h0, inflow, at, want float64 }{
		{.10, 0, 1, 0.08916808}, {.10, 0, 5, 0.05007969},
		{.10, 20e-6, 1, 0.09308598}, {.10, 20e-6, 5, 0.06813586}, {.10, 20e-6, 20, 0.00417436},
		{.02, 60e-6, 1, 0.02418302}, {.02, 60e-6, 5, 0.03927797}, {.02, 60e-6, 20, 0.07797501},
	} {
		k := tank(t, 0, 0, c.inflow)
		k.setLevel(c.h0)
		require.NoError(t, k.advance(c.at))
		assert.InDelta(t, c.want, k.level(), 6e-9, "%+v", c)
	}
}

// The same with quadratic loss: times between levels.
func TestLossyDrainEmptiesInTime(t *testing.T) {
	k := tank(t, 1.5, 0, 0)
	k.setLevel(0.10)
	require.NoError(t, k.advance(12.51252767))
	assert.InDelta(t, 0, k.level(), 1e-9, "empty after 12.51252767 s")

	for _, inflow := range []float64{0, 5e-6, 20e-6} {
		k := tank(t, 1.5, 0, inflow)
		k.setLevel(0.10)
		require.NoError(t, k.advance(4))
		want := exact.LossyTank{
			LaminarTank: exact.LaminarTank{Area: 5e-3, Resistance: k.oil.a, Fall: 0.35, Pressure: 1500, Density: 830},
			Loss:        k.oil.b,
		}.TimeBetween(0.10, k.level(), inflow)
		assert.InDelta(t, want, 4, 1e-8, "inflow %v", inflow)
	}
}

// A can of 300 mL, 75 mm wide, fall 120 mm, hose 12.7 mm by 0.3 m, no gas, oil
// without air: how long it takes to empty (derived; stated to about a tenth).
// The hose's entry and bends are taken with a loss coefficient of 3.
func TestHowLongACanTakesToEmpty(t *testing.T) {
	for _, c := range []struct{ bore, celsius, want, tolerance float64 }{
		{12.7e-3, 100, 4, 0.15}, {12.7e-3, 60, 8, 0.2}, {12.7e-3, 20, 46, 0.2}, {4e-3, 100, 180, 0.15},
	} {
		got := emptyingTime(t, c.bore, c.celsius)
		t.Logf("%4.1f mm at %3.0f °C: %.1f s", c.bore*1e3, c.celsius, got)
		assert.InEpsilon(t, c.want, got, c.tolerance)
	}
}

func emptyingTime(t *testing.T, bore, celsius float64) float64 {
	car := larkmoor()
	car.Oil.Aeration, car.Oil.HoseWarmth = 0, 1
	car.Oil.Start, car.Oil.Settled = 273.15+celsius, 273.15+celsius
	car.Can.CrossSection, car.Can.UsableVolume = math.Pi/4*0.075*0.075, 0.4e-3
	car.Drain.Hose = physics.DrainHose{Bore: bore, Length: 0.3, LossCoefficient: 3, LaminarCoefficient: physics.DefaultLaminarCoefficient(3)}
	car.Drain.Route, car.Drain.HeldLength = physics.StraightRoute(0.12, 0.3), 0.3
	car.Drain.Valve, car.Drain.Port = false, 0
	k := NewKernel()
	require.NoError(t, k.prepare(car, &Outcome{}))
	op := &k.points[0]
	op.gas, op.rate = gasState{circuits: 1}, oilRate{}
	k.derive(op)
	k.layOut(op)
	k.mass = k.piece.bottom + 0.3e-3*k.oil.canDensity
	var empty float64
	for k.mass > k.piece.bottom*(1+1e-12) {
		s, up := k.heading()
		require.NotNil(t, s)
		k.move(s, up, 1e4)
		if k.mass >= k.piece.bottom {
			empty = k.now
		}
	}
	return empty
}
