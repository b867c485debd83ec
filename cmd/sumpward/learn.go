package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"sumpward/report"
	"sumpward/report/page"
	"sumpward/report/plot"
	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim/learn"
)

// learnFlags are those of learn.
type learnFlags struct {
	scenario scenarioFlags
	output   outputFlags
	plot     plotFlags
	page     findingPage
	seed     uint64
	draws    int
	workers  int
	write    string
}

func newLearnCommand(a *app) *cobra.Command {
	var f learnFlags
	c := &cobra.Command{
		Use:   "learn [FILE SEEN]",
		Short: "What was seen narrows the inputs; the scenario, updated",
		Long: fmt.Sprintf(`Learn takes a scenario and a file of what was seen of the car since: oil drained
from the can, oil topped up, pressures, a timed pour, a hose wet or dry. It
updates the uncertain inputs by it (Bayes' rule on weighted draws): what is
known of each before and after, which must now be seen together, and the chance
of overflow and of a choked drain before and after.

With --write it writes the scenario anew, with the draws in a file beside it, so
that it can be run at once. It refuses where what was seen is next to impossible
under the inputs: an observation more than 5 of its errors from the nearest draw;
and what the scenario was learned from already, which would count twice.

It predicts what was seen up to some 100 times for each of %s draws:
seconds to a few minutes. Without FILE and SEEN it takes ready-made ones.`, words.Grouped(learn.Usual)),
		Example: `  sumpward learn my-car.yaml seen.yaml
  sumpward learn my-car.yaml seen.yaml --write my-car-now.yaml
  sumpward learn my-car.yaml seen.yaml --plot learned.svg`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 0 && len(args) != 2 {
				return fmt.Errorf("a scenario FILE and a file of what was SEEN are wanted (got %d): write for instance sumpward learn my-car.yaml seen.yaml", len(args))
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error { return f.run(a, c, args) },
	}
	f.scenario.add(c)
	c.Flags().Uint64Var(&f.seed, "seed", 1, "`SEED` of all draws instead of the scenario's")
	c.Flags().IntVar(&f.draws, "realizations", 0, fmt.Sprintf("take exactly `N` draws (%d)", learn.Usual))
	addWorkers(c, &f.workers)
	f.output.add(c)
	f.plot.add(c)
	f.page.add(c)
	c.Flags().StringVar(&f.write, "write", "", "write the updated scenario to a `FILE`, with its draws beside it")
	c.Flags().Lookup("force").Usage = "let -o, --plot, --report and --write replace a file"
	return c
}

// Between how many draws are possible; a scenario reads no more.
const (
	fewestDraws = 100
	mostDraws   = 20_000
)

func (f *learnFlags) run(a *app, c *cobra.Command, args []string) error {
	if err := f.prepare(c); err != nil {
		return err
	}
	s, seen, err := (&diagnoseFlags{scenario: f.scenario}).load(a, args)
	if err != nil {
		return err
	}
	if _, err := model(s); err != nil {
		return err
	}
	if err := a.notAgain(s, seen); err != nil {
		return err
	}
	o := learn.Options{Seed: s.Simulation.Seed, Draws: f.draws, Workers: f.workers}
	if c.Flags().Changed("seed") {
		o.Seed = f.seed
	}
	var finish func()
	o.Progress, finish = a.progress(-1)
	l, err := learn.Learn(c.Context(), s, seen, o)
	finish()
	u := units.System(f.output.units)
	var unfit *learn.UnfitError
	switch {
	case c.Context().Err() != nil:
		return interrupted{errors.New("interrupted: nothing was learned")}
	case errors.As(err, &unfit):
		return scenarioError{errors.New(report.Unfit(unfit, u))}
	case err != nil:
		return scenarioError{err}
	}
	a.warn(append(append(report.Warnings(s), seenWarnings(seen)...), l.Warnings...))
	if err := f.writeScenario(a, l); err != nil {
		return err
	}
	found := report.Learn{Learned: l, Units: u, Written: f.write}
	if err := f.output.emit(a, found); err != nil {
		return err
	}
	if err := f.page.write(a, f.output, c.Name(), func(w io.Writer, m page.Made) error { return page.WriteLearned(w, found, m) }); err != nil {
		return err
	}
	return f.plot.emit(a, plot.Learned{Learned: l, Units: u}, f.output.force)
}

// prepare checks, ahead of any work, flags and files.
func (f *learnFlags) prepare(c *cobra.Command) error {
	if c.Flags().Changed("realizations") && (f.draws < fewestDraws || f.draws > mostDraws) {
		return usageError{fmt.Errorf("--realizations: %d to %d draws are possible (got %d)", fewestDraws, mostDraws, f.draws)}
	}
	if err := checkWorkers(c, f.workers); err != nil {
		return err
	}
	if err := f.output.prepare(c); err != nil {
		return err
	}
	if err := f.plot.prepare(c, &f.output); err != nil {
		return err
	}
	if err := f.page.prepare(c, &f.output); err != nil {
		return err
	}
	if !c.Flags().Changed("write") {
		return nil
	}
	switch strings.ToLower(filepath.Ext(f.write)) {
	case ".yaml", ".yml":
	default:
		return usageError{fmt.Errorf("--write %s: a scenario's name ends in .yaml", f.write)}
	}
	if f.scenario.variant != "" || f.scenario.sessions != "" {
		return usageError{errors.New("--write with --variant or --sessions: what is written is the file itself with what was learned; write the variant or the sessions into the file first")}
	}
	for _, name := range []string{f.write, drawsFile(f.write)} {
		if err := mayWrite(name, f.output.force); err != nil {
			return err
		}
	}
	return nil
}

// drawsFile is the file of draws beside a scenario.
func drawsFile(scenario string) string {
	return strings.TrimSuffix(scenario, filepath.Ext(scenario)) + "-draws.csv"
}

// writeScenario writes the updated scenario with its draws, and reads it again.
func (f *learnFlags) writeScenario(a *app, l *learn.Learned) error {
	if f.write == "" {
		return nil
	}
	d := l.Drawn()
	d.File, d.From = filepath.Base(drawsFile(f.write)), seenName(l.Seen)
	source, err := l.Scenario.SourceWith(d.Block())
	if err != nil {
		return scenarioError{err}
	}
	var b bytes.Buffer
	if err := l.Scenario.WriteLearned(&b, d); err != nil {
		return err
	}
	if err := a.writeLog(l.Scenario.Example, filepath.Dir(f.write), f.output.force); err != nil {
		return err
	}
	if err := writeFile(drawsFile(f.write), b.Bytes(), f.output.force); err != nil {
		return err
	}
	if err := writeFile(f.write, source, f.output.force); err != nil {
		return err
	}
	a.say("wrote %s and %s; run it with: sumpward run %s", f.write, drawsFile(f.write), f.write)
	if _, err := scenarios.Load(f.write); err != nil {
		return fmt.Errorf("%s was written, but can't be read where it is; write it beside %s:\n%w", f.write, l.Scenario.File, err)
	}
	return nil
}

// seenWarnings lists the warnings about what was seen.
func seenWarnings(seen *scenarios.Seen) []string {
	return report.Warnings(&scenarios.Scenario{Warnings: seen.Warnings})
}
