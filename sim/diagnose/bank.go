package diagnose

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/observe"
	"sumpward/sim/sampling"
)

// Options say how a diagnosis is made. Zero values take what stands behind them.
type Options struct {
	Seed     *uint64 // the scenario's
	Draws    int     // exactly so many of each fault; 0: as many as the chances take, see [Diagnose]
	Workers  int     // one for each processor
	Faults   []Fault // those built in
	Checks   []Check // those built in
	Boosted  bool    // the engine has boost though the scenario doesn't say so
	Looked   []Look  // what was found by looking
	None     float64 // chance of "none of these" before anything was seen; 0: 5 %, below 0: none
	Progress func(draws int)
}

// noneRate is the chance of "none of these" before anything was seen; prior.
const noneRate = 0.05

// Bank is what would be seen of many cars with each fault.
type Bank struct {
	Faults  []Fault // that the layout can have
	LeftOut []LeftOut
	Draws   []int // by fault
	Seed    uint64

	scenario  *scenarios.Scenario
	options   Options
	none      float64
	looked    [][]float64   // chances of what was found by looking, by look and fault; "none of these" last
	rates     []float64     // base rates by fault, with none they add to 1
	predicted [][][]float64 // by fault, observation and draw
	counts    [][]float64   // by fault and draw: logarithm of how often it counts, see near; nil: once
	near      [][]near      // by fault
	inputs    []sampling.Key
	inputAt   map[string]int // by path: index in inputs

	seen    []scenarios.Observation
	glances []glance
	values  []float64 // of what was seen, where draws that it rules out are cut short; nil: none are
	best    float64   // highest logarithm of a likelihood so far
	whole   int       // of each fault so many draws at the least were not cut short
	model   *sim.Model
	wide    []wide // by observation
	design  sampling.LatinHypercube
	read    []map[int][]float64 // by fault and car: what checks read of it, where that was predicted
	cost    atomic.Int64        // of all glances so far
	done    atomic.Int64        // cars
	session float64             // s, length of a session of checks
}

// LeftOut is a fault that the layout can't have.
type LeftOut struct {
	Fault Fault
	Why   string
}

// NewBank draws cars of each fault and predicts what was seen of them. Values of
// the observations don't enter.
//
// Draws are a Latin hypercube over the scenario's uncertain inputs, the same cars for
// every fault, and over the severities; each depends on its address alone, so that the bank is
// the same for any number of workers.
func NewBank(ctx context.Context, s *scenarios.Scenario, seen []scenarios.Observation, o Options) (*Bank, error) {
	b, err := newBank(s, seen, o)
	if err != nil {
		return nil, err
	}
	draws := o.Draws
	if draws == 0 {
		draws = firstDraws
	}
	return b, b.grow(ctx, b.each(draws))
}

// newBank is an empty bank.
func newBank(s *scenarios.Scenario, seen []scenarios.Observation, o Options) (*Bank, error) {
	glances, err := glancesOf(s, seen)
	if err != nil {
		return nil, err
	}
	b := &Bank{scenario: s, options: o, seen: seen, glances: glances, Seed: s.Simulation.Seed, none: noneRate, best: math.Inf(-1)}
	all, err := observe.NewPredictor(s, seen)
	if err != nil {
		return nil, err
	}
	b.model, b.inputAt = all.Model(), map[string]int{}
	b.price()
	for i, q := range all.Inputs() {
		b.inputs = append(b.inputs, sampling.InputKey(q.Path))
		b.inputAt[q.Path] = i
	}
	if o.Seed != nil {
		b.Seed = *o.Seed
	}
	if o.None != 0 {
		b.none = max(0, o.None)
	}
	if o.Faults == nil {
		b.options.Faults = Faults()
	}
	if o.Checks == nil {
		b.options.Checks = Checks()
	}
	b.choose()
	if len(b.Faults) == 0 {
		return nil, &InputError{"faults", "this layout can have none of the faults: state some that it can have"}
	}
	if err := b.look(); err != nil {
		return nil, err
	}
	b.predicted = make([][][]float64, len(b.Faults))
	for f := range b.predicted {
		b.predicted[f] = make([][]float64, len(seen))
	}
	b.near, b.counts = make([][]near, len(b.Faults)), make([][]float64, len(b.Faults))
	for range b.Faults {
		b.read = append(b.read, map[int][]float64{})
	}
	b.session = sessionOf(s, seen)
	b.Draws = make([]int, len(b.Faults))
	return b, nil
}

// each is a number for every fault.
func (b *Bank) each(n int) []int {
	list := make([]int, len(b.Faults))
	for f := range list {
		list[f] = n
	}
	return list
}

// firstDraws is how many cars of each fault are drawn to begin with.
const firstDraws = sampling.BlockSize

