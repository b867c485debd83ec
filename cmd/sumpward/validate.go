package main

import (
	"context"
	"github.com/spf13/cobra"

	"sumpward/report"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
)

func newValidateCommand(a *app) *cobra.Command {
	return new(listing).command(a, &cobra.Command{
		Use:   "validate [FILE]",
		Short: "Check a scenario and list every input with its basis and source",
		Long: `Validate checks a scenario and lists every input: its value, whether it was
measured, stated or assumed, and the source of what was assumed. A scenario that
is wrong gives all its problems on stderr and exit code 4.`,
	}, func(_ context.Context, s *scenarios.Scenario, u units.System) (report.Report, error) {
		if _, err := model(s); err != nil {
			return nil, err
		}
		return report.Inputs{Scenario: s, Units: u}, nil
	})
}
