package main

import (
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"sumpward/report"
	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// runFlags are those of run.
type runFlags struct {
	scenario scenarioFlags
	sampling samplingFlags
	output   outputFlags
	kept     keptFlags
	page     pageFlags
	card     cardFlags
	rare     rareFlags
	require  []string
	quick    bool
}

func newRunCommand(a *app) *cobra.Command {
	var f runFlags
	c := &cobra.Command{
		Use:   "run [FILE]",
		Short: "The chance of overflow, choked drain, over-pressure and oil lost",
		Long: `Run simulates many sessions of a scenario and gives, for each session length,
the chance that the can overflows, that its drain backs up, that crankcase
pressure goes over its limit and that too much oil is lost.`,
		Example: `  sumpward run
  sumpward run my-car.yaml --sessions 20min,1h --units us
  sumpward run my-car.yaml --report page.html --price "larger can=240 EUR"
  sumpward run my-car.yaml --require "overflow < 1 % at 20 min"
  sumpward run my-car.yaml --sessions 4h --card card.html`,
		Args: oneFile,
		RunE: func(c *cobra.Command, args []string) error { return f.run(a, c, args) },
	}
	f.scenario.add(c)
	f.sampling.add(c)
	f.output.add(c)
	f.kept.add(c)
	f.page.add(c)
	f.card.add(c)
	f.rare.add(c)
	c.Flags().StringArrayVar(&f.require, "require", nil,
		"a `LIMIT` that the whole interval must keep, else the exit code is 5, or 6 where it depends on an input that is not measured: \"overflow < 1 % at 25 min\"; also drain choked, over-pressure, oil lost")
	c.Flags().BoolVar(&f.quick, "quick", false, "chances alone: leave out what they rest on")
	return c
}

func (f *runFlags) run(a *app, c *cobra.Command, args []string) error {
	required, err := requirements(f.require)
	if err != nil {
		return err
	}
	options, err := f.sampling.options(c)
	if err != nil {
		return err
	}
	if err := f.rare.prepare(c, &f.kept); err != nil {
		return err
	}
	if err := f.kept.prepare(a, c, &f.output); err != nil {
		return err
	}
	if err := f.page.prepare(c, &f.output); err != nil {
		return err
	}
	if err := f.card.prepare(c, &f.output, f.page.file); err != nil {
		return err
	}
	s, err := f.scenario.load(a, args)
	if err != nil {
		return err
	}
	layouts, err := f.page.options(s)
	if err != nil {
		return err
	}
	for _, r := range required {
		if err := r.SessionLengths(s.Sessions); err != nil {
			return usageError{err}
		}
	}
	if !f.quick {
		options.Keep = keptForRestsOn
	}
	w, err := f.kept.open(a, c, args, s, options, f.output.force)
	if err != nil {
		return err
	}
	w.options(&options)
	if w.wantsShard() {
		return f.shard(a, c, s, options, w)
	}
	m, res, err := a.simulate(c.Context(), s, options)
	if err != nil {
		return w.cutShort(c.Context(), err)
	}
	options.Partial = false // what the result rests on is simulated
	r := report.Run{Result: res, Units: units.System(f.output.units)}
	if r.Requirements, err = a.judged(c.Context(), required, m, res, options, f.quick); err != nil {
		return err
	}
	if !f.quick && f.output.tells() {
		if r.Dependence, r.Besides, err = a.restsOn(c.Context(), m, res, options); err != nil {
			return err
		}
	}
	if !f.quick && f.output.tells() {
		if r.Emptying, err = a.emptying(c.Context(), m, res, options); err != nil {
			return err
		}
	}
	if r.Rare, err = f.rare.find(c.Context(), a, m, res, options); err != nil {
		return err
	}
	if err := w.goneOn(c.Context()); err != nil {
		return err
	}
	r.CutShort = !res.Interrupted && c.Context().Err() != nil && f.worksOut()
	a.warn(res.Warnings)
	if err := f.output.emit(a, r); err != nil {
		return err
	}
	if r.CutShort {
		return f.cutShort(a, res)
	}
	err = f.page.write(c.Context(), a, pageContent{
		command: "run", scenario: s, result: res, sampling: options, layouts: layouts, rests: r.Dependence, emptying: r.Emptying, quick: f.quick,
		units: r.Units, force: f.output.force,
	})
	if err != nil {
		return w.cutShort(c.Context(), err)
	}
	if !res.Interrupted {
		if err := f.card.write(c.Context(), a, s, options, &f.output); err != nil {
			return w.cutShort(c.Context(), err)
		}
	}
	if err := w.done(c.Context()); err != nil {
		return err
	}
	return judge(res, r.Requirements, r.Units)
}

// worksOut reports whether more is to be worked out from a run for the report.
func (f *runFlags) worksOut() bool {
	return f.rare.rare || !f.quick && (f.output.tells() || len(f.require) > 0)
}

// cutShort is the error of a run that was finished, but not what is worked out from it.
func (f *runFlags) cutShort(a *app, res *sim.Result) error {
	if f.page.wanted() {
		a.say("no page: the run was interrupted")
	}
	if f.card.file != "" {
		a.say("no card: the run was interrupted")
	}
	return interrupted{fmt.Errorf("interrupted: the report covers all %s realizations, but leaves out what was still to be worked out from them", words.Grouped(int64(res.Realizations)))}
}

// shard simulates a shard of the run and writes it.
func (f *runFlags) shard(a *app, c *cobra.Command, s *scenarios.Scenario, o sim.Options, w *work) error {
	m, err := model(s)
	if err != nil {
		return err
	}
	var finish func()
	o.Progress, finish = a.progress(-1)
	defer finish()
	return w.writeShard(c.Context(), &f.output, func(shard decide.Shard) (decide.Extent, error) {
		return decide.RunShard(c.Context(), m, o, shard)
	})
}

func requirements(texts []string) ([]report.Requirement, error) {
	var list []report.Requirement
	for _, text := range texts {
		r, err := report.ParseRequirement(text)
		if err != nil {
			return nil, usageError{err}
		}
		list = append(list, r)
	}
	return list, nil
}

// simulate runs a scenario, with a progress bar on a terminal.
func (a *app) simulate(ctx context.Context, s *scenarios.Scenario, o sim.Options) (*sim.Model, *sim.Result, error) {
	m, err := model(s)
	if err != nil {
		return nil, nil, err
	}
	total := -1
	switch {
	case o.Realizations > 0:
		total = o.Realizations
	case o.SamplingError == 0 && s.Simulation.Realizations > 0:
		total = s.Simulation.Realizations
	}
	var finish func()
	o.Progress, finish = a.progress(total)
	defer finish()
	res, err := m.Run(ctx, o)
	return m, res, err
}

// judge is the error of a run that was cut short, or of a requirement that isn't
// met for sure: one that isn't, or can't be told, comes before one that depends.
func judge(res *sim.Result, checked []report.RequirementResult, u units.System) error {
	if res.Interrupted {
		return interrupted{fmt.Errorf("interrupted: the report covers the %s realizations that were finished", words.Grouped(int64(res.Realizations)))}
	}
	var failed, depends []error
	for _, r := range checked {
		text := "required " + r.Text(u)
		switch r.Outcome {
		case report.Met:
		case report.Depends:
			depends = append(depends, errors.New(text))
		case report.Undecided:
			failed = append(failed, errors.New(text+": run more realizations to decide it"))
		default:
			failed = append(failed, errors.New(text))
		}
	}
	switch all := errors.Join(append(failed, depends...)...); {
	case len(failed) > 0:
		return requirementError{all}
	case len(depends) > 0:
		return dependsError{all}
	}
	return nil
}
