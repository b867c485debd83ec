package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"sumpward/report"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim/decide"
)

// measureFlags are those of measure.
type measureFlags struct {
	scenario scenarioFlags
	sampling samplingFlags
	output   outputFlags
	sheet    string
}

// allSheets stands for every sheet of a scenario.
const allSheets = "all"

func newMeasureCommand(a *app) *cobra.Command {
	var f measureFlags
	c := &cobra.Command{
		Use:   "measure [FILE]",
		Short: "The tests that would settle the verdict, with sheets to fill in",
		Long: `Measure simulates a scenario as run does, finds what its verdict depends on, and
lists the bench and track tests that read it: the minutes that each takes, how
many of 100 readings would decide, and how far the chance still moves after one.

With --sheet it prints the sheet of a test instead, without simulating: what is
needed, how to do it safely, the steps, blanks for what was read, and the lines
to write into the scenario.`,
		Example: `  sumpward measure my-car.yaml
  sumpward measure my-car.yaml --sheet tape
  sumpward measure my-car.yaml --sheet all -o sheets.md`,
		Args: oneFile,
		RunE: func(c *cobra.Command, args []string) error { return f.run(a, c, args) },
	}
	f.scenario.add(c)
	f.sampling.add(c)
	f.output.add(c)
	c.Flags().StringVar(&f.sheet, "sheet", "", "print the sheet of the test called `NAME`; all: of every test that reads an input of the scenario")
	_ = c.RegisterFlagCompletionFunc("sheet", cobra.FixedCompletions(sheetNames(), cobra.ShellCompDirectiveNoFileComp))
	return c
}

func sheetNames() []string {
	names := []string{allSheets}
	for _, t := range decide.Tests() {
		names = append(names, t.Name)
	}
	return names
}

func (f *measureFlags) run(a *app, c *cobra.Command, args []string) error {
	options, err := f.sampling.options(c)
	if err != nil {
		return err
	}
	if err := f.output.prepare(c); err != nil {
		return err
	}
	if c.Flags().Changed("sheet") {
		return f.sheets(a, args)
	}
	s, err := f.scenario.load(a, args)
	if err != nil {
		return err
	}
	options.Keep = keptForRestsOn
	m, res, err := a.simulate(c.Context(), s, options)
	if err != nil {
		return err
	}
	if res.Interrupted {
		return interrupted{errors.New("interrupted: nothing can be said of what to measure")}
	}
	d, besides, err := a.restsOn(c.Context(), m, res, options)
	if err != nil {
		return err
	}
	if d != nil && !d.Depends() && len(besides) > 0 {
		d = besides[0]
	}
	if d == nil {
		return interrupted{c.Context().Err()}
	}
	options.Seed = &res.Seed
	settlement, err := decide.Settle(c.Context(), m, d, options, decide.Tests()...)
	if err != nil {
		return err
	}
	a.warn(res.Warnings)
	return f.output.emit(a, report.Measure{Settlement: settlement, Units: units.System(f.output.units), Seed: res.Seed, Rested: res.Realizations})
}

// sheets prints the sheet of one test, or of all that read an input of the scenario.
func (f *measureFlags) sheets(a *app, args []string) error {
	var tests []decide.Test
	if f.sheet != allSheets {
		t, err := decide.TestNamed(f.sheet)
		if err != nil {
			return usageError{fmt.Errorf("--sheet: %w; or %s", err, allSheets)}
		}
		tests = append(tests, t)
	}
	s, err := f.scenario.load(a, args)
	if err != nil {
		return err
	}
	if f.sheet == allSheets {
		tests = decide.TestsFor(s)
	}
	f.unread(a, s, tests)
	return f.output.emit(a, report.MeasureSheets{Scenario: s, Tests: tests, Units: units.System(f.output.units)})
}

// unread says where a test reads nothing that the layout has.
func (f *measureFlags) unread(a *app, s *scenarios.Scenario, tests []decide.Test) {
	if len(tests) == 0 {
		a.say("no test reads an input of this scenario that is uncertain and not measured")
		return
	}
	if f.sheet != allSheets && len(tests[0].WritesFor(s)) == 0 {
		a.say("the layout has no input that this test reads")
	}
}
