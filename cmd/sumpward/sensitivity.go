package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"runtime"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"sumpward/report"
	"sumpward/report/page"
	"sumpward/report/plot"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/sensitivity"
)

// sensitivityFlags are those of sensitivity.
type sensitivityFlags struct {
	scenario scenarioFlags
	sampling samplingFlags
	output   outputFlags
	plot     plotFlags
	page     findingPage
	session  string
	by       string
	of       string
}

// mostForIndices is the most realizations that fit in memory: the outcome of each is
// kept.
const mostForIndices = 20_000_000

func newSensitivityCommand(a *app) *cobra.Command {
	var f sensitivityFlags
	c := &cobra.Command{
		Use:   "sensitivity [FILE]",
		Short: "Which unknown drives the result, and what to pin down first",
		Long: `Sensitivity splits the variance of what a scenario comes to between its uncertain
inputs, each across all of its range while all others move too: the share that an
input has alone and the one that it has with others. Luck from lap to lap is told
apart. It tells of overflow, a choked drain, either of them, the highest fill, the
time of the first overflow and the oil to the intake, for one session length.

Inputs that are tied by a rank correlation have one share. --by group takes the
inputs of each block of the file together, which needs fewer realizations.

How it differs: vary takes one input or two over a range and shows where the
cliff is; run says which input can turn the verdict, and measure which test would
settle that. Sensitivity needs no limit, and sees inputs work on each other.`,
		Example: `  sumpward sensitivity my-car.yaml
  sumpward sensitivity my-car.yaml --session 25min --of peak-fill --plot fill.svg
  sumpward sensitivity my-car.yaml --by group --realizations 20000`,
		Args: oneFile,
		RunE: func(c *cobra.Command, args []string) error { return f.run(a, c, args) },
	}
	f.scenario.add(c)
	_ = c.Flags().MarkHidden("sessions")
	f.sampling.addExact(c)
	f.sampling.byDefault(c, sensitivity.DefaultDesign())
	c.Flags().Lookup("realizations").Usage = "run at most `N` realizations, as many as go into whole base points"
	f.output.add(c)
	f.plot.add(c)
	f.page.add(c)
	c.Flags().Lookup("force").Usage = "let -o, --plot and --report replace a file"
	c.Flags().StringVar(&f.session, "session", "", "session `LENGTH` (the scenario's longest): 25min")
	c.Flags().StringVar(&f.by, "by", "input", "input or group: all `INPUTS` of a block together")
	c.Flags().StringVar(&f.of, "of", "", "the `OUTCOME` told at length: "+strings.Join(outcomeNames(), ", ")+" or all")
	_ = c.RegisterFlagCompletionFunc("by", cobra.FixedCompletions([]string{"input", "group"}, cobra.ShellCompDirectiveNoFileComp))
	_ = c.RegisterFlagCompletionFunc("of", cobra.FixedCompletions(append(outcomeNames(), "all"), cobra.ShellCompDirectiveNoFileComp))
	return c
}

// outcomeNames lists the names of outcomes, in the order of the outputs.
func outcomeNames() []string {
	var names []string
	for _, o := range sensitivity.Outputs {
		for name, x := range report.SensitivityOutputs {
			if x == o {
				names = append(names, name)
			}
		}
	}
	return names
}

func (f *sensitivityFlags) run(a *app, c *cobra.Command, args []string) error {
	options, err := f.sampling.options(c)
	if err != nil {
		return err
	}
	if options.Realizations > mostForIndices {
		return usageError{fmt.Errorf("--realizations: up to %d are possible here (got %d)", mostForIndices, options.Realizations)}
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
	split, of, err := f.choices()
	if err != nil {
		return err
	}
	s, err := f.load(a, args)
	if err != nil {
		return err
	}
	m, err := model(s)
	if err != nil {
		return err
	}
	r, err := a.sensitivity(c.Context(), m, split, options)
	if err != nil {
		return err
	}
	a.warn(report.Warnings(s))
	u := units.System(f.output.units)
	found := report.Sensitivity{Result: r, Units: u, Of: of}
	if err := f.output.emit(a, found); err != nil {
		return err
	}
	if err := f.page.write(a, f.output, c.Name(), func(w io.Writer, m page.Made) error { return page.WriteSensitivity(w, found, m) }); err != nil {
		return err
	}
	return f.plot.emit(a, plot.Sensitivity{Result: r, Units: u, Of: of}, f.output.force)
}

// choices reads what is split between what.
func (f *sensitivityFlags) choices() (sensitivity.Split, []sensitivity.Output, error) {
	split, known := map[string]sensitivity.Split{"input": sensitivity.ByInput, "group": sensitivity.ByBlock}[f.by]
	if !known {
		return 0, nil, usageError{fmt.Errorf("--by: use input or group (got %q)", f.by)}
	}
	switch o, known := report.SensitivityOutputs[f.of]; {
	case known:
		return split, []sensitivity.Output{o}, nil
	case f.of == "all":
		return split, slices.Clone(sensitivity.Outputs), nil
	case f.of != "":
		return 0, nil, usageError{fmt.Errorf("--of: there is no outcome %q: there are %s; or all", f.of, strings.Join(outcomeNames(), ", "))}
	}
	return split, nil, nil
}

// load returns the scenario, of the one session length that is asked for.
func (f *sensitivityFlags) load(a *app, args []string) (*scenarios.Scenario, error) {
	if f.session == "" {
		return f.scenario.load(a, args)
	}
	if _, err := units.Parse(f.session, units.Time); err != nil {
		return nil, usageError{fmt.Errorf("--session %s: %w", f.session, err)}
	}
	s, err := f.scenario.load(a, args)
	if err != nil {
		return nil, err
	}
	if s, err = s.With(scenarios.Change{Path: "sessions", Value: "[" + strings.TrimSpace(f.session) + "]"}); err != nil {
		return nil, usageError{fmt.Errorf("--session %s: %w", f.session, ofAFlag(err))}
	}
	return s, nil
}

// tried is how many base points are run to see how long they take.
const tried = 3

// sensitivity says what it will cost, and runs it with a progress bar on a terminal.
func (a *app) sensitivity(ctx context.Context, m *sim.Model, split sensitivity.Split, o sim.Options) (*sensitivity.Result, error) {
	n, err := sensitivity.New(m, split, o)
	var few *sensitivity.TooFewError
	switch {
	case errors.As(err, &few):
		return nil, usageError{fmt.Errorf("--realizations: %w (--by group)", err)}
	case errors.Is(err, sensitivity.ErrNothingUncertain):
		return nil, scenarioError{err}
	case err != nil:
		return nil, err
	}
	begun := time.Now()
	done, err := n.Try(ctx, tried)
	if err != nil {
		return nil, err
	}
	workers := o.Workers
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	each := time.Since(begun) / time.Duration(done)
	a.say("%s, about %s", report.SensitivityCost(n), seconds(each*time.Duration(n.Realizations())/time.Duration(workers)))
	var finish func()
	o.Progress, finish = a.progress(n.Realizations())
	defer finish()
	if o.Progress != nil {
		if n, err = sensitivity.New(m, split, o); err != nil {
			return nil, err
		}
	}
	return n.Run(ctx)
}

// seconds writes how long something takes, roughly.
func seconds(d time.Duration) string {
	switch s := d.Seconds(); {
	case s < 1:
		return "1 s"
	case s < 10:
		return fmt.Sprintf("%.0f s", math.Ceil(s))
	case s < 100:
		return fmt.Sprintf("%.0f s", 5*math.Ceil(s/5))
	default:
		return fmt.Sprintf("%.0f min", math.Ceil(s/60))
	}
}
