package sensitivity

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"sync"
	"sync/atomic"

	"sumpward/sim/sampling"
)

// Function works out the outputs of a model at a place in the open unit cube, with
// the luck that has the given number. It may reuse memory of its own.
type Function func(u []float64, luck uint64, outputs []float64) error

// Part is what is exchanged together: the inputs of these indices, and the luck.
type Part struct {
	Inputs []int
	Luck   bool
}

// Design says which realizations the indices are estimated from.
//
// For each base point j there are two places A_j and B_j in the unit cube, drawn
// independently, and for each part the place A_j with the part's coordinates (or
// its luck) taken from B_j: Points · (parts + 2) realizations in all.
//
// Source: Saltelli, Annoni, Azzini, Campolongo, Ratto, Tarantola 2010, "Variance
// based sensitivity analysis of model output. Design and estimator for the total
// sensitivity index", Comput. Phys. Commun. 181(2) 259-270.
type Design struct {
	Paths    []string // of the inputs: their draws go by them
	Parts    []Part   // no input in two of them
	Outputs  int
	Points   int // base points
	Seed     uint64
	Sampling sampling.Design
	Workers  int             // 0: one for each processor
	Progress func(count int) // told the realizations done; nil: none
}

// Realizations is how many realizations a design takes.
func (d *Design) Realizations() int { return d.Points * d.each() }

// each is how many realizations a base point takes.
func (d *Design) each() int { return len(d.Parts) + 2 }

// otherSample sets the draws of B apart from those of A, which are those of a run
// with the same seed and sampling.
const (
	otherSample = " in the other sample"
	otherLuck   = 1 << 40
)

// Sample holds the outputs at every place of a design.
type Sample struct {
	design  Design
	outputs []float64 // by base point, then A, B and the parts, then by output
}

// Evaluate runs a design, on functions of which each worker has one. An error of a
// function names the base point. When the context ends first it is the context's
// error.
func Evaluate(ctx context.Context, d Design, newFunction func() Function) (*Sample, error) {
	if err := d.check(); err != nil {
		return nil, err
	}
	s := &Sample{design: d, outputs: make([]float64, d.Realizations()*d.Outputs)}
	workers := d.Workers
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	var next, done, failed atomic.Int64
	failed.Store(int64(d.Points))
	errs := make([]error, workers)
	var group sync.WaitGroup
	for w := range workers {
		group.Go(func() {
			e := newEvaluation(s, newFunction())
			for ctx.Err() == nil {
				point := int(next.Add(1)) - 1
				if int64(point) >= failed.Load() {
					return
				}
				if err := e.point(point); err != nil {
					errs[w] = &pointError{point, d.Seed, err}
					lower(&failed, int64(point))
					return
				}
				if n := int(done.Add(int64(d.each()))); d.Progress != nil {
					d.Progress(n)
				}
			}
		})
	}
	group.Wait()
	if ctx.Err() != nil {
		return nil, context.Cause(ctx)
	}
	return s, firstOf(errs)
}

// lower sets a number to one that is lower.
func lower(n *atomic.Int64, to int64) {
	for {
		at := n.Load()
		if at <= to || n.CompareAndSwap(at, to) {
			return
		}
	}
}

// pointError is an error at a base point.
type pointError struct {
	point int
	seed  uint64
	err   error
}

func (e *pointError) Error() string {
	return fmt.Sprintf("base point %d of seed %d: %v", e.point, e.seed, e.err)
}
func (e *pointError) Unwrap() error { return e.err }

// firstOf returns the error at the first base point: the same for any number of
// workers, since all points before it were done.
func firstOf(errs []error) error {
	var first *pointError
	for _, err := range errs {
		var p *pointError
		if errors.As(err, &p) && (first == nil || p.point < first.point) {
			first = p
		}
	}
	if first == nil {
		return nil
	}
	return first
}

func (d *Design) check() error {
	if d.Points < 2 {
		return fmt.Errorf("indices need at least 2 base points (got %d)", d.Points)
	}
	if d.Outputs < 1 {
		return errors.New("there is no output to tell of")
	}
	seen := make([]bool, len(d.Paths))
	for _, p := range d.Parts {
		for _, i := range p.Inputs {
			if i < 0 || i >= len(seen) || seen[i] {
				return fmt.Errorf("input %d is in two parts, or is none of the %d inputs", i, len(seen))
			}
			seen[i] = true
		}
	}
	return nil
}

// evaluation runs base points one after another, reusing its memory.
type evaluation struct {
	s        *Sample
	function Function
	keys     [2][]sampling.Key
	block    int            // whose draws are at hand; -1: none
	drawn    [2][][]float64 // by input, then by base point of the block
	place    [2][]float64
	mixed    []float64
}

func newEvaluation(s *Sample, f Function) *evaluation {
	e := &evaluation{s: s, function: f, block: -1, mixed: make([]float64, len(s.design.Paths))}
	for _, path := range s.design.Paths {
		e.keys[0] = append(e.keys[0], sampling.InputKey(path))
		e.keys[1] = append(e.keys[1], sampling.InputKey(path+otherSample))
	}
	for i := range e.place {
		e.place[i] = make([]float64, len(s.design.Paths))
		for range s.design.Paths {
			e.drawn[i] = append(e.drawn[i], make([]float64, sampling.BlockSize))
		}
	}
	return e
}

// settle puts the two places of a base point at hand.
func (e *evaluation) settle(j int) {
	d := &e.s.design
	if block := j / sampling.BlockSize; block != e.block {
		e.block = block
		for i := range e.place {
			d.Sampling.Block(d.Seed, e.keys[i], block, e.drawn[i])
		}
	}
	for i := range e.place {
		for k, column := range e.drawn[i] {
			e.place[i][k] = column[j%sampling.BlockSize]
		}
	}
}

// point works out the realizations of one base point.
func (e *evaluation) point(j int) error {
	d := &e.s.design
	luck := [2]uint64{uint64(j), otherLuck + uint64(j)}
	e.settle(j)
	for i := range e.place {
		if err := e.function(e.place[i], luck[i], e.s.at(j, i)); err != nil {
			return err
		}
	}
	for p, part := range d.Parts {
		copy(e.mixed, e.place[0])
		for _, i := range part.Inputs {
			e.mixed[i] = e.place[1][i]
		}
		mixedLuck := luck[0]
		if part.Luck {
			mixedLuck = luck[1]
		}
		if err := e.function(e.mixed, mixedLuck, e.s.at(j, 2+p)); err != nil {
			return err
		}
	}
	return nil
}

// at is where the outputs of a realization of a base point stand: 0 is A, 1 is B,
// then come the parts.
func (s *Sample) at(point, which int) []float64 {
	from := (point*s.design.each() + which) * s.design.Outputs
	return s.outputs[from : from+s.design.Outputs : from+s.design.Outputs]
}
