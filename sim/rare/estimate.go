package rare

import (
	"context"
	"fmt"
	"math"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/stat/distuv"

	"sumpward/sim/sampling"
	"sumpward/sim/stats"
)

// Options say how a small chance is estimated. Zero values take the defaults.
type Options struct {
	Seed         uint64
	Key          sampling.Key // of the draws
	Realizations int          // a level of a repeat; 1,000
	Repeats      int          // independent of each other; 10, at least 3
	Least        float64      // chance below which it gives up; 1e-9
	Workers      int          // 1 or more; 1
	Progress     func(repeats int)
}

func (o Options) withDefaults() Options {
	set := func(x *int, to int) {
		if *x <= 0 {
			*x = to
		}
	}
	set(&o.Realizations, 1000)
	set(&o.Repeats, 10)
	set(&o.Workers, 1)
	o.Repeats = max(o.Repeats, fewestRepeats)
	if o.Least <= 0 {
		o.Least = 1e-9
	}
	return o
}

// fewestRepeats tell an interval, and that there is no hope.
const fewestRepeats = 3

// Estimate is a small chance.
//
// Its interval rests on the spread of independent repeats alone: with δ the standard error
// of their mean over the mean, and t of Student's law for one repeat less,
//
//	mean · exp(± t √ln(1 + δ²))
//
// (derived: the mean taken as log-normal, as the repeats nearly are). Each repeat is biased
// upwards by the order of its squared coefficient of variation over its levels (Au, Beck
// 2001), a few per cent.
type Estimate struct {
	stats.Estimate           // 0, 0 and the least chance where it was not reached
	Chances        []float64 // of the repeats
	Levels         float64   // mean number of levels
	Accepted       float64   // least share of accepted moves of a level, on average over repeats
	First          []Level   // of the first repeat
	Realizations   int       // in all
	Left           int       // of them left out: they could not be worked out
	Reached        int       // repeats that reached the event
	Least          float64   // chance below which repeats gave up
	Warnings       []string  // that levels stalled, or that repeats disagree
}

// Variation returns the coefficient of variation of one repeat; NaN where none reached
// the event.
func (e *Estimate) Variation() float64 {
	mean, variance := moments(e.Chances)
	return math.Sqrt(variance) / mean
}

// Direct returns how many realizations direct sampling takes for the same standard error,
// (1-p)/(p δ²).
func (e *Estimate) Direct() float64 {
	p, v := e.Probability, e.Variation()
	return (1 - p) / (p * v * v / float64(len(e.Chances)))
}

// Chance estimates how likely an event is. newEvent is called once for each worker. Where
// none of the first repeats comes near, the others are left out. The result is the same
// for any number of workers. When the context ends first it is the context's error.
func Chance(ctx context.Context, newEvent func() Event, o Options) (*Estimate, error) {
	o = o.withDefaults()
	b := &batch{options: o, repeats: make([]*repeat, o.Repeats)}
	for range min(o.Workers, o.Repeats) {
		b.events = append(b.events, newEvent())
	}
	b.run(ctx, fewestRepeats)
	if !b.hopeless() {
		b.run(ctx, o.Repeats)
	}
	if ctx.Err() != nil {
		return nil, context.Cause(ctx)
	}
	return summed(b.repeats[:b.done.Load()], o), nil
}

// batch is repeats shared out among workers.
type batch struct {
	options Options
	events  []Event // one for each worker
	repeats []*repeat
	next    atomic.Int64
	done    atomic.Int64
}

// run runs repeats up to one, or until the context ends.
func (b *batch) run(ctx context.Context, until int) {
	var group sync.WaitGroup
	b.next.Store(b.done.Load())
	for _, event := range b.events {
		group.Go(func() {
			for i := int(b.next.Add(1)) - 1; i < until; i = int(b.next.Add(1)) - 1 {
				r := newRepeat(event, b.options, i)
				if r.run(ctx) != nil {
					return
				}
				r.now, r.next, r.trial = population{}, population{}, nil
				b.repeats[i] = r
				if n := b.done.Add(1); b.options.Progress != nil {
					b.options.Progress(int(n))
				}
			}
		})
	}
	group.Wait()
}

