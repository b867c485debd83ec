package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The nominal lap carries over what was stated, however it is driven.
func TestCarryOverMeansToItsRate(t *testing.T) {
	for _, share := range []float64{0, 0.4, 0.9} {
		car := larkmoor()
		car.CarryOver.CornerShare = share
		liquid, mist, gas, total := 0.0, 0.0, 0.0, 0.0
		for i, r := range ratesOf(car) {
			d := car.Lap[i].Duration
			liquid += r.liquid * d
			mist += r.mist * d
			gas += car.flow(&car.Lap[i]) * d
			total += d
		}
		assert.InEpsilon(t, car.CarryOver.Liquid, liquid/total, 1e-12, "share %v", share)
		assert.InEpsilon(t, car.CarryOver.Mist*gas, mist, 1e-12)
	}
}

// Without corners in the lap the result doesn't depend on the share driven by
// cornering; with a lap of long corners it does (derived).
func TestCorneringShareNeedsCorners(t *testing.T) {
	straight, twisty := larkmoor(), larkmoor()
	for i := range straight.Lap {
		straight.Lap[i].Left = 0
	}
	for _, car := range []*Car{straight, twisty} {
		car.CarryOver.CornerShare = 0
		none := append([]oilRate(nil), ratesOf(car)...)
		car.CarryOver.CornerShare = 0.8
		most := ratesOf(car)
		if car == straight {
			assert.Equal(t, none, most)
			continue
		}
		assert.NotEqual(t, none, most)
		assert.Greater(t, most[2].liquid, 2*none[2].liquid, "more in the corner")
		assert.InEpsilon(t, 0.2*none[0].liquid, most[0].liquid, 1e-12, "less on the straight")
	}
}

// A corner counts from 1.5 s above 0.8 g, joined to its neighbours over the end
// of the lap.
func TestCornersJoinOverTheEndOfTheLap(t *testing.T) {
	car := larkmoor()
	car.Lap = []Phase{
		{Duration: 0.8, Load: 0.5, Left: 9},
		{Duration: 5, Load: 1},
		{Duration: 1.4, Load: 0.5, Left: -9},
		{Duration: 5, Load: 1, Left: 7.8},
		{Duration: 0.7, Load: 0.3, Left: -9},
	}
	var in []bool
	for i := range car.Lap {
		in = append(in, car.inCorner(i))
	}
	assert.Equal(t, []bool{true, false, false, false, true}, in)
}

// With the rate stated at full throttle that is what full throttle on a
// straight carries, less what corners drive.
func TestCarryOverStatedAtFullThrottle(t *testing.T) {
	car := larkmoor()
	car.CarryOver = CarryOver{Liquid: 0.4e-3, AtFull: true, FlowExponent: 2, BreatherShare: 1}
	rates := ratesOf(car)
	assert.InEpsilon(t, 0.4e-3, rates[0].liquid, 1e-12)
	part := car.Gas.BlowBy(0.5) / car.Gas.BlowByFull
	assert.InEpsilon(t, 0.4e-3*part*part, rates[2].liquid, 1e-12)
	assert.InEpsilon(t, 0.4e-3, car.fullThrottleRate().liquid, 1e-12)
	car.CarryOver.CornerShare = 0.5
	assert.InEpsilon(t, 0.2e-3, car.fullThrottleRate().liquid, 1e-12)
}

// No gas out of the crankcase, no oil.
func TestNothingIsCarriedAgainstTheFlow(t *testing.T) {
	car := larkmoor()
	car.Gas.BlowByClosed = -10 * litreAMinute
	rates := ratesOf(car)
	assert.Zero(t, rates[1].total())
	assert.Positive(t, rates[0].total())
}

// ratesOf is what a car carries over in each phase.
func ratesOf(car *Car) []oilRate {
	var s lapShape
	s.of(car)
	return s.carriedOver(car, nil)
}
