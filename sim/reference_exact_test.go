package sim_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/physics"
	"sumpward/sim"
)

// steadyCar is at full throttle for ever, at one temperature, and carries over
// liquid only.
func steadyCar() *sim.Car {
	car, _ := randomCar(0)
	car.Lap, car.Laps, car.Pattern, car.Spread = []sim.Phase{{Duration: 100, Load: 1}}, []int{0}, nil, 0
	car.Sessions = []float64{30}
	car.Oil.Start, car.Oil.Settled = 373.15, 373.15
	car.Can.OutletOffset, car.Can.BlownOutFrom, car.Can.CollectsBefore = 0, 1, false
	car.Gas.Past, car.Gas.PastToAir = nil, nil
	car.CarryOver = sim.CarryOver{Liquid: 5e-3, FlowExponent: 2, BreatherShare: 1}
	car.Limits = sim.Limits{Pressure: 1e6, OilLost: 0.05e-3, ChokeLevel: 0.1, ChokeTime: 10}
	return car
}

// TestReferenceFillsACan compares the reference with a can that fills at a
// constant rate (exact).
func TestReferenceFillsACan(t *testing.T) {
	car := steadyCar()
	car.Drain = sim.Drain{Kind: sim.NoDrain, EmptyEvery: 25}
	car.Can.UsableVolume = 0.15e-3
	r, err := runReference(car, 1, 1, referenceStep)
	require.NoError(t, err)
	o := &car.Oil
	density := physics.OilDensity(o.Density15, o.Ambient+o.HoseWarmth*(o.Start-o.Ambient)) * (1 - o.Aeration)
	full := density * car.Can.UsableVolume
	assert.InDelta(t, full/5e-3, r.Overflow, 2*referenceStep, "overflow, s")
	assert.InDelta(t, 0.05e-3*o.Density15/5e-3, r.OilLost, 2*referenceStep, "oil lost, s")
	assert.InEpsilon(t, 25*5e-3-full, r.Balance.Over, 1e-9, "over, kg")
	assert.InEpsilon(t, 5*5e-3, r.Balance.Held, 1e-9, "stands after emptying at 25 s, kg")
	assert.True(t, math.IsInf(r.DrainChoked, 1), "a can without a drain doesn't choke it")
}

// TestReferenceEmptiesAHose compares the reference with a hose that empties by
// laminar flow after the engine stopped (exact):
//
//	M(t) = M_0 exp(-g F t/(a A L)) while M is below what the hose holds
//
// and before, with what stands on top, at the same rate of its head.
func TestReferenceEmptiesAHose(t *testing.T) {
	car := steadyCar()
	d := &car.Drain
	*d = sim.Drain{Kind: sim.Sealed, Route: physics.StraightRoute(0.1, 0.3), HeldLength: 0.3}
	d.Hose = physics.DrainHose{Bore: 8e-3, Length: 0.3}
	car.Lap = []sim.Phase{{Duration: 2, Load: 1}, {Duration: 1e3, Stopped: true}}
	car.Oil.CoolingTimeConstant = 1e12
	d.Port = 1e4 // holds the drain, until
	held, err := runReference(withSessions(car, 2), 1, 1, referenceStep)
	require.NoError(t, err)
	start := 2 * 5e-3
	require.InEpsilon(t, start, held.Balance.Held, 1e-9)

	d.Port = 0
	car.Gas.Element.Loss = 1e5 // full throttle holds it, a stop does not
	stop := 0.5
	r, err := runReference(withSessions(car, 2+stop), 1, 1, referenceStep)
	require.NoError(t, err)
	o := &car.Oil
	temperature := o.Ambient + o.HoseWarmth*(o.Start-o.Ambient)
	clean := physics.OilDensity(o.Density15, temperature)
	aerated := o.HoseAeration * o.Aeration
	hose := clean * (1 - aerated)
	viscosity := clean * o.Viscosity.At(temperature) / (1 - aerated)
	area := math.Pi * 16e-6
	a := 128 * viscosity * 0.3 / (math.Pi * math.Pow(8e-3, 4))
	holds := hose * area * 0.3
	require.Less(t, start, holds, "the hose isn't full")
	want := start * math.Exp(-hose*physics.StandardGravity*0.1*hose*stop/(a*holds))
	assert.InEpsilon(t, want, r.Balance.Held, 1e-4, "in the hose, kg")
	assert.InDelta(t, 2/2.5, r.Sessions[0].HeldShare, 1e-3, "held at full throttle only")
}

func withSessions(car *sim.Car, sessions ...float64) *sim.Car {
	c := *car
	c.Sessions = sessions
	return &c
}

// TestReferenceCarriesTheMean shows that liquid given as a mean over the lap
// comes to that mean over the lap, whatever its exponent and corner share.
func TestReferenceCarriesTheMean(t *testing.T) {
	cornering := 0
	for seed := range uint64(60) {
		car, kind := randomCar(seed)
		if car.Pattern != nil || car.CarryOver.AtFull {
			continue
		}
		car.CarryOver.Mist, car.Spread, car.Schedule = 0, 0, nil
		length, running := 0.0, 0.0
		for _, p := range car.Lap {
			length += p.Duration
			if !p.Stopped {
				running += p.Duration
			}
		}
		r, err := runReference(withSessions(car, length), seed, 1, 10*referenceStep)
		require.NoError(t, err)
		assert.InEpsilon(t, car.CarryOver.Liquid*running, r.Balance.Carried, 1e-9, "seed %d, %s", seed, kind)
		if r.seen.cornerTime > 0 && car.CarryOver.CornerShare > 0 {
			cornering++
		}
	}
	assert.Greater(t, cornering, 5, "laps with carry-over by cornering")
}

// TestReferenceFindsCorners lists laps, and which phases count as cornering.
func TestReferenceFindsCorners(t *testing.T) {
	const g = physics.StandardGravity
	at := func(duration, left float64) sim.Phase {
		return sim.Phase{Duration: duration, Load: 0.5, Left: left * g}
	}
	for _, c := range []struct {
		name string
		lap  []sim.Phase
		want []bool
	}{
		{"long enough", []sim.Phase{at(5, 0), at(1.5, 0.9)}, []bool{false, true}},
		{"too short", []sim.Phase{at(5, 0), at(1.49, 0.9)}, []bool{false, false}},
		{"not hard enough", []sim.Phase{at(5, 0), at(3, 0.8)}, []bool{false, false}},
		{"left after right", []sim.Phase{at(1, -0.9), at(5, 0), at(2, 0.3), at(0.8, -0.9), at(0.8, 1)}, []bool{true, false, false, true, true}},
		{"over the lap's end", []sim.Phase{at(1, 0.9), at(5, 0), at(0.5, 0.9)}, []bool{true, false, true}},
		{"broken", []sim.Phase{at(1, 0.9), at(0.1, 0), at(1, 0.9), at(5, 0)}, []bool{false, false, false, false}},
		{"all round", []sim.Phase{at(1, 0.9), at(1, 0.9)}, []bool{true, true}},
		{"all round, short", []sim.Phase{at(0.7, 0.9), at(0.7, 0.9)}, []bool{false, false}},
	} {
		assert.Equal(t, c.want, corners(c.lap), c.name)
	}
}
