package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"sumpward/report"
	"sumpward/report/plot"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// varyFlags are those of vary.
type varyFlags struct {
	scenario scenarioFlags
	sampling samplingFlags
	output   outputFlags
	kept     keptFlags
	plot     plotFlags
	inputs   []string
}

func newVaryCommand(a *app) *cobra.Command {
	var f varyFlags
	c := &cobra.Command{
		Use:   "vary [FILE] --input PATH=FROM..TO:N",
		Short: "One input, or two, over a range",
		Long: `Vary takes one input of a scenario, or two, over a range. At each point, where
they are exact, it gives the chance of overflow and of a choked drain, on the
same draws, and beside it what the drain has in hand at nominal values: so that
the cliff and its cause are seen together.

PATH is an input as validate lists them, or another number that a scenario may
hold. Its values are a range (30mm..130mm:6 are six, both ends among them;
without :N nine) or a list (10mm,12.7mm,16mm). A unit that stands once counts
for all. Where the fall or the dip is varied and the hose's length is stated,
the hose is taken longer by what the way down gets longer.`,
		Example: `  sumpward vary my-car.yaml --input drain.fall=30mm..130mm:6
  sumpward vary my-car.yaml --input drain.fall=30..130mm --plot fall.svg
  sumpward vary car.yaml --input drain.fall=50..200mm --input drain.bore=10,13mm`,
		Args: oneFile,
		RunE: func(c *cobra.Command, args []string) error { return f.run(a, c, args) },
	}
	f.scenario.add(c)
	f.sampling.add(c)
	c.Flags().Lookup("realizations").Usage = fmt.Sprintf("run exactly `N` realizations at each point (%d)", decide.PerPoint)
	f.output.add(c)
	f.kept.add(c)
	f.plot.add(c)
	c.Flags().StringArrayVar(&f.inputs, "input", nil, "an input with its `VALUES`: drain.fall=30mm..130mm:6; up to two")
	_ = c.RegisterFlagCompletionFunc("input", completeInput)
	return c
}

// completeInput offers the numbers of the scenario that the command line names.
func completeInput(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	const directive = cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveNoSpace
	s, err := (&app{stderr: io.Discard}).named(args)
	if err != nil {
		return nil, directive
	}
	var list []string
	for _, q := range s.Inputs {
		list = append(list, q.Path+"=")
	}
	return list, directive
}

func (f *varyFlags) run(a *app, c *cobra.Command, args []string) error {
	options, err := f.sampling.options(c)
	if err != nil {
		return err
	}
	if err := f.kept.prepare(a, c, &f.output); err != nil {
		return err
	}
	if err := f.plot.prepare(c, &f.output); err != nil {
		return err
	}
	if err := f.check(); err != nil {
		return err
	}
	s, err := f.scenario.load(a, args)
	if err != nil {
		return err
	}
	axes, err := f.axes(s)
	if err != nil {
		return err
	}
	w, err := f.kept.open(a, c, args, s, options, f.output.force)
	if err != nil {
		return err
	}
	w.options(&options)
	if w.wantsShard() {
		return f.shard(a, c, s, axes, options, w)
	}
	v, err := a.vary(c, s, axes, options)
	if err != nil {
		return w.cutShort(c.Context(), err)
	}
	a.warn(variedWarnings(v))
	u := units.System(f.output.units)
	if err := f.output.emit(a, report.Vary{Variation: v, Units: u, Program: version()}); err != nil {
		return err
	}
	if err := f.plot.emit(a, plot.Variation{Variation: v, Units: u}, f.output.force); err != nil {
		return err
	}
	return w.done(c.Context())
}

// shard simulates a shard of the variation and writes it.
func (f *varyFlags) shard(a *app, c *cobra.Command, s *scenarios.Scenario, axes []decide.Axis, o sim.Options, w *work) error {
	var finish func()
	o.Progress, finish = a.progress(-1)
	defer finish()
	return w.writeShard(c.Context(), &f.output, func(shard decide.Shard) (decide.Extent, error) {
		e, err := decide.VaryShard(c.Context(), s, axes, o, shard)
		return e, ofAnInput(err)
	})
}

