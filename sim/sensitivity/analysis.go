package sensitivity

import (
	"context"
	"fmt"
	"slices"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/sampling"
)

// Analysis is a split of the variance that is ready to be simulated.
type Analysis struct {
	Drivers []Driver
	Points  int     // base points
	Length  float64 // s, of the session

	model   *sim.Model
	split   Split
	outputs []Output
	design  Design
}

// Realizations that an analysis takes where the options don't say, for a session of an
// hour or less: where each takes little time, and where it takes about ten times as
// long. And the fewest base points that tell anything.
const (
	DefaultRealizations = 60_000
	CostlyRealizations  = 16_000
	LeastPoints         = 100
)

// DefaultDesign returns the sampling design of an analysis whose options name no other:
// not that of a run, because intervals come from base points drawn anew, each on its own,
// which points of a net are even less than those of a hypercube.
func DefaultDesign() sampling.Design { return sampling.LatinHypercube{} }

// New makes ready the analysis of a model for the longest of its session lengths.
// Of the options it takes seed, sampling, workers, progress and the number of
// realizations, of which it runs as many as go into whole base points. It fails where
// nothing is uncertain, and where there are too few realizations.
func New(m *sim.Model, split Split, o sim.Options) (*Analysis, error) {
	s := m.Scenario()
	a := &Analysis{model: m, split: split, outputs: outputsOf(m), Length: s.Sessions[len(s.Sessions)-1]}
	a.design = Design{Outputs: len(a.outputs), Seed: s.Simulation.Seed, Workers: o.Workers, Progress: o.Progress}
	if o.Seed != nil {
		a.design.Seed = *o.Seed
	}
	if o.Sampling == "" {
		o.Sampling = DefaultDesign().Name()
	}
	var err error
	if a.design.Sampling, err = o.Design(); err != nil {
		return nil, err
	}
	for _, q := range m.Uncertain() {
		a.design.Paths = append(a.design.Paths, q.Path)
	}
	a.Drivers, a.design.Parts = drivers(m, split)
	if len(a.Drivers) == 0 {
		return nil, ErrNothingUncertain
	}
	n := o.Realizations
	if n <= 0 {
		n = defaultRealizations(m, a.Length)
	}
	a.Points = n / a.design.each()
	if o.Realizations <= 0 {
		a.Points = max(a.Points, LeastPoints)
	}
	if a.Points < LeastPoints {
		return nil, &TooFewError{Realizations: n, Least: LeastPoints * a.design.each(), Drivers: len(a.Drivers)}
	}
	a.design.Points = a.Points
	return a, nil
}

// defaultRealizations is how many realizations suit the kind of drain and of lap, fewer
// for a long session.
func defaultRealizations(m *sim.Model, length float64) int {
	const manyPhases, hour = 100, 3600
	n := DefaultRealizations
	car := m.Nominal()
	if kind := car.Drain.Kind; kind == sim.Unsealed || kind == sim.BelowOil || len(car.Lap) > manyPhases {
		n = CostlyRealizations
	}
	return int(float64(n) * min(1, hour/length))
}

// ErrNothingUncertain says that there is nothing to split the variance between.
var ErrNothingUncertain error = nothingUncertain{}

type nothingUncertain struct{}

func (nothingUncertain) Error() string {
	return "no input is uncertain, and laps don't differ by luck: there is nothing that drives the result; write between which values inputs may lie (fall: 30 .. 55 mm), and run again"
}

// TooFewError says that too few realizations were asked for.
type TooFewError struct{ Realizations, Least, Drivers int }

// Error returns what is wrong and how to mend it.
func (e *TooFewError) Error() string {
	return fmt.Sprintf("%d realizations are too few to tell %d drivers apart: give %d or more, or take the inputs of each block together", e.Realizations, e.Drivers, e.Least)
}

// Scenario returns the scenario.
func (a *Analysis) Scenario() *scenarios.Scenario { return a.model.Scenario() }

// Realizations is how many realizations the analysis runs.
func (a *Analysis) Realizations() int { return a.design.Realizations() }

// Try runs one base point after another, n of them, and keeps nothing: to see how long
// they take.
func (a *Analysis) Try(ctx context.Context, n int) (realizations int, err error) {
	d := a.design
	d.Points, d.Workers, d.Progress = max(2, min(n, d.Points)), 1, nil
	_, err = Evaluate(ctx, d, a.function)
	return d.Realizations(), err
}

// Run simulates. When the context ends first it is the context's error.
func (a *Analysis) Run(ctx context.Context) (*Result, error) {
	sample, err := Evaluate(ctx, a.design, a.function)
	if err != nil {
		return nil, err
	}
	r := &Result{
		Scenario: a.Scenario(), Seed: a.design.Seed, Sampling: a.design.Sampling.Name(), Split: a.split, Length: a.Length,
		Points: a.Points, Realizations: a.Realizations(), Drivers: a.Drivers,
	}
	for i, o := range a.outputs {
		r.Outputs = append(r.Outputs, outputOf(sample, o, i, slices.Index(a.outputs, o.counted())))
	}
	return r, nil
}

// function settles cars and drives them, with memory of its own.
func (a *Analysis) function() Function {
	single, lengths := a.model.Single(), []float64{a.Length}
	return func(u []float64, luck uint64, outputs []float64) error {
		if _, err := single.Settle(u); err != nil {
			return err
		}
		out, err := single.Realize(a.design.Seed, luck, lengths)
		if err != nil {
			return err
		}
		density := single.Density15()
		for i, o := range a.outputs {
			outputs[i] = o.of(out, a.Length, density)
		}
		return nil
	}
}
