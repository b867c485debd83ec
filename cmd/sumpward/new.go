package main

import (
	"fmt"
	"path/filepath"
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
With --from it is one of the ready-made scenarios, with the log that it reads:
` + strings.Join(scenarios.ReadyNames(), ", ") + `.`,
		Example: `  sumpward new my-car.yaml
  sumpward new --from sealed-drain my-car.yaml`,
		Args: oneFile,
		RunE: func(_ *cobra.Command, args []string) error {
			data := scenarios.Template()
			if from != "" {
				if data = scenarios.ReadySource(from); data == nil {
					return usageError{fmt.Errorf("--from %s: there is no ready-made scenario of that name: use one of %s%s", from, strings.Join(scenarios.ReadyNames(), ", "), didYouMean(from))}
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
			return a.writeLog(from, filepath.Dir(args[0]), force)
		},
	}
	c.Flags().StringVar(&from, "from", "", "start from a ready-made scenario by `NAME`")
	c.Flags().BoolVar(&force, "force", false, "replace FILE if it exists")
	_ = c.RegisterFlagCompletionFunc("from", cobra.FixedCompletions(scenarios.ReadyNames(), cobra.ShellCompDirectiveNoFileComp))
	return c
}

// writeLog writes the log that a ready-made scenario reads beside it.
func (a *app) writeLog(from, folder string, force bool) error {
	if from == "" {
		return nil
	}
	s, err := scenarios.Ready(from)
	if err != nil || s.Duty.Log == nil {
		return err
	}
	name := filepath.Join(folder, s.Duty.Log.File)
	if err := writeFile(name, scenarios.ReadyFile(s.Duty.Log.File), force); err != nil {
		return err
	}
	a.say("wrote %s, the data log that it reads", name)
	return nil
}
