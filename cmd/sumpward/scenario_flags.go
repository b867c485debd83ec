package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// scenarioFlags say which scenario is meant.
type scenarioFlags struct {
	variant  string
	sessions string
}

func (f *scenarioFlags) add(c *cobra.Command) {
	c.Flags().StringVar(&f.variant, "variant", "", "a `NAME`d variant of the scenario")
	c.Flags().StringVar(&f.sessions, "sessions", "", "session `LENGTHS` instead of the scenario's: 15min,25min")
	c.ValidArgsFunction = completeScenario
	_ = c.RegisterFlagCompletionFunc("variant", completeVariant)
}

// oneFile lets a command take one file or none.
func oneFile(_ *cobra.Command, args []string) error {
	if len(args) > 1 {
		return fmt.Errorf("one FILE at most (got %d: %s): quote a name that holds spaces", len(args), strings.Join(args, ", "))
	}
	return nil
}

// completeScenario offers the ready-made scenarios beside files.
func completeScenario(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	if len(args) > 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return scenarios.ReadyNames(), cobra.ShellCompDirectiveDefault
}

// completeVariant offers the variants of the scenario that the command line names.
func completeVariant(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	s, err := (&app{stderr: io.Discard}).named(args)
	if err != nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return s.Variants, cobra.ShellCompDirectiveNoFileComp
}

// load returns the scenario that the command line names.
func (f *scenarioFlags) load(a *app, args []string) (*scenarios.Scenario, error) {
	lengths, err := sessionLengths(f.sessions)
	if err != nil {
		return nil, err
	}
	s, err := a.named(args)
	if err == nil && f.variant != "" {
		s, err = s.Variant(f.variant)
	}
	if err != nil || lengths == "" {
		return s, err
	}
	if s, err = s.With(scenarios.Change{Path: "sessions", Value: lengths}); err != nil {
		return nil, usageError{fmt.Errorf("--sessions %s: %w", f.sessions, ofAFlag(err))}
	}
	return s, nil
}

// ofAFlag takes out of problems with a scenario what speaks of its file.
func ofAFlag(err error) error {
	var problems scenarios.Problems
	if !errors.As(err, &problems) {
		return err
	}
	var list []string
	for _, p := range problems {
		list = append(list, p.What)
	}
	return errors.New(strings.Join(list, "; ") + "\n  write for instance --sessions 15min,25min")
}

// sessionLengths turns "15min,25min" to the list that a scenario holds.
func sessionLengths(flag string) (string, error) {
	if strings.TrimSpace(flag) == "" {
		return "", nil
	}
	var list []string
	for part := range strings.SplitSeq(flag, ",") {
		if _, err := units.Parse(part, units.Time); err != nil {
			if e := (*units.Error)(nil); errors.As(err, &e) && e.What == units.MissingUnit {
				inMinutes := *e
				inMinutes.Hint = "write " + strings.TrimSpace(part) + "min"
				err = &inMinutes
			}
			return "", usageError{fmt.Errorf("--sessions %s: %w", flag, err)}
		}
		list = append(list, strings.TrimSpace(part))
	}
	return "[" + strings.Join(list, ", ") + "]", nil
}

// named loads a file, or else a ready-made scenario.
func (a *app) named(args []string) (*scenarios.Scenario, error) {
	name := scenarios.DefaultReady
	if len(args) > 0 {
		name = args[0]
		_, err := os.Stat(name)
		switch {
		case err == nil:
			s, err := scenarios.Load(name)
			if err != nil {
				return nil, scenarioError{err}
			}
			return s, nil
		case !errors.Is(err, fs.ErrNotExist):
			return nil, scenarioError{fmt.Errorf("read scenario: %w", err)}
		case scenarios.ReadySource(name) == nil:
			return nil, scenarioError{fmt.Errorf("there is no file %q, nor a ready-made scenario of that name (there are %s)%s\n  to start a file: sumpward new FILE",
				name, strings.Join(scenarios.ReadyNames(), ", "), didYouMean(name))}
		}
	}
	a.say("this is the ready-made scenario %s: an example, not your car", name)
	return scenarios.Ready(name)
}

// model makes a scenario ready to be simulated.
func model(s *scenarios.Scenario) (*sim.Model, error) {
	m, err := sim.NewModel(s)
	if err != nil {
		return nil, scenarioError{err}
	}
	return m, nil
}
