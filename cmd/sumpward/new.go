package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"sumpward/scenarios"
)

func newNewCommand(a *app) *cobra.Command {
	var from string
	var force, shelf bool
	var ranges presetFlags
	c := &cobra.Command{
		Use:   "new [FILE]",
		Short: "Write a scenario, or a shelf, to start from",
		Long: `New writes a commented scenario to FILE, or to stdout without one (or with -).
With --from it is one of the ready-made scenarios, with the log that it reads:
` + strings.Join(scenarios.ReadyNames(), ", ") + `.
With --shelf it is the ready-made shelf of cans and places, for choose.
` + presetHelp(),
		Example: `  sumpward new my-car.yaml
  sumpward new --engine "flat four turbo" --use "track day" my-car.yaml
  sumpward new --from sealed-drain my-car.yaml
  sumpward new --shelf my-shelf.yaml`,
		Args: oneFile,
		RunE: func(c *cobra.Command, args []string) error {
			data, use := scenarios.Template(), "check it with: sumpward validate"
			switch {
			case ranges.given(c):
				var err error
				if data, err = ranges.write(c); err != nil {
					return err
				}
				use = "ranges, not your car: write in what you know; see what is assumed with: sumpward validate"
			case shelf && from != "":
				return usageError{errors.New("--from and --shelf: a scenario or a shelf, one at a time")}
			case shelf:
				data, use = scenarios.ReadyShelfSource(), "use it with: sumpward choose FILE"
			case from != "":
				if data = scenarios.ReadySource(from); data == nil {
					return usageError{fmt.Errorf("--from %s: there is no ready-made scenario of that name: use one of %s%s", from, strings.Join(scenarios.ReadyNames(), ", "), didYouMean(from))}
				}
			}
			if len(args) == 0 || args[0] == "-" {
				_, err := a.stdout.Write(data)
				return err
			}
			if err := mayWrite(args[0], force); err != nil {
				return err
			}
			if err := a.writeLog(from, filepath.Dir(args[0]), force); err != nil {
				return err
			}
			if err := writeFile(args[0], data, force); err != nil {
				return err
			}
			a.say("wrote %s; %s %s", args[0], use, args[0])
			return nil
		},
	}
	c.Flags().StringVar(&from, "from", "", "start from a ready-made scenario by `NAME`")
	c.Flags().BoolVar(&shelf, "shelf", false, "write a shelf of cans and places instead of a scenario")
	ranges.add(c)
	c.Flags().BoolVar(&force, "force", false, "replace FILE if it exists")
	_ = c.RegisterFlagCompletionFunc("from", cobra.FixedCompletions(scenarios.ReadyNames(), cobra.ShellCompDirectiveNoFileComp))
	return c
}

// writeLog writes the log that a ready-made scenario reads beside it, unless it is there.
func (a *app) writeLog(from, folder string, force bool) error {
	if from == "" {
		return nil
	}
	s, err := scenarios.Ready(from)
	if err != nil || s.Duty.Log == nil {
		return err
	}
	name, data := filepath.Join(folder, s.Duty.Log.File), scenarios.ReadyFile(s.Duty.Log.File)
	if holds(name, data) {
		return nil
	}
	if err := writeFile(name, data, force); err != nil {
		return err
	}
	a.say("wrote %s, the data log that it reads", name)
	return nil
}
