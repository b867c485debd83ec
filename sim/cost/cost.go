// Package cost tells, from a few realizations simulated on the spot, what many will take.
package cost

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/decide"
	"sumpward/sim/sampling"
	"sumpward/sim/stats"
)

// Estimate is what a work will take on processors like the one it was measured on.
type Estimate struct {
	Points       int // layouts that are simulated
	Realizations int // in all
	Measured     int // realizations behind the estimate

	Each, Low, High float64 // s of one processor a realization: mean over the points, and its 95 % interval
	Slowest         float64 // s a realization at the slowest point measured
	Part            float64 // bytes that the work at one point takes in a part
	PartEach        float64 // bytes besides that each realization takes in it, where they are kept one by one
}

// Total returns how long one processor would take for all, s: mean and interval.
func (e *Estimate) Total() (mean, low, high float64) {
	n := float64(e.Realizations)
	return n * e.Each, n * e.Low, n * e.High
}

// Task returns how long one processor takes for one of so many shards, s: on average, and
// at the most: a shard all of whose points are like the slowest.
func (e *Estimate) Task(shards int) (mean, most float64) {
	n := math.Ceil(float64(e.Realizations) / float64(shards))
	return n * e.Each, n * max(e.Slowest, e.High)
}

// PartBytes returns how large a part of so many shards is, bytes: a shard begins and ends
// amid points.
func (e *Estimate) PartBytes(shards int) float64 {
	points := math.Ceil(float64(e.Points)/float64(shards)) + 1
	return e.Part*min(points, float64(e.Points)) + e.PartEach*math.Ceil(float64(e.Realizations)/float64(shards))
}

// inMemory is how much more of memory than of a file kept work takes, with all that comes
// and goes while it is read. Measured: 4.4 times on parts of 7 kB.
const inMemory = 8

// Memory returns what one of so many shards takes, and what merging them takes, bytes.
func (e *Estimate) Memory(shards int) (task, merge float64) {
	part := inMemory * e.PartBytes(shards)
	return part, part * float64(shards)
}

// Work is what is to be estimated.
type Work struct {
	Points int                                 // how many
	Each   int                                 // realizations at each
	Model  func(point int) (*sim.Model, error) // of a point, in any order; nil: there is no such layout
}

// Points that are looked at, and batches of realizations at each. The first batch fills
// memory and tells how many realizations the others are to have: many, since to begin with
// a batch takes time as well.
const (
	mostPoints = 12
	batches    = 3
	firstBatch = 16
	mostBatch  = 20 * sampling.BlockSize
)

// Measure simulates a few realizations at points spread over the work, on one processor,
// in about so much processor time, and hardly more of them than the work has. It fails
// where no point can be simulated.
func Measure(ctx context.Context, w Work, o sim.Options, budget time.Duration) (*Estimate, error) {
	e := &Estimate{Points: w.Points, Realizations: w.Points * w.Each}
	o.Workers, o.SamplingError, o.Progress = 1, 0, nil
	var points, within stats.Moments
	looked := min(w.Points, mostPoints)
	for i := range looked {
		each, err := e.point(ctx, w, spread(i, looked, w.Points), o, budget/time.Duration(looked))
		if err != nil {
			return nil, err
		}
		if each.Count() == 0 {
			continue
		}
		points.Add(each.Mean())
		within = each
		e.Slowest = max(e.Slowest, each.Mean())
	}
	if points.Count() == 0 {
		return nil, errors.New("no point can be simulated")
	}
	e.interval(points, within)
	return e, nil
}

// point times a point: its batches, s a realization, with the point's share of making it
// ready. Where there is no such layout there are none.
func (e *Estimate) point(ctx context.Context, w Work, point int, o sim.Options, budget time.Duration) (each stats.Moments, err error) {
	var m *sim.Model
	ready, err := took(func() (err error) {
		m, err = w.Model(point)
		return err
	})
	if err != nil || m == nil {
		return each, err
	}
	first, err := e.timed(ctx, m, o, firstBatch)
	if err != nil {
		return each, err
	}
	n := int(budget.Seconds() / batches / first)
	n = min(max(n, firstBatch), mostBatch, max(w.Each/batches, firstBatch))
	for spent := 0.0; each.Count() < batches || spent < budget.Seconds() && e.Measured < e.Realizations; {
		t, err := e.timed(ctx, m, o, n)
		if err != nil {
			return each, err
		}
		spent += t * float64(n)
		each.Add(t + ready/float64(w.Each))
	}
	return each, nil
}

