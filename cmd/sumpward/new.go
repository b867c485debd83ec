package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"sumpward/scenarios"
)

func newNewCommand(a *app) *cobra.Command {
	var from string
	var force bool
	c := &cobra.Command{
		Use:   "new [FILE]",
		Short: "Write a scenario to start from",
		Long: `New writes a commented scenario to FILE, or to stdout without one (or with -).
With --from it is one of the ready-made scenarios:
` + strings.Join(scenarios.ReadyNames(), ", ") + `.`,
		Example: `  sumpward new my-car.yaml
  sumpward new --from sealed-drain my-car.yaml`,
		Args: oneFile,
		RunE: func(_ *cobra.Command, args []string) error {
			data := scenarios.Template()
			if from != "" {
				if data = scenarios.ReadySource(from); data == nil {
					return usageError{fmt.Errorf("--from %s: there is no ready-made scenario of that name: use one of %s", from, strings.Join(scenarios.ReadyNames(), ", "))}
				}
			}
			if len(args) == 0 || args[0] == "-" {
				_, err := a.stdout.Write(data)
				return err
			}
			if err := writeFile(args[0], data, force); err != nil {
				return err
			}
			a.say("wrote %s; check it with: sumpward validate %s", args[0], args[0])
			return a.tellOfLog(from)
		},
	}
	c.Flags().StringVar(&from, "from", "", "start from a ready-made scenario by `NAME`")
	c.Flags().BoolVar(&force, "force", false, "replace FILE if it exists")
	_ = c.RegisterFlagCompletionFunc("from", cobra.FixedCompletions(scenarios.ReadyNames(), cobra.ShellCompDirectiveNoFileComp))
	return c
}

// tellOfLog says so when a ready-made scenario reads a log, which has to lie
// beside it.
func (a *app) tellOfLog(from string) error {
	if from == "" {
		return nil
	}
	s, err := scenarios.Ready(from)
	if err != nil || s.Duty.Log == nil {
		return err
	}
	a.say("it reads the log %s, which has to lie beside it: copy scenarios/ready/%s of the source, or name a log of your own",
		s.Duty.Log.File, s.Duty.Log.File)
	return nil
}
