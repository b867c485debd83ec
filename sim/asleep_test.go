package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
)

// Oil that sleeps comes to the same as oil that is followed piece by piece, in random
// scenarios: but for the steps of temperature, which fall otherwise.
func TestAsleepIsAwake(t *testing.T) {
	awake, asleep := NewKernel(), NewKernel()
	awake.wakeful = true
	slept := 0
	for index := range uint64(250) {
		text, d := randomScenario(5, index)
		s, err := scenarios.Parse("random.yaml", []byte(text), d.open)
		if err != nil {
			continue
		}
		m, err := NewModel(s)
		if err != nil {
			continue
		}
		car, err := m.at(m.settler(), 0)
		if err != nil {
			continue
		}
		var a, b Outcome
		if asleep.realize(car, 1, 0, &a) != nil || asleep.pieces > 5000 {
			continue
		}
		require.NoError(t, awake.realize(car, 1, 0, &b))
		if asleep.pieces < awake.pieces/2 {
			slept++
		}
		alike := func(x, y, least float64, what string) {
			if x != y {
				assert.InDelta(t, y, x, least+1e-3*max(x, y), "scenario %d: %s", index, what)
			}
		}
		for e := range eventCount {
			alike(a.Firsts().Of(e), b.Firsts().Of(e), 0.1, "first time, s")
		}
		for i := range a.Sessions {
			x, y := &a.Sessions[i], &b.Sessions[i]
			alike(x.PeakFill, y.PeakFill, 1e-5, "peak fill")
			alike(x.ToIntake, y.ToIntake, 1e-7, "to the intake, kg")
			alike(x.OutOfSump, y.OutOfSump, 1e-7, "out of the sump, kg")
			alike(x.Held, y.Held, 1e-6, "in hose and can, kg")
			alike(x.Emptied, y.Emptied, 1e-6, "emptied, kg")
		}
		alike(a.PeakPressure, b.PeakPressure, 0.01, "pressure, Pa")
	}
	assert.Greater(t, slept, 20, "scenarios in which most phases are passed over")
}

// Where no oil is carried, and none may be lost, time goes on all the same.
func TestAsleepWithoutOil(t *testing.T) {
	car := carsOf(t, builtIn(t, "[20 min, 40 min]"), 1)[0]
	car.CarryOver.Mist, car.CarryOver.Liquid, car.Limits.OilLost = 0, 0, 0
	k := NewKernel()
	var out Outcome
	require.NoError(t, k.Realize(car, 1, 0, &out))
	assert.Equal(t, Never, out.OilLost)
	for i := range out.Sessions {
		assert.Equal(t, 1.0, out.Sessions[i].HeldShare)
	}
}

// A realization that is followed piece by piece is the one that was run, also where oil
// sleeps in the one and not in the other.
func TestFollowedIsTheOneThatWasRun(t *testing.T) {
	m := builtIn(t, "[20 min, 40 min]")
	run, followed := NewKernel(), NewKernel()
	pieces := 0
	followed.trace, followed.every = func(*Kernel) { pieces++ }, 5
	for i, car := range carsOf(t, m, 40) {
		var a, b Outcome
		require.NoError(t, run.Realize(car, 1, uint64(i), &a))
		require.NoError(t, followed.Realize(car, 1, uint64(i), &b))
		for e := range eventCount {
			if x, y := a.Firsts().Of(e), b.Firsts().Of(e); x != y {
				assert.InDelta(t, x, y, 1e-6, "realization %d", i)
			}
		}
		for j := range a.Sessions {
			assert.InDelta(t, a.Sessions[j].PeakFill, b.Sessions[j].PeakFill, 1e-9, "realization %d", i)
			assert.InDelta(t, a.Sessions[j].Held, b.Sessions[j].Held, 1e-12, "realization %d", i)
			assert.InDelta(t, a.Sessions[j].OutOfSump, b.Sessions[j].OutOfSump, 1e-12, "realization %d", i)
		}
	}
	assert.Greater(t, pieces, 40*1000)
}
