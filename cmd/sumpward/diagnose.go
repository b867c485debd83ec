package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"github.com/spf13/cobra"

	"sumpward/report"
	"sumpward/report/page"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim/diagnose"
)

// diagnoseFlags are those of diagnose.
type diagnoseFlags struct {
	scenario scenarioFlags
	output   outputFlags
	page     findingPage
	faults   string
	looked   []string
	boosted  bool
	seed     uint64
	draws    int
	workers  int
}

func newDiagnoseCommand(a *app) *cobra.Command {
	var f diagnoseFlags
	c := &cobra.Command{
		Use:   "diagnose [FILE SEEN]",
		Short: "Which fault fits what was seen of a car, and what to check next",
		Long: `Diagnose takes a scenario and a file of what was seen of the car since: oil topped
up, oil in the can, a wet vent hose, pressures, a timed pour. For each fault that
the layout can have it draws many cars and looks how likely they would have shown
that: which faults fit, which don't, which can't be told apart. Then it lists what
could be checked next, by what that would tell for its minutes.

What was found by looking goes behind --looked: "hose=low point", hose=nothing.
Without FILE and SEEN it takes ready-made ones: an example, not your car.`,
		Example: `  sumpward diagnose
  sumpward diagnose my-car.yaml seen.yaml
  sumpward diagnose my-car.yaml seen.yaml --looked hose=nothing
  sumpward diagnose my-car.yaml seen.yaml --faults own-faults.yaml`,
		Args: fileAndSeen,
		RunE: func(c *cobra.Command, args []string) error { return f.run(a, c, args) },
	}
	f.scenario.add(c)
	f.output.add(c)
	f.page.add(c)
	c.Flags().StringVar(&f.faults, "faults", "", "a `FILE` of further faults; one of the same name takes the place of a built-in one")
	c.Flags().StringArrayVar(&f.looked, "looked", nil, "a look and what it `FOUND`: \"hose=low point\", hose=nothing; may stand again")
	c.Flags().BoolVar(&f.boosted, "boosted", false, "the engine has boost, though the scenario doesn't say so")
	c.Flags().Uint64Var(&f.seed, "seed", 1, "`SEED` of all draws instead of the scenario's")
	c.Flags().IntVar(&f.draws, "realizations", 0, "draw exactly `N` cars with each fault")
	addWorkers(c, &f.workers)
	return c
}

// fileAndSeen lets a command take a scenario and what was seen, or neither.
func fileAndSeen(_ *cobra.Command, args []string) error {
	if len(args) != 0 && len(args) != 2 {
		return fmt.Errorf("a scenario FILE and a file of what was SEEN are wanted (got %d): write for instance sumpward diagnose my-car.yaml seen.yaml", len(args))
	}
	return nil
}

func (f *diagnoseFlags) run(a *app, c *cobra.Command, args []string) error {
	options, err := f.options(c)
	if err != nil {
		return err
	}
	if err := f.output.prepare(c); err != nil {
		return err
	}
	if err := f.page.prepare(c, &f.output); err != nil {
		return err
	}
	s, seen, err := f.load(a, args)
	if err != nil {
		return err
	}
	if len(seen.Observations) == 0 && len(options.Looked) == 0 {
		return scenarioError{fmt.Errorf("nothing was seen: write what was seen into the file, or give --looked")}
	}
	if _, err := model(s); err != nil {
		return err
	}
	var finish func()
	options.Progress, finish = a.progress(-1)
	found, err := diagnose.Diagnose(c.Context(), s, seen.Observations, options)
	finish()
	var wrong *diagnose.InputError
	switch {
	case c.Context().Err() != nil:
		return interrupted{errors.New("interrupted: nothing can be said of what is wrong")}
	case errors.As(err, &wrong):
		return usageError{fmt.Errorf("--%s: %w", wrong.Of, err)}
	case err != nil:
		return err
	}
	a.warn(report.Warnings(s))
	a.countedTwice(s, seen)
	r := report.Diagnose{Found: found, Seen: seen, Units: units.System(f.output.units)}
	if err := f.output.emit(a, r); err != nil {
		return err
	}
	return f.page.write(a, f.output, c.Name(), func(w io.Writer, m page.Made) error { return page.WriteDiagnosis(w, r, m) })
}

// options checks the flags.
func (f *diagnoseFlags) options(c *cobra.Command) (diagnose.Options, error) {
	o := diagnose.Options{Draws: f.draws, Workers: f.workers, Boosted: f.boosted}
	if c.Flags().Changed("seed") {
		o.Seed = &f.seed
	}
	const mostDraws = 1_000_000
	if c.Flags().Changed("realizations") && (f.draws < 100 || f.draws > mostDraws) {
		return o, usageError{fmt.Errorf("--realizations: 100 to %d of each fault are possible (got %d)", mostDraws, f.draws)}
	}
	if err := checkWorkers(c, f.workers); err != nil {
		return o, err
	}
	for _, text := range f.looked {
		l, err := diagnose.ParseLook(text)
		if err != nil {
			return o, usageError{fmt.Errorf("--looked: %w", err)}
		}
		o.Looked = append(o.Looked, l)
	}
	if f.faults != "" {
		var err error
		if o.Faults, err = diagnose.LoadFaults(f.faults); err != nil {
			return o, faultsError{fmt.Errorf("--faults: %w", err)}
		}
	}
	return o, nil
}

// load reads the scenario and what was seen.
func (f *diagnoseFlags) load(a *app, args []string) (*scenarios.Scenario, *scenarios.Seen, error) {
	if len(args) == 0 {
		s, err := f.scenario.load(a, nil)
		if err != nil {
			return nil, nil, err
		}
		seen, err := scenarios.ReadySeen()
		return s, seen, err
	}
	s, err := f.scenario.load(a, args[:1])
	if err != nil {
		return nil, nil, err
	}
	if args[1] == scenarios.ReadySeenName {
		if _, err := os.Stat(args[1]); errors.Is(err, fs.ErrNotExist) {
			seen, err := scenarios.ReadySeen()
			return s, seen, err
		}
	}
	seen, err := scenarios.LoadSeen(args[1])
	if err != nil {
		return nil, nil, seenError{err}
	}
	return s, seen, nil
}