// hopeless reports whether all repeats so far gave up below the least chance.
func (b *batch) hopeless() bool {
	for _, r := range b.repeats[:b.done.Load()] {
		if !r.Beyond {
			return false
		}
	}
	return true
}

// summed is what the repeats come to together.
func summed(repeats []*repeat, o Options) *Estimate {
	e := &Estimate{Least: o.Least, First: repeats[0].Levels, Accepted: 1}
	stalled := 0
	for _, r := range repeats {
		e.Chances = append(e.Chances, r.Chance)
		e.Levels += float64(len(r.Levels))
		e.Realizations += r.Realizations
		e.Left += r.Left
		if r.Chance > 0 {
			e.Reached++
		}
		if r.Stalled {
			stalled++
		}
	}
	e.Levels /= float64(len(repeats))
	e.Accepted = leastAccepted(repeats)
	e.Estimate = interval(e.Chances, o.Least)
	e.warn(stalled, o)
	return e
}

// leastAccepted is the smallest mean share of accepted moves of a level; 1 without moves.
func leastAccepted(repeats []*repeat) float64 {
	least := 1.0
	for level := 1; ; level++ {
		sum, n := 0.0, 0
		for _, r := range repeats {
			if level < len(r.Levels) {
				sum += r.Levels[level].Accepted
				n++
			}
		}
		if n == 0 {
			return least
		}
		least = min(least, sum/float64(n))
	}
}

func moments(x []float64) (mean, variance float64) {
	for _, v := range x {
		mean += v / float64(len(x))
	}
	for _, v := range x {
		variance += (v - mean) * (v - mean) / float64(len(x)-1)
	}
	return mean, variance
}

// interval is the mean of the repeats with its 95 % interval; see [Estimate].
func interval(chances []float64, least float64) stats.Estimate {
	mean, variance := moments(chances)
	if mean == 0 {
		return stats.Estimate{High: least}
	}
	n := float64(len(chances))
	t := distuv.StudentsT{Sigma: 1, Nu: n - 1}.Quantile(0.975)
	half := t * math.Sqrt(math.Log1p(variance/n/(mean*mean)))
	return stats.Estimate{Probability: mean, Low: mean * math.Exp(-half), High: min(mean*math.Exp(half), 1)}
}

// When to warn.
const (
	leastMoves = 0.1 // share of accepted moves
	mostFactor = 2.5 // of the variation that is to be expected
	chainLoss  = 5   // 1 + γ of Au, Beck 2001 that is taken for the highest usual
	mostLeft   = 0.01
)

// warn says what makes the estimate doubtful.
func (e *Estimate) warn(stalled int, o Options) {
	say := func(format string, values ...any) { e.Warnings = append(e.Warnings, fmt.Sprintf(format, values...)) }
	n := len(e.Chances)
	if stalled > 0 {
		say("%d of %d repeats stalled: much came equally near and nothing nearer, so the chance may be larger than told", stalled, n)
	}
	if e.Accepted < leastMoves {
		say("in one level only %.0f %% of the moves came nearer: the chance is told less well than its interval says", 100*e.Accepted)
	}
	if e.Reached > 0 && e.Reached < n && stalled == 0 {
		say("%d of %d repeats did not reach it, others did: there may be more than one way to it", n-e.Reached, n)
	}
	expected := math.Sqrt(e.Levels * (1 - levelChance) / (levelChance * float64(o.Realizations)) * chainLoss)
	if v := e.Variation(); e.Reached == n && v > mostFactor*expected {
		say("repeats differ by more than they should (%.0f %% of their mean): there may be more than one way to it, not met in each", 100*v)
	}
	if float64(e.Left) > mostLeft*float64(e.Realizations) {
		say("%d of %d realizations could not be worked out and were left out", e.Left, e.Realizations)
	}
}
