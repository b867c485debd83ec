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

// PartBytes returns how large a part of so many shards is, bytes.
func (e *Estimate) PartBytes(shards int) float64 {
	return e.Part * math.Ceil(float64(e.Points)/float64(shards)+1)
}

// Work is what is to be estimated.
type Work struct {
	Points int                                 // how many
	Each   int                                 // realizations at each
	Model  func(point int) (*sim.Model, error) // of a point, in any order; nil: there is no such layout
}

// Points that are looked at, batches of realizations at each, and the realizations of a
// batch.
const (
	mostPoints = 12
	batches    = 3
	batch      = 60
)

// Measure simulates a few realizations at points spread over the work, on one processor,
// until it has taken about so long. It fails where no point can be simulated.
func Measure(ctx context.Context, w Work, o sim.Options, budget time.Duration) (*Estimate, error) {
	e := &Estimate{Points: w.Points, Realizations: w.Points * w.Each}
	o.Workers, o.SamplingError, o.Progress = 1, 0, nil
	began := time.Now()
	var points stats.Moments
	var within stats.Moments // of one point
	looked := min(w.Points, mostPoints)
	for i := range looked {
		m, err := w.Model(spread(i, looked, w.Points))
		if err != nil {
			return nil, err
		}
		if m == nil {
			continue
		}
		var each stats.Moments
		if _, err := timed(ctx, m, o, e); err != nil { // a first batch fills memory and caches
			return nil, err
		}
		for b := 0; b < batches || looked == 1 && time.Since(began) < budget; b++ {
			took, err := timed(ctx, m, o, e)
			if err != nil {
				return nil, err
			}
			each.Add(took)
		}
		points.Add(each.Mean())
		within = each
		e.Slowest = max(e.Slowest, each.Mean())
		if time.Since(began) > budget && i > 0 {
			break
		}
	}
	if points.Count() == 0 {
		return nil, errors.New("no point can be simulated")
	}
	e.interval(points, within)
	return e, nil
}

// spread is the i-th of n places spread evenly over a number of points.
func spread(i, n, points int) int {
	if n == points {
		return i
	}
	return (2*i + 1) * points / (2 * n)
}

// timed simulates one batch and returns the seconds a realization.
func timed(ctx context.Context, m *sim.Model, o sim.Options, e *Estimate) (float64, error) {
	seed := uint64(e.Measured + 1) // other draws each time
	o.Seed, o.Realizations, o.Work = &seed, batch, &sim.Work{}
	began := time.Now()
	err := m.Simulate(ctx, o, 0, (batch+sampling.BlockSize-1)/sampling.BlockSize)
	took := time.Since(began).Seconds() / batch
	if err != nil {
		return 0, err
	}
	e.Measured += batch
	kept, err := json.Marshal(o.Work)
	e.Part = max(e.Part, float64(len(kept)))
	return took, err
}

// Sizings that are timed, and their realizations.
const (
	sizings           = 3
	sizedRealizations = 60
)

// MeasureSize times small sizings of a scenario: what one of many realizations takes grows
// with their number. Each is a realization's share of all layouts that the sizing looks at.
func MeasureSize(ctx context.Context, s *scenarios.Scenario, o decide.SizeOptions, realizations int) (*Estimate, error) {
	e := &Estimate{Points: 1, Realizations: realizations}
	o.Workers, o.Realizations, o.Cell, o.Progress = 1, sizedRealizations, 0, nil
	var each stats.Moments
	for i := range uint64(sizings) {
		seed := i + 1
		o.Seed, o.Work = &seed, &sim.Work{}
		began := time.Now()
		if _, err := decide.Size(ctx, s, o); err != nil {
			return nil, err
		}
		each.Add(time.Since(began).Seconds() / sizedRealizations)
		kept, _ := json.Marshal(o.Work)
		e.Part = float64(len(kept)) * float64(realizations) / sizedRealizations
		e.Measured += sizedRealizations
	}
	e.Slowest = each.Mean()
	e.interval(stats.Moments{}, each)
	return e, nil
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
