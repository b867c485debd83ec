package sim

import (
	"context"
	"errors"
	"fmt"
	"math"
	"sync"
	"sync/atomic"

	"sumpward/scenarios"
	"sumpward/sim/sampling"
	"sumpward/sim/stats"
)

// Level is the confidence level of every interval: the share of runs in which it covers.
// A run that ends by itself makes its intervals at [stats.EndedLevel] for that.
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
	Sampling      string  // "sobol", "latin-hypercube" or "random"; empty: see DefaultDesign
	Workers       int     // 0: one for each processor
	Progress      func(realizations int)
	Keep          int   // of the first so many realizations the result keeps when what first happened
	Work          *Work // what was simulated before, not to be simulated again; takes in what is simulated now
	Partial       bool  // let a run take what Work keeps of it for all there is: nothing is simulated more, and the result says which realizations are missing
}

// runner runs blocks of realizations.
type runner struct {
	model    *Model
	design   sampling.Design
	method   stats.Method
	level    float64 // at which intervals are made, so that they cover at Level
	seed     uint64
	workers  []*worker
	total    *tally
	from     int // the first block
	done     int // blocks up to this one
	limit    int // realizations at the most
	missing  []Gap
	progress func(int)
	record   func(realization uint64, o *Outcome, density float64) // each realization, in any order; nil: none
	kept     []FirstTimes                                          // of the first realizations; NaN where there is none
	work     *Work
	partial  bool // what is kept is all there is

	simulated int // realizations, since they were last kept
}