// check looks at what can be seen of the inputs without a scenario.
func (f *varyFlags) check() error {
	if n := len(f.inputs); n < 1 || n > 2 {
		return usageError{fmt.Errorf("--input: one input or two can be varied at a time (got %d): write for instance --input drain.fall=30mm..130mm:6", n)}
	}
	for _, text := range f.inputs {
		if path, _, found := strings.Cut(text, "="); !found || strings.TrimSpace(path) == "" {
			return usageError{fmt.Errorf("--input %s: an input and its values, with = between them: write for instance --input drain.fall=30mm..130mm:6", text)}
		}
	}
	return nil
}

// axes reads the inputs with their values.
func (f *varyFlags) axes(s *scenarios.Scenario) ([]decide.Axis, error) {
	var axes []decide.Axis
	points := 1
	for _, text := range f.inputs {
		path, values, _ := strings.Cut(text, "=")
		path = strings.TrimSpace(path)
		axis, err := axisOf(s, path, values)
		if err != nil {
			return nil, err
		}
		axes = append(axes, axis)
		points *= len(axis.Values)
	}
	if len(axes) == 2 && axes[0].Path == axes[1].Path {
		return nil, usageError{fmt.Errorf("--input: %s stands twice: name two inputs, or give one list", axes[0].Path)}
	}
	if points > decide.MostPoints {
		return nil, usageError{fmt.Errorf("--input: %d points are too many (allowed up to %d): take fewer values", points, decide.MostPoints)}
	}
	return axes, nil
}

func axisOf(s *scenarios.Scenario, path, text string) (decide.Axis, error) {
	lead := "--input " + path + "="
	d, err := decide.DimensionOf(s, path)
	if err != nil {
		return decide.Axis{}, usageError{fmt.Errorf("%s%s: %w", lead, text, err)}
	}
	values, err := rangeFlag{lead: lead, dimension: d}.parse(text)
	if err != nil {
		return decide.Axis{}, err
	}
	if values, err = countedPer(s, path, values, d); err != nil {
		return decide.Axis{}, usageError{fmt.Errorf("%s%s: %w", lead, text, err)}
	}
	axis, err := decide.NewAxis(s, path, values)
	if err != nil {
		return axis, usageError{fmt.Errorf("%s%s: %w", lead, text, err)}
	}
	return axis, nil
}

// countedPer turns values of an input that is counted per something ("per L")
// to what they are in SI, as a scenario would.
func countedPer(s *scenarios.Scenario, path string, values []float64, d units.Dimension) ([]float64, error) {
	q := s.Input(path)
	if q == nil || q.Per == "" {
		return values, nil
	}
	unit := units.DisplayUnit(d, units.Metric)
	out := make([]float64, len(values))
	for i, v := range values {
		changed, err := s.With(scenarios.Change{Path: path, Value: fmt.Sprintf("%.17g %s", unit.FromSI(v), unit.Symbol)})
		if err != nil {
			return nil, ofAFlag(err)
		}
		out[i] = changed.Input(path).Nominal()
	}
	return out, nil
}

// vary simulates all points, with a progress bar on a terminal.
func (a *app) vary(c *cobra.Command, s *scenarios.Scenario, axes []decide.Axis, o sim.Options) (*decide.Variation, error) {
	total := -1
	if o.SamplingError == 0 {
		each := o.Realizations
		if each == 0 {
			each = decide.PerPoint
		}
		total = each
		for _, axis := range axes {
			total *= len(axis.Values)
		}
	}
	var finish func()
	o.Progress, finish = a.progress(total)
	defer finish()
	v, err := decide.Vary(c.Context(), s, axes, o)
	return v, ofAnInput(err)
}

// ofAnInput puts an error about an input to the flag that named it.
func ofAnInput(err error) error {
	var notUsed *decide.NotUsedError
	if errors.As(err, &notUsed) {
		return usageError{fmt.Errorf("--input %w", err)}
	}
	return err
}

// variedWarnings lists the warnings of a scenario and of its points, each once.
func variedWarnings(v *decide.Variation) []string {
	list := report.Warnings(v.Scenario)
	for _, p := range v.Points {
		if p.Result == nil {
			continue
		}
		for _, text := range p.Result.Warnings {
			if !slices.Contains(list, text) {
				list = append(list, text)
			}
		}
	}
	const most = 8
	if len(list) > most {
		list = append(list[:most], fmt.Sprintf("and %d warnings more at other points", len(list)-most))
	}
	return list
}