// choose keeps the faults that the layout can have, and makes their base rates
// add to 1 with that of "none of these".
func (b *Bank) choose() {
	total := 0.0
	for _, f := range b.options.Faults {
		why := ""
		for _, c := range f.Changes {
			nominal := *b.model.Nominal()
			if w := twists[c.Name].missing(candidate{nominal, b.scenario, b.options.Boosted}); w != "" {
				why = w
				break
			}
		}
		if why == "" && b.shutsIn(&f) {
			why = "it would leave the gas no way out of the crankcase, which shows at once"
		}
		if why != "" {
			b.LeftOut = append(b.LeftOut, LeftOut{f, why})
			continue
		}
		if f.BaseRate > 0 {
			b.Faults = append(b.Faults, f)
			total += f.BaseRate
		}
	}
	for _, f := range b.Faults {
		b.rates = append(b.rates, f.BaseRate/total*(1-b.none))
	}
}

// shutsIn reports whether a fault may leave the gas no way out of the crankcase.
func (b *Bank) shutsIn(f *Fault) bool {
	for _, u := range []float64{0.001, 0.5, 0.999} {
		car := *b.model.Nominal()
		for i := range f.Changes {
			twists[f.Changes[i].Name].apply(&car, f.Changes[i].Severity.Quantile(u))
		}
		if len(car.Gas.ToSeparator)+len(car.Gas.Past) == 0 && car.Drain.Kind != sim.Unsealed {
			return true
		}
	}
	return false
}

// sessionOf is the session that checks are made after: the longest one that was seen
// with the layout itself, or else the scenario's first.
func sessionOf(s *scenarios.Scenario, seen []scenarios.Observation) float64 {
	longest := 0.0
	for _, o := range seen {
		if o.Layout == "" {
			for _, length := range o.Over {
				longest = max(longest, length)
			}
		}
	}
	if longest == 0 {
		longest = s.Sessions[0]
	}
	return longest
}

// stretch is some cars of one fault, in one block of the design.
type stretch struct{ fault, begin, end int }

// atOnce is how many cars of a fault a worker takes on at a time.
const atOnce = 50

// grow draws more cars: of each fault up to so many.
func (b *Bank) grow(ctx context.Context, draws []int) error {
	var jobs []stretch
	for f := range b.Faults {
		for begin := b.Draws[f]; begin < draws[f]; {
			end := min(begin+atOnce, (begin/sampling.BlockSize+1)*sampling.BlockSize, draws[f])
			jobs = append(jobs, stretch{f, begin, end})
			begin = end
		}
		for o := range b.predicted[f] {
			b.predicted[f][o] = grown(b.predicted[f][o], draws[f])
		}
		b.counts[f] = grown(b.counts[f], draws[f])
	}
	err := b.parallel(ctx, len(jobs), func() func(job int) error {
		var workers []*worker
		for _, g := range b.glances {
			workers = append(workers, b.worker(g.predictor.Copy()))
		}
		return func(job int) error { return b.fill(ctx, workers, jobs[job]) }
	})
	if err != nil {
		return err
	}
	for f := range draws {
		b.Draws[f] = max(b.Draws[f], draws[f])
	}
	b.settled()
	return nil
}

// grown is a list made as long as that.
func grown(list []float64, length int) []float64 {
	more := make([]float64, max(length, len(list)))
	copy(more, list)
	return more
}

// settled works out what the next draws are held against.
func (b *Bank) settled() {
	if b.values == nil || b.whole == 0 {
		b.whole = slices.Min(b.Draws)
		b.widen()
	}
	if b.values == nil {
		return
	}
	logs, _ := b.logLikelihoods(b.values)
	for _, l := range logs {
		b.best = max(b.best, slices.Max(l))
	}
}

// fill predicts what is seen of a stretch of cars, one glance after another.
func (b *Bank) fill(ctx context.Context, workers []*worker, s stretch) error {
	first := s.begin / sampling.BlockSize * sampling.BlockSize
	for _, w := range workers {
		w.place(s.fault, s.begin/sampling.BlockSize, s.end-first)
	}
	cost := int64(0)
	for i := s.begin; i < s.end; i++ {
		most := 0.0 // what the likelihood may still come to
		for g := range b.glances {
			most += b.glances[g].most
		}
		for g, w := range workers {
			of := b.glances[g].of
			if b.values != nil && most < b.best-negligible {
				for _, o := range of {
					b.predicted[s.fault][o][i] = math.NaN()
				}
				continue
			}
			got, err := w.predict(i-first, uint64(i)+uint64(g)<<mostCarsBits)
			if err != nil {
				return fmt.Errorf("%s, car %d of seed %d: %w", b.Faults[s.fault].Name, i, b.Seed, err)
			}
			b.counts[s.fault][i] = w.count
			cost += b.glances[g].cost
			most -= b.glances[g].most
			for j, o := range of {
				b.predicted[s.fault][o][i] = got[j]
				if b.values != nil {
					seen := b.seen[o]
					seen.Value = b.values[o]
					most += observe.LogLikelihood(&seen, got[j])
				}
			}
		}
	}
	b.cost.Add(cost)
	if n := b.done.Add(int64(s.end - s.begin)); b.options.Progress != nil {
		b.options.Progress(int(n))
	}
	return ctx.Err()
}

