package sim_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/sim"
)

// TestSessionsAreCutsOnly shows that a session length is a place to look, and
// changes nothing: the outcome at the longest is the same with 40 shorter ones
// before it, to a quarter of the tolerances against the reference.
func TestSessionsAreCutsOnly(t *testing.T) {
	const finer = 4
	cars := uint64(208)
	if underRace {
		cars = 26
	}
	kernel := sim.NewKernel()
	for seed := range cars {
		car, kind := randomCar(seed)
		end := car.Sessions[len(car.Sessions)-1]
		var alone, among sim.Outcome
		car.Sessions = []float64{end}
		require.NoError(t, kernel.Realize(car, seed, 7, &alone))
		car.Sessions = nil
		for i := range 41 {
			car.Sessions = append(car.Sessions, end*float64(i+1)/41)
		}
		require.NoError(t, kernel.Realize(car, seed, 7, &among))
		name := fmt.Sprintf("seed %d, %s", seed, kind)
		last := among.Sessions[len(among.Sessions)-1]
		first := alone.Sessions[0]
		oil := oilTolerance(car, &answer{Outcome: alone})
		for _, d := range []difference{
			{quantity: "peak fill", kernel: first.PeakFill, reference: last.PeakFill, tolerance: fillTolerance / finer},
			{quantity: "to intake", kernel: first.ToIntake, reference: last.ToIntake, tolerance: oil / finer},
			{quantity: "held share", kernel: first.HeldShare, reference: last.HeldShare, tolerance: heldTolerance / finer},
			{quantity: "drained", kernel: alone.Balance.Drained, reference: among.Balance.Drained, tolerance: oil / finer},
			{quantity: "overflow", kernel: alone.Overflow, reference: among.Overflow, tolerance: timeTolerance / finer},
			{quantity: "drain choked", kernel: alone.DrainChoked, reference: among.DrainChoked, tolerance: timeTolerance / finer},
			{quantity: "over-pressure", kernel: alone.OverPressure, reference: among.OverPressure, tolerance: timeTolerance / finer},
			{quantity: "oil lost", kernel: alone.OilLost, reference: among.OilLost, tolerance: timeTolerance / finer},
			{quantity: "peak pressure", kernel: alone.PeakPressure, reference: among.PeakPressure, tolerance: peakPressureTolerance(car) / finer},
		} {
			assert.LessOrEqual(t, d.size(), 1.0, "%s: %s: alone %.7g, among others %.7g", name, d.quantity, d.kernel, d.reference)
		}
	}
}
