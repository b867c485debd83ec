package sim

import (
	"context"
	"fmt"
	"sync"
	"sync/atomic"

	"sumpward/scenarios"
	"sumpward/sim/sampling"
	"sumpward/sim/stats"
)

// Level is the confidence level of every interval.
const Level = 0.95

// MostRealizations is where a run for a wanted sampling error gives up.
const MostRealizations = 400_000

// handBlocks is the number of blocks that full throttle in hand is worked out
// for: its quantiles need no more.
const handBlocks = 4

// Options say how a scenario is sampled. Zero values take what the scenario says.
type Options struct {
	Seed          *uint64
	Realizations  int     // exactly so many
	SamplingError float64 // or until every half-width is within this
	Sampling      string  // "latin-hypercube" (default) or "random"
	Workers       int     // 0: one for each processor
	Progress      func(realizations int)
	Keep          int // of the first so many realizations the result keeps when what first happened
}

// runner runs blocks of realizations.
type runner struct {
	model    *Model
	design   sampling.Design
	method   stats.Method
	seed     uint64
	workers  []*worker
	total    *sketches
	done     int // blocks
	limit    int // realizations at the most
	progress func(int)
	record   func(realization uint64, o *Outcome, density float64) // each realization, in any order; nil: none

	sessions []sessionChances
	stints   []stintTotal
	balance  BalanceVolumes
	n        int
	err      error
}

type sessionChances struct {
	events [eventCount]stats.Chance
	intake float64
}

// worker has memory of its own.
type worker struct {
	kernel  *Kernel
	settler *settler
	u       [][]float64
	out     Outcome
	part    *sketches
}

// Run samples a scenario. When the context ends early the result covers the
// complete blocks so far and says so; with none complete it is the context's error.
func Run(ctx context.Context, s *scenarios.Scenario, o Options) (*Result, error) {
	m, err := NewModel(s)
	if err != nil {
		return nil, err
	}
	return m.Run(ctx, o)
}

// Run samples the model: see [Run].
func (m *Model) Run(ctx context.Context, o Options) (*Result, error) {
	r, wanted, err := m.runner(o)
	if err != nil {
		return nil, err
	}
	kept := make([]FirstTimes, min(max(o.Keep, 0), r.limit))
	if len(kept) > 0 {
		r.record = func(realization uint64, o *Outcome, _ float64) {
			if realization < uint64(len(kept)) {
				kept[realization] = o.Firsts()
			}
		}
	}
	blocks := (r.limit + sampling.BlockSize - 1) / sampling.BlockSize
	for r.done < blocks {
		next := blocks
		if wanted > 0 {
			next = min(blocks, stats.NextLook(r.done))
		}
		r.round(ctx, next)
		if r.err != nil {
			return nil, r.err
		}
		if ctx.Err() != nil || wanted > 0 && stats.PreciseEnough(wanted, r.reported()...) {
			break
		}
	}
	if r.n == 0 {
		return nil, fmt.Errorf("stopped before the first %d realizations were done: %w", sampling.BlockSize, context.Cause(ctx))
	}
	res := r.result(wanted, r.done < blocks && ctx.Err() != nil)
	res.Kept = kept[:min(len(kept), r.n)]
	return res, nil
}

func (m *Model) runner(o Options) (*runner, float64, error) {
	s := m.scenario
	r := &runner{model: m, seed: s.Simulation.Seed, progress: o.Progress}
	if o.Seed != nil {
		r.seed = *o.Seed
	}
	var err error
	if r.design, err = o.Design(); err != nil {
		return nil, 0, err
	}
	r.method = stats.FromReplicates
	if r.design.Name() == (sampling.Random{}).Name() {
		r.method = stats.FromWilson
	}
	wanted := 0.0
	switch {
	case o.Realizations > 0:
		r.limit = o.Realizations
	case o.SamplingError > 0:
		wanted = o.SamplingError
	case s.Simulation.Realizations > 0:
		r.limit = s.Simulation.Realizations
	default:
		wanted = s.Simulation.SamplingError
	}
	if wanted > 0 {
		r.limit = MostRealizations
	}
	r.sessions = make([]sessionChances, len(s.Sessions))
	r.total = newSketches(len(s.Sessions))
	for range processors(o.Workers) {
		w := &worker{kernel: NewKernel(), settler: m.settler(), part: newSketches(len(s.Sessions))}
		for range m.uncertain {
			w.u = append(w.u, make([]float64, sampling.BlockSize))
		}
		r.workers = append(r.workers, w)
	}
	return r, wanted, nil
}

// round runs the blocks from where it stands up to one, or to where the context
// ends. Blocks are handed out in order, and one that was begun is finished.
func (r *runner) round(ctx context.Context, until int) {
	var next, finished atomic.Int64
	next.Store(int64(r.done))
	finished.Store(int64(r.n))
	var mutex sync.Mutex
	inOrder := stats.NewInOrderFrom(r.done, r.take)
	var group sync.WaitGroup
	for _, w := range r.workers {
		group.Go(func() {
			for ctx.Err() == nil {
				block := int(next.Add(1)) - 1
				if block >= until {
					return
				}
				summary := w.block(r, block)
				mutex.Lock()
				inOrder.Put(block, summary)
				mutex.Unlock()
				if r.progress != nil {
					r.progress(int(finished.Add(int64(summary.n))))
				}
			}
		})
	}
	group.Wait()
	r.done = inOrder.Next()
	for _, w := range r.workers {
		r.total.merge(w.part)
		w.part = newSketches(len(r.sessions))
	}
}

