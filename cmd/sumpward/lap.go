package main

import (
	"errors"

	"github.com/spf13/cobra"

	"sumpward/report"
	"sumpward/report/plot"
	"sumpward/scenarios/units"
)

// lapFlags are those of lap.
type lapFlags struct {
	scenario scenarioFlags
	output   outputFlags
	plot     plotFlags
	all      bool
	samples  bool
}

func newLapCommand(a *app) *cobra.Command {
	var f lapFlags
	c := &cobra.Command{
		Use:   "lap [FILE]",
		Short: "The lap as the model sees it",
		Long: `Lap shows the phases of a lap (load and accelerations against time), the
share of full throttle and its bursts, and what was kept of a data log. Of a
circuit it shows where each phase begins, how fast the car is in it on average,
and how the lap spreads with what is not known of the car. --plot draws the lap.`,
		Example: `  sumpward lap my-car.yaml
  sumpward lap my-car.yaml --plot lap.svg
  sumpward lap my-car.yaml --format csv --samples -o lap.csv`,
		Args: oneFile,
		RunE: func(c *cobra.Command, args []string) error { return f.run(a, c, args) },
	}
	f.scenario.add(c)
	f.output.add(c)
	f.plot.add(c)
	c.Flags().BoolVar(&f.all, "all", false, "list all phases of a long lap too, and draw all laps of a log")
	c.Flags().BoolVar(&f.samples, "samples", false, "with csv and json: the lap of a circuit every few metres")
	return c
}

func (f *lapFlags) run(a *app, c *cobra.Command, args []string) error {
	if err := f.output.prepare(c); err != nil {
		return err
	}
	if err := f.plot.prepare(c, &f.output); err != nil {
		return err
	}
	if format := report.Format(f.output.format); f.samples && format != report.CSV && format != report.JSON {
		return usageError{errors.New("--samples goes with --format csv or json")}
	}
	s, err := f.scenario.load(a, args)
	if err != nil {
		return err
	}
	if f.samples && s.Duty.Circuit == nil {
		return usageError{errors.New("--samples: the duty of this scenario is no circuit: leave it out to get the phases")}
	}
	m, err := model(s)
	if err != nil {
		return err
	}
	r := report.Lap{Scenario: s, Car: m.Nominal(), Units: units.System(f.output.units), All: f.all, Samples: f.samples}
	if s.Duty.Circuit != nil {
		if r.Circuit, r.Follows, err = comesTo(c.Context(), s); err != nil {
			return err
		}
	}
	a.warn(report.Warnings(s))
	if err := f.output.emit(a, r); err != nil {
		return err
	}
	return f.plot.emit(a, plot.Lap{Scenario: s, Car: r.Car, Circuit: r.Circuit, Units: r.Units, All: f.all}, f.output.force)
}
