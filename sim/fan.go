package sim

import (
	"context"
	"slices"
	"sync"
	"sync/atomic"
)

// Fan is the fill against time over many realizations: in each stretch of time
// the quantiles of the highest fill in it, shares of 1.
type Fan struct {
	Times                   []float64 // s, ends of the stretches; all as long as the first
	P05, P25, P50, P75, P95 []float64
	Realizations            int
	Length                  float64 // s, of the session
}

// Fan returns how fill spreads over the longest session of the scenario, in so
// many stretches of time, over so many realizations of a seed (each 1 or more).
// workers 0 is one for each processor.
func (m *Model) Fan(ctx context.Context, seed uint64, realizations, stretches, workers int) (*Fan, error) {
	lengths := m.scenario.Sessions
	f := &Fan{Realizations: realizations, Length: lengths[len(lengths)-1]}
	fills := make([][]float64, stretches) // by stretch, then realization
	for i := range fills {
		fills[i] = make([]float64, realizations)
		f.Times = append(f.Times, f.Length*float64(i+1)/float64(stretches))
	}
	if err := m.fills(ctx, seed, realizations, workers, fills); err != nil {
		return nil, err
	}
	for _, at := range fills {
		slices.Sort(at)
		f.P05 = append(f.P05, quantileOf(at, 0.05))
		f.P25 = append(f.P25, quantileOf(at, 0.25))
		f.P50 = append(f.P50, quantileOf(at, 0.50))
		f.P75 = append(f.P75, quantileOf(at, 0.75))
		f.P95 = append(f.P95, quantileOf(at, 0.95))
	}
	return f, nil
}

// fills notes the highest fill of every realization in every stretch.
func (m *Model) fills(ctx context.Context, seed uint64, realizations, workers int, fills [][]float64) error {
	var next atomic.Int64
	failed := make([]error, realizations)
	var group sync.WaitGroup
	for range processors(workers) {
		group.Go(func() {
			place, k := m.placed(DefaultDesign(), seed), NewKernel()
			var out Outcome
			for ctx.Err() == nil {
				r := int(next.Add(1)) - 1
				if r >= realizations {
					return
				}
				failed[r] = k.fillOf(place, uint64(r), &out, fills)
			}
		})
	}
	group.Wait()
	if ctx.Err() != nil {
		return ctx.Err()
	}
	for _, err := range failed {
		if err != nil {
			return err
		}
	}
	return nil
}

func (k *Kernel) fillOf(place *placed, r uint64, out *Outcome, fills [][]float64) error {
	car, err := place.car(r)
	if err != nil {
		return err
	}
	stretches := len(fills)
	length := car.Sessions[len(car.Sessions)-1]
	k.every = length / float64(stretches)
	k.trace = func(k *Kernel) {
		// A piece is traced at its start and at its end, each in its own stretch;
		// one that ends where a stretch ends belongs to that stretch.
		i := min(max(int(k.now/k.every), 0), stretches-1)
		if i > 0 && k.now <= k.every*float64(i) {
			fills[i-1][r] = max(fills[i-1][r], min(k.piece.fill(k.mass), 1))
		}
		fills[i][r] = max(fills[i][r], min(k.piece.fill(k.mass), 1))
	}
	return k.Realize(car, place.seed, r, out)
}
