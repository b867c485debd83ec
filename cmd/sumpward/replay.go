package main

import (
	"errors"
	"fmt"
	"math"

	"github.com/spf13/cobra"

	"sumpward/report"
	"sumpward/report/plot"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/sampling"
)

// replayFlags are those of replay.
type replayFlags struct {
	scenario    scenarioFlags
	sampling    samplingFlags
	output      outputFlags
	plot        plotFlags
	realization uint64
	worst       bool
	every       string
}

func newReplayCommand(a *app) *cobra.Command {
	var f replayFlags
	c := &cobra.Command{
		Use:   "replay [FILE]",
		Short: "One realization against time",
		Long: `Replay runs one realization of a scenario again and writes it against time:
with --format csv every second and wherever something changes, as a table
thinned out. --plot draws it: load, what the drain must beat, fill, flow.`,
		Example: `  sumpward replay my-car.yaml --worst
  sumpward replay my-car.yaml --realization 17 --every 0.5s -o 17.csv
  sumpward replay my-car.yaml --worst --plot worst.svg`,
		Args: oneFile,
		RunE: func(c *cobra.Command, args []string) error { return f.run(a, c, args) },
	}
	f.scenario.add(c)
	f.sampling.add(c)
	f.output.add(c)
	f.plot.add(c)
	c.Flags().Uint64Var(&f.realization, "realization", 0, "the `NUMBER` of the realization, from 0")
	c.Flags().BoolVar(&f.worst, "worst", false, "the realization that overflowed first, or came nearest to it")
	c.Flags().StringVar(&f.every, "every", "1s", "a point at least every so long: a `TIME`")
	return c
}

func (f *replayFlags) run(a *app, c *cobra.Command, args []string) error {
	every, err := units.Parse(f.every, units.Time)
	if err != nil {
		return usageError{fmt.Errorf("--every: %w", err)}
	}
	if !(every >= 0.01) {
		return usageError{fmt.Errorf("--every: 10 ms or more (got %s)", f.every)}
	}
	options, err := f.sampling.options(c)
	if err != nil {
		return err
	}
	if f.worst && c.Flags().Changed("realization") {
		return usageError{errors.New("--realization and --worst: give one of the two")}
	}
	if !f.worst && (c.Flags().Changed("realizations") || f.sampling.samplingError != "") {
		return usageError{errors.New("--realizations and --sampling-error go with --worst: name one realization with --realization")}
	}
	if err := f.output.prepare(c); err != nil {
		return err
	}
	if err := f.plot.prepare(c, &f.output); err != nil {
		return err
	}
	s, err := f.scenario.load(a, args)
	if err != nil {
		return err
	}
	m, err := model(s)
	if err != nil {
		return err
	}
	if f.worst {
		_, res, err := a.simulate(c.Context(), s, options)
		if err != nil {
			return err
		}
		if res.Interrupted {
			return interrupted{errors.New("interrupted while looking for the worst realization")}
		}
		f.realization = res.Worst.Realization
		a.say("%s", worst(res))
	}
	design, err := sampling.DesignByName(f.sampling.sampling)
	if err != nil {
		return usageError{err}
	}
	seed := s.Simulation.Seed
	if options.Seed != nil {
		seed = *options.Seed
	}
	trace, err := m.Replay(c.Context(), design, seed, f.realization, every)
	if err != nil {
		return err
	}
	a.warn(report.Warnings(s))
	u := units.System(f.output.units)
	if err := f.output.emit(a, report.Replay{Scenario: s, Trace: trace, Units: u}); err != nil {
		return err
	}
	return f.plot.emit(a, plot.Replay{Scenario: s, Trace: trace, Units: u}, f.output.force)
}

// worst says which realization was the worst and of how many.
func worst(res *sim.Result) string {
	if math.IsInf(res.Worst.Overflow, 1) {
		return fmt.Sprintf("none of %d realizations overflowed: number %d came nearest, with a peak fill of %.0f %%",
			res.Realizations, res.Worst.Realization, 100*res.Worst.PeakFill)
	}
	return fmt.Sprintf("of %d realizations number %d overflowed first, after %.0f s", res.Realizations, res.Worst.Realization, res.Worst.Overflow)
}
