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
	awake.trace, awake.every = func(*Kernel) {}, 1e9
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
