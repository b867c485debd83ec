package learn

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"sumpward/sim/sampling"
)

// Evaluate returns the logarithm of the likelihood of what was seen at a place in
// the open unit cube, under a luck; -Inf where it can't be. It may write notes of
// the place, which go with a draw: predictions, values. It depends on nothing
// but place and luck.
type Evaluate func(u []float64, luck uint64, notes []float64) (float64, error)

// Target is what is to be learned: independent uniform inputs and a likelihood.
type Target struct {
	Keys   []sampling.Key  // of the inputs' draws, one for each coordinate
	Notes  int             // how many each place has
	Worker func() Evaluate // a likelihood with memory of its own, for one goroutine
}

// Options say how a target is sampled.
type Options struct {
	Seed     uint64
	Draws    int                   // particles; 0: [Usual]
	Workers  int                   // 0: one for each processor; the result is the same
	Progress func(evaluations int) // nil: none
}

// Usual is how many draws are taken where nothing else is said.
const Usual = 2000

// mostLevels is where tempering gives up.
const mostLevels = 200

// pool evaluates places on several workers. What it returns does not depend on
// how many there are.
type pool struct {
	ctx      context.Context
	evaluate []Evaluate
	progress func(int)
	done     atomic.Int64
}

func newPool(ctx context.Context, t *Target, o Options) *pool {
	p := &pool{ctx: ctx, progress: o.Progress}
	n := o.Workers
	if n <= 0 {
		n = runtime.GOMAXPROCS(0)
	}
	for range n {
		p.evaluate = append(p.evaluate, t.Worker())
	}
	return p
}

// each calls a function for every index below n, on all workers, and returns the
// error of the lowest index that failed.
func (p *pool) each(n int, work func(e Evaluate, i int) error) error {
	const chunk = 16
	errs := make([]error, n)
	var next atomic.Int64
	var group sync.WaitGroup
	for _, e := range p.evaluate {
		group.Go(func() {
			for p.ctx.Err() == nil {
				from := int(next.Add(chunk)) - chunk
				if from >= n {
					return
				}
				to := min(from+chunk, n)
				for i := from; i < to; i++ {
					errs[i] = work(e, i)
				}
				if done := p.done.Add(int64(to - from)); p.progress != nil {
					p.progress(int(done))
				}
			}
		})
	}
	group.Wait()
	if err := p.ctx.Err(); err != nil {
		return err
	}
	for i, err := range errs {
		if err != nil {
			return fmt.Errorf("draw %d: %w", i, err)
		}
	}
	return nil
}

// likelihood is an evaluation that counts what is no number as impossible.
func likelihood(e Evaluate, u []float64, luck uint64, notes []float64) (float64, error) {
	l, err := e(u, luck, notes)
	if err == nil && (math.IsNaN(l) || math.IsInf(l, 1)) {
		err = fmt.Errorf("the likelihood is %g", l)
	}
	return l, err
}
