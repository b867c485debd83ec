package sim

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/physics"
	"sumpward/scenarios"
)

// handOf runs one realization of a car and asks for its full throttle in hand.
func handOf(t *testing.T, car *Car) (k *Kernel, toStand, toOver float64) {
	t.Helper()
	k = NewKernel()
	require.NoError(t, k.Realize(car, 1, 0, &Outcome{}))
	toStand, toOver, err := k.Hand()
	require.NoError(t, err)
	return k, toStand, toOver
}

// partThrottleFirst is larkmoor with a lap that begins off the throttle, so that
// no phase at hand stands for full throttle by chance.
func partThrottleFirst() *Car {
	car := larkmoor()
	car.Lap = append(car.Lap[1:], car.Lap[0])
	return car
}

// caughtAtFullThrottle is what the can of larkmoor catches at full throttle, kg/s.
func caughtAtFullThrottle(car *Car) float64 {
	r := car.fullThrottleRate()
	return r.liquid + r.mist*car.Can.Efficiency
}

// Without a drain, and with one that is held at full throttle, full throttle in
// hand is the room there is over what is caught (exact).
func TestFullThrottleInHand(t *testing.T) {
	none := partThrottleFirst()
	none.Drain = Drain{Kind: NoDrain, EmptyEvery: Never}
	k, toStand, toOver := handOf(t, none)
	room := k.oil.canDensity * none.Can.UsableVolume
	assert.Equal(t, Never, toStand, "nothing to back up")
	assert.InEpsilon(t, room/caughtAtFullThrottle(none), toOver, 1e-9)

	held := partThrottleFirst()
	held.Drain.OpensAt = 5000
	k, toStand, toOver = handOf(t, held)
	caught := caughtAtFullThrottle(held)
	assert.InEpsilon(t, (k.oil.heldMass+0.1*room)/caught, toStand, 1e-9)
	assert.InEpsilon(t, (k.oil.heldMass+room)/caught, toOver, 1e-9)

	runs := partThrottleFirst()
	runs.Drain.OpensAt, runs.Drain.Port = 0, -2000
	_, toStand, toOver = handOf(t, runs)
	assert.Equal(t, []float64{Never, Never}, []float64{toStand, toOver})
}

// The drain margin is the fall less the column that the worst phase's pressure
// holds up; the flooding share the gas up an open drain over Wallis' limit.
func TestMargins(t *testing.T) {
	car, k := larkmoor(), NewKernel()
	var out Outcome
	require.NoError(t, k.Realize(car, 1, 0, &out))
	k.oilAt(car.Oil.Settled)
	worst := k.points[0].gas.drive // full throttle
	assert.InDelta(t, 0.12-(worst+300)/(k.oil.hoseDensity*gravity), out.DrainMargin, 1e-12)
	assert.True(t, math.IsNaN(out.FloodShare))

	car.Drain.Kind = Unsealed
	require.NoError(t, k.Realize(car, 1, 0, &out))
	k.oilAt(car.Oil.Settled)
	limit := physics.Flooding{
		Bore: car.Drain.Hose.Bore, GasDensity: physics.BlowByGas(car.Gas.Temperature).Density,
		OilDensity: k.oil.hoseDensity, OilViscosity: k.oil.viscosity, Constant: car.Drain.Flooding,
	}.GasLimit()
	assert.InEpsilon(t, k.points[0].gas.upDrain/limit, out.FloodShare, 1e-12)
	assert.True(t, math.IsNaN(out.DrainMargin))
}

// The drain check's numbers follow from each other and from the scenario.
func TestDrainCheckNumbers(t *testing.T) {
	s, err := scenarios.Ready("sealed-drain")
	require.NoError(t, err)
	m, err := NewModel(s)
	require.NoError(t, err)
	c, err := m.CheckDrain(context.Background())
	require.NoError(t, err)
	require.Len(t, c.Phases, len(m.Nominal().Lap))
	for _, p := range append(c.Phases, c.FullThrottle) {
		assert.InDelta(t, p.Crankcase-p.Can+300, p.Against, 1e-9, "the valve opens at 0.3 kPa")
		assert.InDelta(t, p.Against/1000*c.ColumnPerKPa, p.Column, 1e-12)
		assert.InDelta(t, 0.0425, p.Fall, 1e-12)
		assert.InDelta(t, p.Fall-p.Column, p.Margin, 1e-12)
		assert.Equal(t, p.Margin <= 0, p.Held)
	}
	assert.InDelta(t, 89, c.LapTime, 1e-9)
	assert.InDelta(t, 0.0425/0.5, c.Slope, 1e-12)
	assert.InDelta(t, math.Sqrt(gravity/0.5)/(2*math.Pi), c.ColumnFrequency, 1e-12)
}
