package main

import (
	"context"

	"github.com/spf13/cobra"

	"sumpward/report"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

func newValidateCommand(a *app) *cobra.Command {
	return new(listing).command(a, &cobra.Command{
		Use:   "validate [FILE]",
		Short: "Check a scenario and list every input with its basis and source",
		Long: `Validate checks a scenario and lists every input: its value, whether it was
measured, stated or assumed, and the source of what was assumed. Then it says
what follows from them, without simulating anything in time: blow-by, oil used
as a rate at full throttle, what the separator catches, what the can holds by
direction, the lap. A scenario that is wrong gives all its problems on stderr
and exit code 4.`,
	}, func(ctx context.Context, s *scenarios.Scenario, u units.System) (report.Report, error) {
		circuit, follows, err := comesTo(ctx, s)
		if err != nil {
			return nil, err
		}
		return report.Inputs{Scenario: s, Follows: follows, Circuit: circuit, Units: u}, nil
	})
}

// Over how many realizations it is worked out what inputs come to: fewer of a long
// log, so that it takes no longer than a moment.
const (
	followed       = 500
	fewestFollowed = 100
	mostPhases     = 250_000 // in all
)

// comesTo works out what a scenario comes to before anything is simulated in time:
// the lap of its circuit, nil for another duty, and what follows from its inputs.
func comesTo(ctx context.Context, s *scenarios.Scenario) (*sim.CircuitLap, *sim.Follows, error) {
	m, err := model(s)
	if err != nil {
		return nil, nil, err
	}
	circuit, err := m.CircuitLap()
	if err != nil {
		return nil, nil, err
	}
	n := min(followed, max(fewestFollowed, mostPhases/max(len(m.Nominal().Lap), 1)))
	follows, err := m.Follows(ctx, s.Simulation.Seed, n)
	return circuit, follows, err
}
