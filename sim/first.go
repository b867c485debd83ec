package sim

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"sumpward/sim/sampling"
)

// First runs chosen realizations of a model, those for which chosen is true (nil:
// all), and writes at the index of each when an event first happened, s ([Never]:
// not within the longest session). The other elements of first are left alone. A
// realization is the same one as in a [Model.Run] with the same seed and sampling;
// what is kept of it isn't simulated again.
//
// A realization that can't be worked out is taken as failing at once ([Unknown]), and a
// warning says so; it is an error where more than one in a hundred can't. When the context
// ends first it is the context's error.
func (m *Model) First(ctx context.Context, o Options, e Event, chosen func(realization int) bool, first []float64) (warning string, err error) {
	o = o.definite(m)
	r, _, err := m.runner(o)
	if err != nil {
		return "", err
	}
	l := &lookup{runner: r, event: e, first: first, work: o.Work}
	l.recall(chosen)
	for l.next < len(l.open) && ctx.Err() == nil {
		l.stretch(ctx, processors(o.Workers))
		if l.work.due() {
			l.keep()
			l.work.saveNow()
		}
	}
	l.keep()
	if ctx.Err() != nil {
		l.work.saveNow()
		return "", context.Cause(ctx)
	}
	if err := l.failed.tooMany(len(first)); err != nil {
		return "", err
	}
	return l.failed.warning(len(first), "were taken as failing"), nil
}

// Unknown is the first time of an event in a realization that could not be worked out:
// before any other.
var Unknown = math.Inf(-1)

// lookup looks up single realizations, and simulates those that aren't kept.
type lookup struct {
	runner *runner
	event  Event
	first  []float64
	kept   []float64 // first times that were kept, NaN for none; nil: nothing is kept
	work   *Work
	open   []int // realizations to be simulated
	next   int   // index of the first that wasn't yet
	failed failures
	since  int // realizations simulated since they were last kept
}

// recall takes what is kept and lists what is not.
func (l *lookup) recall(chosen func(int) bool) {
	if l.work != nil {
		l.kept = l.work.first(l.key(), len(l.first))
	}
	for i := range l.first {
		switch {
		case chosen != nil && !chosen(i):
		case l.kept != nil && !math.IsNaN(l.kept[i]):
			l.first[i] = l.kept[i]
		default:
			l.open = append(l.open, i)
		}
	}
}

// stretch simulates until all is done or it is time to keep what was.
func (l *lookup) stretch(ctx context.Context, workers int) {
	r := l.runner
	var next atomic.Int64
	next.Store(int64(l.next))
	failed := make([]failures, workers)
	var group sync.WaitGroup
	for w := range workers {
		group.Go(func() {
			place, k := r.model.placed(r.design, r.seed), NewKernel()
			var out Outcome
			for begun := false; ctx.Err() == nil && !(begun && l.work.due()); begun = true {
				i := int(next.Add(1)) - 1
				if i >= len(l.open) {
					return
				}
				n := l.open[i]
				var err error
				if l.first[n], err = place.first(k, uint64(n), l.event, &out); err != nil {
					l.first[n] = Unknown
					failed[w].add(uint64(n), err)
				}
				if k.spoilt {
					k, out = NewKernel(), Outcome{}
				}
			}
		})
	}
	group.Wait()
	before := l.next
	l.next = min(int(next.Load()), len(l.open))
	l.since += l.next - before
	for w := range failed {
		l.failed.merge(&failed[w])
	}
}

// keep keeps what was simulated so far. What failed is simulated again, to say why.
func (l *lookup) keep() {
	if l.work == nil || l.since == 0 {
		return
	}
	for _, n := range l.open[:l.next] {
		if l.first[n] != Unknown {
			l.kept[n] = l.first[n]
		}
	}
	l.work.keepFirst(l.key(), l.kept, l.since)
	l.since = 0
}

func (l *lookup) key() string {
	r := l.runner
	return fmt.Sprintf("%s seed %d %s %d first %d", r.model.scenario.Fingerprint(), r.seed, r.design.Name(), len(l.first), l.event)
}

func (p *placed) first(k *Kernel, realization uint64, e Event, out *Outcome) (float64, error) {
	car, err := p.car(realization)
	if err != nil {
		return 0, err
	}
	if err := k.realized(car, p.seed, realization, out); err != nil {
		return 0, err
	}
	return out.Firsts().Of(e), nil
}

// DefaultDesign returns the sampling design of everything that names no other.
func DefaultDesign() sampling.Design { return sampling.Sobol{} }

// Design returns the sampling design that options ask for.
func (o Options) Design() (sampling.Design, error) {
	if o.Sampling == "" {
		return DefaultDesign(), nil
	}
	return sampling.DesignByName(o.Sampling)
}

// processors is how many workers there are, 0 being one for each processor.
func processors(workers int) int {
	if workers <= 0 {
		return runtime.GOMAXPROCS(0)
	}
	return workers
}