// worker has memory of its own.
type worker struct {
	kernel  *Kernel
	settler *settler
	u       [][]float64
	out     Outcome
	part    *tally
	events  blockEvents
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

// Run samples the model: see [Run]. A realization that can't be worked out is left out,
// counted and named in the warnings; it is an error where more than one in a hundred can't.
func (m *Model) Run(ctx context.Context, o Options) (*Result, error) {
	r, wanted, err := m.runner(o)
	if err != nil {
		return nil, err
	}
	r.keep(o.Keep)
	if err := r.restore(o.Work, o.Partial); err != nil {
		return nil, err
	}
	whole := false // ended at a look, or with all there is
	for look := 0; look < r.blocks() && !whole; {
		next := r.blocks()
		if wanted > 0 {
			next = min(next, stats.NextLook(look))
		}
		r.round(ctx, next)
		if r.done < next { // the context has ended
			break
		}
		// work done before that went on beyond the look was not precise enough there
		whole = r.done >= r.blocks() || r.done == next && stats.PreciseEnough(wanted, r.reported()...)
		look = next
	}
	r.store()
	if ctx.Err() != nil {
		r.work.saveNow()
	}
	if r.total.N == 0 && ctx.Err() != nil {
		return nil, fmt.Errorf("stopped before the first %d realizations were done: %w", sampling.BlockSize, context.Cause(ctx))
	}
	if err := r.total.Failed.tooMany(r.total.N + r.total.Failed.Count); err != nil {
		return nil, err
	}
	return r.result(wanted, !whole), nil
}

// Simulate simulates blocks of [sampling.BlockSize] realizations of a run, from one up to
// another, and keeps them in o.Work; how many realizations the run has must be stated.
// When the context ends first it is the context's error, and what was done is kept.
func (m *Model) Simulate(ctx context.Context, o Options, from, to int) error {
	r, wanted, err := m.runner(o)
	switch {
	case err != nil:
		return err
	case wanted > 0 || o.Work == nil:
		return errors.New("a part of a run is one of a stated number of realizations, and is kept")
	}
	to = min(to, r.blocks())
	if from < 0 || from >= to {
		return nil
	}
	r.from, r.done = from, from
	r.keep(o.Keep)
	if err := r.restore(o.Work, false); err != nil {
		return err
	}
	r.round(ctx, to)
	r.store()
	if r.done < to {
		r.work.saveNow()
		return context.Cause(ctx)
	}
	return r.total.Failed.tooMany(r.total.N + r.total.Failed.Count)
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
	r.level = Level
	if wanted > 0 {
		r.limit, r.level = MostRealizations, stats.EndedLevel
	}
	r.total = newTally(len(s.Sessions))
	for range processors(o.Workers) {
		w := &worker{kernel: NewKernel(), settler: m.settler(), part: newTally(len(s.Sessions))}
		for range m.uncertain {
			w.u = append(w.u, make([]float64, sampling.BlockSize))
		}
		r.workers = append(r.workers, w)
	}
	return r, wanted, nil
}

// blocks is how many blocks there are at the most.
func (r *runner) blocks() int { return (r.limit + sampling.BlockSize - 1) / sampling.BlockSize }

// keep makes room for when what first happened in the first n realizations.
func (r *runner) keep(n int) {
	r.kept = make([]FirstTimes, min(max(n, 0), r.limit))
	for i := range r.kept {
		r.kept[i] = FirstTimes{math.NaN(), math.NaN(), math.NaN(), math.NaN()}
	}
}

// round runs the blocks from where it stands up to one, or to where the context
// ends. Now and then it stops for a moment to let what was done be kept.
func (r *runner) round(ctx context.Context, until int) {
	for r.done < until && ctx.Err() == nil {
		r.stretch(ctx, until)
		if r.work.due() {
			r.store()
			r.work.saveNow()
		}
	}
}

// stretch is round until it is time to keep what was done. Blocks are handed out in
// order, and one that was begun is finished.
func (r *runner) stretch(ctx context.Context, until int) {
	var next, finished atomic.Int64
	next.Store(int64(r.done))
	finished.Store(int64(r.total.N))
	var group sync.WaitGroup
	for _, w := range r.workers {
		group.Go(func() {
			for begun := false; ctx.Err() == nil && !(begun && r.work.due()); begun = true {
				block := int(next.Add(1)) - 1
				if block >= until {
					return
				}
				n := w.block(r, block)
				if r.progress != nil {
					r.progress(int(finished.Add(int64(n))))
				}
			}
		})
	}
	group.Wait()
	before := r.done
	r.done = min(int(next.Load()), until)
	r.simulated += min(r.done*sampling.BlockSize, r.limit) - before*sampling.BlockSize
	for _, w := range r.workers {
		r.total.merge(w.part)
		w.part = newTally(len(r.total.Sessions))
	}
}

// block runs one block of realizations and returns how many there are.
func (w *worker) block(r *runner, block int) int {
	first := block * sampling.BlockSize
	n := min(sampling.BlockSize, r.limit-first)
	u := w.u
	for i := range u {
		u[i] = u[i][:n]
	}
	r.design.Block(r.seed, r.model.keys, block, u)
	r.model.copula.Apply(u)
	w.events.start(len(r.total.Sessions))
	for i := range n {
		if err := w.realization(r, uint64(first+i), i, block < handBlocks); err != nil {
			w.part.Failed.add(uint64(first+i), err)
		}
	}
	w.part.addBlock(&w.events)
	return n
}

// realization runs one realization and takes it in, or returns why it can't be.
func (w *worker) realization(r *runner, index uint64, column int, hand bool) error {
	car, err := w.settler.settle(w.u, column)
	if err != nil {
		return fmt.Errorf("realization %d of seed %d: %w", index, r.seed, err)
	}
	if err := w.run(car, r.seed, index); err != nil {
		return err
	}
	var toStand, toOver float64
	if hand {
		if toStand, toOver, err = w.kernel.Hand(); err != nil {
			return fmt.Errorf("realization %d of seed %d, full throttle in hand: %w", index, r.seed, err)
		}
		w.part.ToStand.Add(toStand)
		w.part.ToOver.Add(toOver)
	}
	w.events.add(&w.out, r.model.scenario.Sessions)
	w.part.add(index, &w.out, car.Oil.Density15)
	if r.record != nil {
		r.record(index, &w.out, car.Oil.Density15)
	}
	if index < uint64(len(r.kept)) {
		r.kept[index] = w.out.Firsts()
	}
	return nil
}

// run realizes a car, with a new kernel after a fault of the program.
func (w *worker) run(car *Car, seed, index uint64) error {
	err := w.kernel.realized(car, seed, index, &w.out)
	if w.kernel.spoilt {
		w.kernel, w.out = NewKernel(), Outcome{}
	}
	return err
}

// reported lists the chances that are reported.
func (r *runner) reported() []stats.Estimate {
	var all []stats.Estimate
	for i := range r.total.Sessions {
		for e := range eventCount {
			if r.can(e) {
				all = append(all, r.total.Sessions[i].Events[e].Estimate(r.level, r.method))
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
	s, t := r.model.scenario, r.total
	res := &Result{
		Scenario: s, Seed: r.seed, Realizations: t.N, Sampling: r.design.Name(),
		Wanted: wanted, Interrupted: interrupted, Kind: r.model.binding.kind,
		Balance: t.Balance.mean(t.N), Residual: t.Residual,
		PeakPressure: spreadOf(t.Pressure), DrainMargin: spreadOf(t.Margin), FloodShare: spreadOf(t.Flood),
		ToStand: spreadOf(t.ToStand), ToOver: spreadOf(t.ToOver),
		HandFrom: int(t.ToOver.Count()), Worst: t.Worst, Missing: r.missing,
		Kept: r.kept[:min(len(r.kept), r.done*sampling.BlockSize)],
	}
	for i, length := range s.Sessions {
		res.Sessions = append(res.Sessions, r.session(i, length))
	}
	res.Stints = r.stintResults()
	_, res.Reached = stats.Widest(r.reported()...)
	res.Warnings = append(r.model.warnings(t), r.missed()...)
	return res
}

func (r *runner) session(i int, length float64) SessionResult {
	c := &r.total.Sessions[i]
	estimate := func(e Event) stats.Estimate {
		if !r.can(e) {
			return stats.Estimate{}
		}
		return c.Events[e].Estimate(r.level, r.method)
	}
	out := SessionResult{
		Length: length, Overflow: estimate(Overflow), DrainChoked: estimate(DrainChoked),
		OverPressure: estimate(OverPressure), OilLost: estimate(OilLost), Fails: estimate(OverflowOrChoked),
		PeakFill: spreadOf(c.Fill), HeldShare: spreadOf(c.Held), OilToIntake: spreadOf(c.Intake),
		Events: Events{
			c.Events[Overflow].Events(), c.Events[DrainChoked].Events(), c.Events[OverPressure].Events(),
			c.Events[OilLost].Events(), c.Events[OverflowOrChoked].Events(),
		},
	}
	out.OilToIntake.Mean = c.Sum.Value() / float64(r.total.N)
	return out
}
