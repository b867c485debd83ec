package main

import (
	"context"
	"github.com/spf13/cobra"

	"sumpward/report"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
)

func newLapCommand(a *app) *cobra.Command {
	var all bool
	c := new(listing).command(a, &cobra.Command{
		Use:   "lap [FILE]",
		Short: "The lap as the model sees it",
		Long: `Lap shows the phases of a lap (load and accelerations against time), the share
of full throttle and its bursts, and what was kept of a data log.`,
	}, func(_ context.Context, s *scenarios.Scenario, u units.System) (report.Report, error) {
		m, err := model(s)
		if err != nil {
			return nil, err
		}
		return report.Lap{Scenario: s, Car: m.Nominal(), Units: u, All: all}, nil
	})
	c.Flags().BoolVar(&all, "all", false, "list all phases of a long lap too")
	return c
}
