package sim_test

import (
	"fmt"
	"math"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestReferenceConverges shows that the reference's own error at 1 ms is far
// below the tolerances: results at 4, 2 and 1 ms against those at 0.5 ms. The
// order in the step is 1 (oil properties and events are taken at the ends of
// steps, the balance itself in its middle).
func TestReferenceConverges(t *testing.T) {
	seeds := []uint64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}
	if testing.Short() || underRace {
		seeds = seeds[:4]
	}
	var lock sync.Mutex
	var longer, shorter float64 // summed change of held oil from 4 to 2 ms, and from 2 to 1 ms
	t.Run("cars", func(t *testing.T) {
		for _, seed := range seeds {
			car, kind := randomCar(seed)
			t.Run(fmt.Sprintf("seed=%d/%s", seed, kind), func(t *testing.T) {
				t.Parallel()
				car.Sessions = []float64{60}
				fine, err := runReference(car, seed, 7, referenceStep/2)
				require.NoError(t, err)
				var peaks, times, masses, held [3]float64
				for i, step := range []float64{4 * referenceStep, 2 * referenceStep, referenceStep} {
					coarse, err := runReference(car, seed, 7, step)
					require.NoError(t, err)
					peaks[i] = math.Abs(coarse.Sessions[0].PeakFill - fine.Sessions[0].PeakFill)
					masses[i] = math.Abs(coarse.Balance.Held-fine.Balance.Held) / (car.Can.UsableVolume * car.Oil.Density15)
					held[i] = coarse.Balance.Held / (car.Can.UsableVolume * car.Oil.Density15)
					times[i] = latest(coarse, fine)
				}
				t.Logf("4, 2, 1 ms against 0.5 ms: peak fill %.1e, held oil over the can's %.1e, first times %.1e s", peaks, masses, times)
				assert.Less(t, peaks[2], fillTolerance/50, "peak fill")
				assert.Less(t, masses[2], fillTolerance/50, "held oil")
				assert.Less(t, times[2], timeTolerance/20, "first times")
				lock.Lock()
				defer lock.Unlock()
				longer += math.Abs(held[0] - held[1])
				shorter += math.Abs(held[1] - held[2])
			})
		}
	})
	order := math.Log2(longer / shorter)
	t.Logf("order in the step: %.2f", order)
	assert.InDelta(t, 1, order, 0.3, "order in the step")
}

// latest returns the largest difference of a first time, s.
func latest(a, b answer) float64 {
	most := 0.0
	for _, e := range [][2]float64{
		{a.Overflow, b.Overflow}, {a.DrainChoked, b.DrainChoked}, {a.OverPressure, b.OverPressure}, {a.OilLost, b.OilLost},
	} {
		if e[0] != e[1] {
			most = max(most, math.Abs(e[0]-e[1]))
		}
	}
	return most
}