// spread is the i-th of n places spread over a number of points by the golden ratio:
// evenly, and not in step with the length of a row of them.
func spread(i, n, points int) int {
	if n == points {
		return i
	}
	_, at := math.Modf(0.5 + float64(i)/math.Phi)
	return int(at * float64(points))
}

// timed simulates one batch and returns the seconds a realization.
func (e *Estimate) timed(ctx context.Context, m *sim.Model, o sim.Options, n int) (float64, error) {
	seed := uint64(e.Measured + 1) // other draws each time
	o.Seed, o.Realizations, o.Work = &seed, n, &sim.Work{}
	t, err := took(func() error { return m.Simulate(ctx, o, 0, (n+sampling.BlockSize-1)/sampling.BlockSize) })
	if err != nil {
		return 0, err
	}
	e.Measured += n
	kept, err := json.Marshal(o.Work)
	e.Part = max(e.Part, float64(len(kept)))
	return t / float64(n), err
}

// leastTime is what a clock that ticks can tell from nothing, s.
const leastTime = 1e-6

// took is the processor time that something takes, s: on a machine that others use as
// well, the time of day would tell how busy they are.
func took(do func() error) (float64, error) {
	before, err := processorTime()
	if err != nil {
		return 0, err
	}
	if err := do(); err != nil {
		return 0, err
	}
	after, err := processorTime()
	return max((after - before).Seconds(), leastTime), err
}

// Sizings that are timed after a first one, and their realizations.
const (
	sizings    = 3
	firstSized = 60
	mostSized  = 500
)

// MeasureSize times small sizings of a scenario, in about so much processor time. What one
// realization takes is its share of all layouts that a sizing looks at; of many it is a
// little less, since each layout is made ready once.
func MeasureSize(ctx context.Context, s *scenarios.Scenario, o decide.SizeOptions, realizations int, budget time.Duration) (*Estimate, error) {
	e := &Estimate{Points: 1, Realizations: realizations}
	o.Workers, o.Cell, o.Progress = 1, 0, nil
	first, err := e.sized(ctx, s, o, firstSized)
	if err != nil {
		return nil, err
	}
	n := min(max(int(budget.Seconds()/sizings/first), firstSized), mostSized, max(realizations, firstSized))
	var each stats.Moments
	for range sizings {
		t, err := e.sized(ctx, s, o, n)
		if err != nil {
			return nil, err
		}
		each.Add(t)
	}
	e.Slowest = each.Mean()
	e.interval(stats.Moments{}, each)
	return e, nil
}

// sized times one sizing and returns the seconds a realization.
func (e *Estimate) sized(ctx context.Context, s *scenarios.Scenario, o decide.SizeOptions, n int) (float64, error) {
	seed := uint64(e.Measured + 1)
	o.Seed, o.Realizations, o.Work = &seed, n, &sim.Work{}
	t, err := took(func() error {
		_, err := decide.Size(ctx, s, o)
		return err
	})
	if err != nil {
		return 0, err
	}
	e.Measured += n
	kept, err := json.Marshal(o.Work)
	e.PartEach = float64(len(kept)) / float64(n)
	return t / float64(n), err
}

// interval sets the mean and its interval: from the spread of the points, or of the
// batches where there is one point.
func (e *Estimate) interval(points, batches stats.Moments) {
	of := points
	if points.Count() < 2 {
		of = batches
	}
	e.Each = of.Mean()
	e.Low, e.High = e.Each, e.Each
	if n := of.Count(); n > 1 {
		t := distuv.StudentsT{Sigma: 1, Nu: float64(n - 1)}.Quantile((1 + sim.Level) / 2)
		e.High = e.Each + t*of.StandardError()
		e.Low = e.Each * e.Each / e.High // as far below as a ratio: a time isn't negative
	}
}