// block runs one block of realizations.
func (w *worker) block(r *runner, block int) blockSummary {
	first := block * sampling.BlockSize
	n := min(sampling.BlockSize, r.limit-first)
	u := w.u
	for i := range u {
		u[i] = u[i][:n]
	}
	r.design.Block(r.seed, r.model.keys, block, u)
	r.model.copula.Apply(u)
	sum := newBlockSummary(len(r.sessions))
	for i := range n {
		if sum.err = w.realization(r, uint64(first+i), i, &sum, block < handBlocks); sum.err != nil {
			return sum
		}
	}
	return sum
}

func (w *worker) realization(r *runner, index uint64, column int, sum *blockSummary, hand bool) error {
	car, err := w.settler.settle(w.u, column)
	if err != nil {
		return fmt.Errorf("realization %d of seed %d: %w", index, r.seed, err)
	}
	if err := w.kernel.Realize(car, r.seed, index, &w.out); err != nil {
		return err
	}
	sum.add(&w.out, r.model.scenario.Sessions, car.Oil.Density15)
	w.part.add(index, &w.out, car.Oil.Density15)
	if r.record != nil {
		r.record(index, &w.out, car.Oil.Density15)
	}
	if hand {
		toStand, toOver, err := w.kernel.Hand()
		if err != nil {
			return fmt.Errorf("realization %d of seed %d, full throttle in hand: %w", index, r.seed, err)
		}
		w.part.toStand.Add(toStand)
		w.part.toOver.Add(toOver)
	}
	return nil
}

// take puts a block's sums to the others, in the order of blocks.
func (r *runner) take(_ int, b blockSummary) {
	if b.err != nil {
		if r.err == nil {
			r.err = b.err
		}
		return
	}
	for i := range r.sessions {
		for e := range eventCount {
			r.sessions[i].events[e].AddBlock(b.events[i][e], b.n)
		}
		r.sessions[i].intake += b.intake[i]
	}
	r.balance.add(b.balance)
	r.takeStints(b.stints)
	r.n += b.n
}

// reported lists the chances that are reported.
func (r *runner) reported() []stats.Estimate {
	var all []stats.Estimate
	for i := range r.sessions {
		for e := range eventCount {
			if r.can(e) {
				all = append(all, r.sessions[i].events[e].Estimate(Level, r.method))
			}
		}
	}
	return all
}

// can reports whether an event can happen at all.
func (r *runner) can(e Event) bool {
	return e != DrainChoked || r.model.binding.kind != NoDrain
}

func (r *runner) result(wanted float64, interrupted bool) *Result {
	s := r.model.scenario
	res := &Result{
		Scenario: s, Seed: r.seed, Realizations: r.n, Sampling: r.design.Name(),
		Wanted: wanted, Interrupted: interrupted, Kind: r.model.binding.kind,
		Balance: r.balance.scaled(1 / float64(r.n)), Residual: r.total.worstResidual,
		PeakPressure: spreadOf(&r.total.pressure), DrainMargin: spreadOf(&r.total.margin),
		FloodShare: spreadOf(&r.total.flood),
		ToStand:    spreadOf(&r.total.toStand), ToOver: spreadOf(&r.total.toOver),
		HandFrom: int(r.total.toOver.Count()), Worst: r.total.worst,
	}
	for i, length := range s.Sessions {
		res.Sessions = append(res.Sessions, r.session(i, length))
	}
	res.Stints = r.stintResults()
	_, res.Reached = stats.Widest(r.reported()...)
	res.Warnings = r.model.warnings(r.total, r.n)
	return res
}

func (r *runner) session(i int, length float64) SessionResult {
	c, sk := &r.sessions[i], &r.total.sessions[i]
	estimate := func(e Event) stats.Estimate {
		if !r.can(e) {
			return stats.Estimate{}
		}
		return c.events[e].Estimate(Level, r.method)
	}
	out := SessionResult{
		Length: length, Overflow: estimate(Overflow), DrainChoked: estimate(DrainChoked),
		OverPressure: estimate(OverPressure), OilLost: estimate(OilLost), Fails: estimate(OverflowOrChoked),
		PeakFill: spreadOf(&sk.fill), HeldShare: spreadOf(&sk.held), OilToIntake: spreadOf(&sk.intake),
		Events: Events{
			c.events[Overflow].Events(), c.events[DrainChoked].Events(), c.events[OverPressure].Events(),
			c.events[OilLost].Events(), c.events[OverflowOrChoked].Events(),
		},
	}
	out.OilToIntake.Mean = c.intake / float64(r.n)
	return out
}
