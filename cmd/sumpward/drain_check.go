package main

import (
	"context"

	"github.com/spf13/cobra"

	"sumpward/report"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim/decide"
)

func newDrainCheckCommand(a *app) *cobra.Command {
	var all bool
	c := new(listing).command(a, &cobra.Command{
		Use:   "drain-check [FILE]",
		Short: "Pressures and heights along the drain, without sampling",
		Long: `Drain-check works out, at nominal values and settled oil, what holds the drain
in each phase of the lap: the pressures, the column of oil that they take, the
fall there is, and the margin between the two. For a drain without a seal it
gives the speed of the gas that goes up it against the speed that holds all oil
up. Then it lists what to change first: the full throttle in hand with more
fall, a larger can, a larger bore, a seal, a second breather circuit.`,
	}, func(ctx context.Context, s *scenarios.Scenario, u units.System) (report.Report, error) {
		m, err := model(s)
		if err != nil {
			return nil, err
		}
		check, err := m.CheckDrain(ctx)
		if err != nil {
			return nil, err
		}
		gains, err := decide.WhatToChange(ctx, s, u)
		if err != nil {
			return nil, err
		}
		return report.DrainCheck{Scenario: s, Check: check, Units: u, All: all, Gains: gains}, nil
	})
	c.Flags().BoolVar(&all, "all", false, "list all phases of a long lap too")
	return c
}
