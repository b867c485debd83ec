package sensitivity

import (
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/stat"

	"sumpward/sim"
	"sumpward/sim/sampling"
)

// Resamples is how many times base points are drawn anew for an interval, and the
// least that do.
const (
	Resamples      = 1000
	leastResamples = 100
)

// resampled holds estimates over base points drawn anew.
type resampled []estimate

// resample estimates anew so many times, each from as many base points drawn with
// replacement from those there are. Which ones depends on the seed and the number of
// the resample alone: outputs share them.
func (t *terms) resample(seed uint64, times, workers int) resampled {
	all := make(resampled, times)
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	var next atomic.Int64
	var group sync.WaitGroup
	for range workers {
		group.Go(func() {
			counts := make([]float64, len(t.sum))
			for {
				r := int(next.Add(1)) - 1
				if r >= times {
					return
				}
				drawAnew(counts, seed, uint64(r))
				all[r] = t.estimate(counts)
			}
		})
	}
	group.Wait()
	return slices.DeleteFunc(all, func(e estimate) bool { return !e.known() })
}

// drawAnew counts how often each base point comes among as many draws.
func drawAnew(counts []float64, seed, resample uint64) {
	clear(counts)
	stream := sampling.NewStream(seed, sampling.InputKey("base points drawn anew"), resample)
	n := float64(len(counts))
	for range counts {
		counts[min(int(stream.Float64()*n), len(counts)-1)]++
	}
}

// index puts interval and error to an estimate.
func (r resampled) index(value float64, of func(*estimate) float64) Index {
	x := Index{Value: value, Low: math.NaN(), High: math.NaN(), Error: math.NaN()}
	if len(r) < leastResamples/2 {
		return x
	}
	values := make([]float64, len(r))
	for i := range r {
		values[i] = of(&r[i])
	}
	slices.Sort(values)
	x.Low = stat.Quantile((1-sim.Level)/2, stat.LinInterp, values, nil)
	x.High = stat.Quantile((1+sim.Level)/2, stat.LinInterp, values, nil)
	x.Error = stat.StdDev(values, nil)
	return x
}
