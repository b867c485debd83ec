package main

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/cost"
	"sumpward/sim/decide"
	"sumpward/sim/kept"
	"sumpward/sim/sampling"
)

// clusterWork says what is simulated: the flags of run, size and vary that a result
// depends on.
type clusterWork struct {
	scenario scenarioFlags
	sampling samplingFlags
	command  string
	vary     varyFlags
	size     sizeFlags
}

func (f *clusterWork) add(c *cobra.Command) {
	f.scenario.add(c)
	f.sampling.addPlace(c)
	fs := c.Flags()
	fs.IntVar(&f.sampling.realizations, "realizations", 0, "`N` realizations in all; for vary, at each point")
	fs.StringVar(&f.command, "for", "run", "the `COMMAND`: run, size or vary")
	fs.StringArrayVar(&f.vary.inputs, "input", nil, "of vary: an input with its `VALUES`; up to two")
	fs.StringVar(&f.size.volumes, "volumes", "", "of size: `VALUES` of the usable volume")
	fs.StringVar(&f.size.falls, "falls", "", "of size: `VALUES` of the drain's fall")
	fs.StringVar(&f.size.bores, "bores", "", "of size: `VALUES` of the drain's bore")
	_ = c.RegisterFlagCompletionFunc("for", cobra.FixedCompletions([]string{"run", "size", "vary"}, cobra.ShellCompDirectiveNoFileComp))
	_ = c.RegisterFlagCompletionFunc("input", completeInput)
}

// clusterPlan is a work that can be shared out.
type clusterPlan struct {
	command  string
	name     string   // of the scenario, for a folder
	line     []string // command line, without what a shard adds
	content  kept.Content
	scenario *scenarios.Scenario
	options  sim.Options
	axes     []decide.Axis
	sizing   decide.SizeOptions
	each     int // realizations at a point
	points   int
}

// prepare checks the work as its command would.
func (f *clusterWork) prepare(a *app, c *cobra.Command, args []string) (*clusterPlan, error) {
	w := &clusterPlan{command: f.command, points: 1}
	if len(f.vary.inputs) > 0 && !c.Flags().Changed("for") {
		w.command = "vary"
	}
	if err := f.fits(w.command); err != nil {
		return nil, usageError{err}
	}
	var err error
	if w.options, err = f.sampling.options(c); err != nil {
		return nil, err
	}
	if w.command == "size" {
		if err := f.size.values(&w.sizing); err != nil {
			return nil, err
		}
	}
	if w.scenario, err = f.scenario.load(a, args); err != nil {
		return nil, err
	}
	if _, err := model(w.scenario); err != nil {
		return nil, err
	}
	if err := f.count(w); err != nil {
		return nil, err
	}
	return w, f.writeLine(c, w, args)
}

// fits checks that the flags go with the command.
func (f *clusterWork) fits(command string) error {
	sizes := f.size.volumes + f.size.falls + f.size.bores
	switch {
	case command != "run" && command != "size" && command != "vary":
		return fmt.Errorf("--for %s: run, size and vary can be shared out", command)
	case command != "vary" && len(f.vary.inputs) > 0:
		return fmt.Errorf("--input goes with --for vary (got --for %s)", command)
	case command != "size" && sizes != "":
		return fmt.Errorf("--volumes, --falls and --bores go with --for size (got --for %s)", command)
	case command == "vary":
		return f.vary.check()
	}
	return nil
}

// count finds how many realizations there are, at how many points.
func (f *clusterWork) count(w *clusterPlan) error {
	if w.options.Realizations == 0 {
		w.options.Realizations = w.scenario.Simulation.Realizations
	}
	w.each = w.options.Realizations
	if w.each == 0 && w.command != "size" {
		return usageError{errNoCount}
	}
	switch w.command {
	case "vary":
		var err error
		if w.axes, err = f.vary.axes(w.scenario); err != nil {
			return err
		}
		for _, axis := range w.axes {
			w.points *= len(axis.Values)
		}
	case "size":
		f.size.sampling = f.sampling
		if err := f.size.sizable(w.scenario); err != nil {
			return err
		}
		w.sizing.Options = w.options
		if w.each == 0 {
			w.each = decide.SizeRealizations
		}
	}
	return nil
}

// writeLine writes the command line that each task begins with.
func (f *clusterWork) writeLine(c *cobra.Command, w *clusterPlan, args []string) error {
	path, err := pathOf(args, w.scenario)
	if err != nil {
		return err
	}
	w.name = strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	w.line = append([]string{w.command, path}, recordedLine(c, []string{"variant", "sessions", "seed", "sampling", "input", "volumes", "falls", "bores"})...)
	if !c.Flags().Changed("sampling") { // whatever a later program does by default
		w.line = append(w.line, "--sampling="+w.options.Sampling)
	}
	if w.options.Realizations > 0 {
		w.line = append(w.line, fmt.Sprintf("--realizations=%d", w.options.Realizations))
	}
	task, _, err := newRootCommand(&app{}).Find(w.line[:1])
	if err != nil {
		return err
	}
	if err := task.ParseFlags(w.line[2:]); err != nil {
		return err
	}
	w.content = contentOf(task, []string{path}, w.scenario, w.options)
	return nil
}

// blocks is the number of pieces that the work can be cut into.
func (w *clusterPlan) blocks() int {
	if w.command == "size" {
		return w.each
	}
	return (w.each + sampling.BlockSize - 1) / sampling.BlockSize * w.points
}

// measure simulates a little of the work to see what all of it takes.
func (w *clusterPlan) measure(ctx context.Context, budget time.Duration) (*cost.Estimate, error) {
	if w.command == "size" {
		return cost.MeasureSize(ctx, w.scenario, w.sizing, w.each, budget)
	}
	work := cost.Work{Points: w.points, Each: w.each, Model: func(int) (*sim.Model, error) { return model(w.scenario) }}
	if w.command == "vary" {
		work.Model = func(point int) (*sim.Model, error) { return decide.ModelAt(w.scenario, w.axes, point) }
	}
	return cost.Measure(ctx, work, w.options, budget)
}
