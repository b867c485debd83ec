package main

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"sumpward/report"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// asWritten is the name of a file's own layout among its variants.
const asWritten = "as written"

// mostLayouts is how many layouts are compared at a time.
const mostLayouts = 12

// compareFlags are those of compare.
type compareFlags struct {
	variants []string
	sessions string
	sampling samplingFlags
	output   outputFlags
	page     pageFlags
}

func newCompareCommand(a *app) *cobra.Command {
	var f compareFlags
	c := &cobra.Command{
		Use:   "compare [FILE]...",
		Short: "Layouts and variants on the same draws: what sets them apart",
		Long: `Compare simulates several layouts on the same draws, so that what sets them
apart is known far better than each chance by itself, and says where no
difference can be told. The first layout is what the others are compared with.

With one FILE its layout as written is compared with its variants: all of them,
or those that --variant names ("as written" is the file itself). With several
files each is compared as written; --variant then adds that variant of each file
that has it. A variant named "as it was" is the car before fitting: crankcase
pressure is then compared with it too.`,
		Example: `  sumpward compare my-car.yaml
  sumpward compare my-car.yaml --variant "larger can" --variant "lower return"
  sumpward compare short-drain.yaml long-drain.yaml --sessions 25min`,
		RunE: func(c *cobra.Command, args []string) error { return f.run(a, c, args) },
	}
	c.Flags().StringArrayVar(&f.variants, "variant", nil, "compare the `NAME`d variant; may be repeated")
	c.Flags().StringVar(&f.sessions, "sessions", "", "session `LENGTHS` instead of the scenario's: 15min,25min")
	f.sampling.add(c)
	f.output.add(c)
	f.page.add(c)
	c.ValidArgsFunction = func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return scenarios.ReadyNames(), cobra.ShellCompDirectiveDefault
	}
	_ = c.RegisterFlagCompletionFunc("variant", completeVariants)
	return c
}

// completeVariants offers the variants of all files that the command line names.
func completeVariants(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	if len(args) == 0 {
		args = []string{scenarios.DefaultReady}
	}
	list := []string{asWritten}
	for _, name := range args {
		s, err := (&app{stderr: io.Discard}).named([]string{name})
		if err != nil {
			continue
		}
		for _, v := range s.Variants {
			if !slices.Contains(list, v) {
				list = append(list, v)
			}
		}
	}
	return list, cobra.ShellCompDirectiveNoFileComp
}

func (f *compareFlags) run(a *app, c *cobra.Command, args []string) error {
	options, err := f.sampling.options(c)
	if err != nil {
		return err
	}
	if err := f.output.prepare(c); err != nil {
		return err
	}
	if err := f.page.prepare(c, &f.output); err != nil {
		return err
	}
	layouts, err := f.layouts(a, args)
	if err != nil {
		return err
	}
	if err := f.page.priced(namesOf(layouts)); err != nil {
		return err
	}
	comparison, err := a.compare(c.Context(), layouts, options)
	if err != nil {
		return err
	}
	a.warn(comparedWarnings(comparison))
	if err := f.output.emit(a, report.Compare{Comparison: comparison, Units: units.System(f.output.units)}); err != nil {
		return err
	}
	return f.page.write(c.Context(), a, pageContent{
		command: "compare", scenario: comparison.Layouts[0].Model.Scenario(), result: comparison.Results[0], sampling: options,
		layouts: comparison.Layouts, units: units.System(f.output.units), force: f.output.force,
	})
}

// named is a scenario with the name that it is compared under.
type named struct {
	name     string
	scenario *scenarios.Scenario
}

// layouts loads what the command line names.
func (f *compareFlags) layouts(a *app, args []string) ([]decide.Layout, error) {
	lengths, err := sessionLengths(f.sessions)
	if err != nil {
		return nil, err
	}
	if twice := firstTwice(f.variants); twice != "" {
		return nil, usageError{fmt.Errorf("--variant %q stands twice", twice)}
	}
	var list []named
	if len(args) > 1 {
		list, err = f.ofFiles(a, args)
	} else {
		list, err = f.ofOneFile(a, args)
	}
	if err != nil {
		return nil, err
	}
	if n := len(list); n > mostLayouts {
		return nil, usageError{fmt.Errorf("%d layouts at a time are too many (allowed up to %d): name some with --variant", n, mostLayouts)}
	}
	var layouts []decide.Layout
	for _, x := range list {
		s := x.scenario
		if lengths != "" {
			if s, err = s.With(scenarios.Change{Path: "sessions", Value: lengths}); err != nil {
				return nil, usageError{fmt.Errorf("--sessions %s: %w", f.sessions, ofAFlag(err))}
			}
		}
		m, err := model(s)
		if err != nil {
			return nil, err
		}
		layouts = append(layouts, decide.Layout{Name: x.name, Model: m})
	}
	return layouts, nil
}

