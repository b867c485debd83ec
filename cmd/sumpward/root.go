package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"sumpward/report"
	"sumpward/scenarios"
)

func newRootCommand(a *app) *cobra.Command {
	c := &cobra.Command{
		Use:   "sumpward",
		Short: "The chance that an oil separator overflows or its drain backs up on track",
		Long: `Sumpward simulates how an oil separator in a crankcase breather fills and drains
during track sessions. From a scenario (one layout, one kind of day) it gives,
for each session length, the chance that the can overflows and that its drain
backs up.

FILE is a scenario, or the name of a ready-made one:
` + strings.Join(scenarios.ReadyNames(), ", ") + `.
Without FILE the ready-made ` + scenarios.DefaultReady + ` is taken: an example, not your car.
Without a command, on a terminal, it asks about your car.

Results go to stdout, everything else to stderr. Exit codes: 0 done, 1 failed,
3 command line, 4 scenario, 5 a requirement is not met, 6 it depends on an input
that is not measured, 130 interrupted.`,
		Example: `  sumpward ask
  sumpward run
  sumpward new my-car.yaml
  sumpward run my-car.yaml --require "overflow < 1 % at 25 min"`,
		Version:       version(),
		SilenceErrors: true,
		SilenceUsage:  true,
		PersistentPreRunE: func(c *cobra.Command, args []string) error {
			a.running = true
			return sparesInputs(c, args)
		},
		DisableAutoGenTag: true,
	}
	c.SetFlagErrorFunc(flagError)
	c.SetVersionTemplate("{{.Version}}\n")
	c.SetUsageTemplate(strings.ReplaceAll(c.UsageTemplate(), ".FlagUsages", fmt.Sprintf(".FlagUsagesWrapped %d", report.Width)))
	c.AddCommand(
		newRunCommand(a), newSizeCommand(a),
		newCompareCommand(a), newVaryCommand(a),
		newValidateCommand(a), newDrainCheckCommand(a), newReplayCommand(a),
		newLapCommand(a), newNewCommand(a), newSchemaCommand(a), newVersionCommand(a),
	)
	c.AddCommand(newMeasureCommand(a))
	c.AddCommand(newLearnCommand(a))
	c.AddCommand(newLogbookCommand(a))
	c.AddCommand(newDiagnoseCommand(a))
	c.AddCommand(newSensitivityCommand(a))
	c.AddCommand(newChooseCommand(a), newAskCommand(a))
	c.AddCommand(newMergeCommand(a), newClusterCommand(a))
	c.RunE = func(c *cobra.Command, _ []string) error { return a.bare(c) }
	return c
}