// parallel does jobs on several workers, each with a function of its own. The
// error is that of the first job that failed.
func (b *Bank) parallel(ctx context.Context, jobs int, worker func() func(job int) error) error {
	n := b.options.Workers
	if n <= 0 {
		n = runtime.GOMAXPROCS(0)
	}
	errs := make([]error, jobs)
	var next atomic.Int64
	var failed atomic.Bool
	var group sync.WaitGroup
	for range min(n, jobs) {
		group.Add(1)
		go func() {
			defer group.Done()
			do := worker()
			for !failed.Load() {
				job := int(next.Add(1)) - 1
				if job >= jobs {
					return
				}
				if errs[job] = do(job); errs[job] != nil {
					failed.Store(true)
				}
			}
		}()
	}
	group.Wait()
	if err := ctx.Err(); err != nil {
		return err
	}
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// worker predicts what is seen of one car after another.
type worker struct {
	bank       *Bank
	predictor  *observe.Predictor
	fault      *Fault
	index      int   // of the fault
	block      int   // of the design
	inputs     []int // of the predictor: index in the bank's
	u, v       [][]float64
	z, work    []float64 // normal scores of the car at hand
	count      float64   // logarithm of how often it counts
	point      []float64
	severities []float64 // by change
	out        []float64

	after func(car *sim.Car) // what else is done to the car, once it is spoilt
}

func (b *Bank) worker(p *observe.Predictor) *worker {
	w := &worker{bank: b, predictor: p}
	for range b.inputs {
		w.u = append(w.u, make([]float64, sampling.BlockSize))
	}
	for _, q := range p.Inputs() {
		w.inputs = append(w.inputs, b.inputAt[q.Path])
	}
	w.point = make([]float64, len(w.inputs))
	p.Alter = func(car *sim.Car) {
		for i := range w.fault.Changes {
			twists[w.fault.Changes[i].Name].apply(car, w.severities[i])
		}
		if w.after != nil {
			w.after(car)
		}
	}
	return w
}

// place draws the first n cars of a block for a fault.
func (w *worker) place(fault, block, n int) {
	b := w.bank
	for i := range w.u {
		w.u[i] = w.u[i][:n]
	}
	b.design.Block(b.Seed, b.inputs, block, w.u)
	w.fault, w.index, w.block = &b.Faults[fault], fault, block
	w.v = w.v[:0]
	var keys []sampling.Key
	for i := range w.fault.Changes {
		keys = append(keys, w.fault.key(&w.fault.Changes[i]))
		w.v = append(w.v, make([]float64, n))
	}
	b.design.Block(b.Seed, keys, block, w.v)
	w.work = make([]float64, len(w.u)+len(w.v))
}

// settle moves the i-th car of the block at hand to where it is drawn: its normal scores,
// and how often it counts.
func (w *worker) settle(i int) {
	w.z, w.count = w.z[:0], 0
	for _, u := range w.u {
		w.z = append(w.z, score(u[i]))
	}
	for _, v := range w.v {
		w.z = append(w.z, score(v[i]))
	}
	car := w.block*sampling.BlockSize + i
	if n := w.bank.nearOf(w.index, car); n != nil {
		w.count = n.draw(sampling.Uniform(w.bank.Seed, nearKey, uint64(car)), w.z, w.work)
	}
}

// nearKey is for which part of a mixture a car is drawn from.
var nearKey = sampling.InputKey("diagnose/near")

// predict predicts what is seen of the i-th car of the block at hand.
func (w *worker) predict(i int, luck uint64) ([]float64, error) {
	w.severities = w.severities[:0]
	if w.bank.nearOf(w.index, w.block*sampling.BlockSize+i) == nil {
		w.count = 0
		for j, at := range w.inputs {
			w.point[j] = w.u[at][i]
		}
		for j := range w.v {
			w.severities = append(w.severities, w.fault.Changes[j].Severity.Quantile(w.v[j][i]))
		}
	} else {
		w.settle(i)
		for j, at := range w.inputs {
			w.point[j] = share(w.z[at])
		}
		for j := range w.v {
			w.severities = append(w.severities, w.fault.Changes[j].Severity.Quantile(share(w.z[len(w.u)+j])))
		}
	}
	var err error
	w.out, err = w.predictor.Predict(w.point, w.bank.Seed, luck, w.out)
	return w.out, err
}