// ofOneFile lists a file's own layout and its variants, or those that are named;
// one alone is compared with the file as written.
func (f *compareFlags) ofOneFile(a *app, args []string) ([]named, error) {
	s, err := a.named(args)
	if err != nil {
		return nil, err
	}
	names := f.variants
	if len(names) == 0 {
		names = s.Variants
		if len(names) == 0 {
			return nil, usageError{fmt.Errorf("%s has no variants to compare: add some to it, or name another file", sourceName(args))}
		}
	}
	if len(f.variants) < 2 && !slices.Contains(names, asWritten) {
		names = append([]string{asWritten}, names...)
	}
	if len(names) < 2 {
		return nil, usageError{fmt.Errorf("--variant %q: that is one layout: name another to compare it with", names[0])}
	}
	var list []named
	for _, name := range names {
		v, err := variantOf(s, name)
		if err != nil {
			return nil, err
		}
		list = append(list, named{name, v})
	}
	return list, nil
}

// variantOf returns a variant, or the scenario as written.
func variantOf(s *scenarios.Scenario, name string) (*scenarios.Scenario, error) {
	if name == asWritten && !slices.Contains(s.Variants, name) {
		return s, nil
	}
	return s.Variant(name)
}

// ofFiles lists several files as written, and after each those of the named
// variants that it has.
func (f *compareFlags) ofFiles(a *app, args []string) ([]named, error) {
	var list []named
	found := map[string]bool{asWritten: true}
	var known []string
	files := fileNames(args)
	for i, file := range args {
		s, err := a.named([]string{file})
		if err != nil {
			return nil, err
		}
		list = append(list, named{files[i], s})
		known = append(known, s.Variants...)
		for _, name := range f.variants {
			if !slices.Contains(s.Variants, name) {
				continue
			}
			found[name] = true
			v, err := s.Variant(name)
			if err != nil {
				return nil, err
			}
			list = append(list, named{files[i] + ", " + name, v})
		}
	}
	for _, name := range f.variants {
		if !found[name] {
			return nil, usageError{fmt.Errorf("--variant %q: none of the files has it (they have %s)", name, orNone(known))}
		}
	}
	return list, nil
}

func orNone(list []string) string {
	slices.Sort(list)
	if list = slices.Compact(list); len(list) > 0 {
		return strings.Join(list, ", ")
	}
	return "none"
}

// fileNames names files without folder and ending; with both where two would have
// the same name, and with a number where the same file stands twice.
func fileNames(files []string) []string {
	short := func(file string) string {
		base := filepath.Base(file)
		return strings.TrimSuffix(base, filepath.Ext(base))
	}
	count := map[string]int{}
	for _, file := range files {
		count[short(file)]++
	}
	var names []string
	for _, file := range files {
		name := short(file)
		if count[name] > 1 {
			name = file
		}
		unique := name
		for n := 2; slices.Contains(names, unique); n++ {
			unique = fmt.Sprintf("%s (%d)", name, n)
		}
		names = append(names, unique)
	}
	return names
}

func sourceName(args []string) string {
	if len(args) == 0 {
		return scenarios.DefaultReady
	}
	return args[0]
}

// firstTwice returns the first text that stands in a list twice, or "".
func firstTwice(list []string) string {
	for i, text := range list {
		if slices.Contains(list[:i], text) {
			return text
		}
	}
	return ""
}

// compare simulates layouts, with a progress bar on a terminal.
func (a *app) compare(ctx context.Context, layouts []decide.Layout, o sim.Options) (*decide.Comparison, error) {
	total := -1
	switch first := layouts[0].Model.Scenario().Simulation; {
	case o.Realizations > 0:
		total = o.Realizations * len(layouts)
	case o.SamplingError == 0 && first.Realizations > 0:
		total = first.Realizations * len(layouts)
	}
	var finish func()
	o.Progress, finish = a.progress(total)
	defer finish()
	return decide.Compare(ctx, layouts, o)
}

// comparedWarnings lists the warnings of all layouts: one that all have once, the
// others with the layout's name.
func comparedWarnings(c *decide.Comparison) []string {
	count := map[string]int{}
	for _, res := range c.Results {
		for _, text := range res.Warnings {
			count[text]++
		}
	}
	var list []string
	for i, res := range c.Results {
		for _, text := range res.Warnings {
			switch {
			case count[text] < len(c.Results):
				list = append(list, c.Layouts[i].Name+": "+text)
			case i == 0:
				list = append(list, text)
			}
		}
	}
	return list
}
