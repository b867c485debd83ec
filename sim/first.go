package sim

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"

	"sumpward/sim/sampling"
)

// First runs chosen realizations of a model, those for which chosen is true (nil:
// all), and writes at the index of each when an event first happened, s ([Never]:
// not within the longest session). The other elements of first are left alone. A realization is the same one as in a [Model.Run] with the
// same seed and sampling. workers 0 is one for each processor.
func (m *Model) First(ctx context.Context, o Options, e Event, chosen func(realization int) bool, first []float64) error {
	o = o.definite(m)
	r, _, err := m.runner(o)
	if err != nil {
		return err
	}
	var next atomic.Int64
	failed := make([]error, len(first))
	var group sync.WaitGroup
	for range processors(o.Workers) {
		group.Go(func() {
			place, k := m.placed(r.design, r.seed), NewKernel()
			var out Outcome
			for ctx.Err() == nil {
				n := int(next.Add(1)) - 1
				if n >= len(first) {
					return
				}
				if chosen == nil || chosen(n) {
					first[n], failed[n] = place.first(k, uint64(n), e, &out)
				}
			}
		})
	}
	group.Wait()
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	for _, err := range failed {
		if err != nil {
			return err
		}
	}
	return nil
}

func (p *placed) first(k *Kernel, realization uint64, e Event, out *Outcome) (float64, error) {
	car, err := p.car(realization)
	if err != nil {
		return 0, err
	}
	if err := k.Realize(car, p.seed, realization, out); err != nil {
		return 0, err
	}
	return out.Firsts().Of(e), nil
}

// Design returns the sampling design that options ask for.
func (o Options) Design() (sampling.Design, error) {
	name := o.Sampling
	if name == "" {
		name = sampling.LatinHypercube{}.Name()
	}
	return sampling.DesignByName(name)
}

// processors is how many workers there are, 0 being one for each processor.
func processors(workers int) int {
	if workers <= 0 {
		return runtime.GOMAXPROCS(0)
	}
	return workers
}
