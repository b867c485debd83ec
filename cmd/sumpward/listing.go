package main

import (
	"context"
	"github.com/spf13/cobra"

	"sumpward/report"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
)

// listing is a command that looks at one scenario and reports without sampling.
type listing struct {
	scenario scenarioFlags
	output   outputFlags
}

// command adds what all such commands have; look makes the report.
func (l *listing) command(a *app, c *cobra.Command, look func(context.Context, *scenarios.Scenario, units.System) (report.Report, error)) *cobra.Command {
	c.Args = oneFile
	c.RunE = func(c *cobra.Command, args []string) error {
		if err := l.output.prepare(c); err != nil {
			return err
		}
		s, err := l.scenario.load(a, args)
		if err != nil {
			return err
		}
		r, err := look(c.Context(), s, units.System(l.output.units))
		if err != nil {
			return err
		}
		a.warn(report.Warnings(s))
		return l.output.emit(a, r)
	}
	l.scenario.add(c)
	l.output.add(c)
	return c
}
