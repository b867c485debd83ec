package main

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/spf13/cobra"

	"sumpward/report"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim/decide"
)

// sizeFlags are those of size.
type sizeFlags struct {
	scenario              scenarioFlags
	sampling              samplingFlags
	output                outputFlags
	kept                  keptFlags
	page                  pageFlags
	volumes, falls, bores string
}

func newSizeCommand(a *app) *cobra.Command {
	var f sizeFlags
	c := &cobra.Command{
		Use:   "size [FILE]",
		Short: "The smallest can and the least fall that meet the limit of risk",
		Long: `Size gives the chance of overflow or a choked drain by usable volume and session
length, and by fall and bore of the drain. Below the tables stand the smallest
volume and the least fall that meet limits.risk, each with its interval and
rounded up to what can be bought or made. Where no volume helps because the
drain is the trouble, or the other way round, it says so.

Values are a range (0.25L..1.5L:6), a list (10mm,12.7mm,16mm) or one value.`,
		Example: `  sumpward size my-car.yaml
  sumpward size my-car.yaml --volumes 0.25L..1.5L:6 --sessions 25min,1h
  sumpward size my-car.yaml --falls 50mm..200mm:4 --bores 10mm,12.7mm,16mm`,
		Args: oneFile,
		RunE: func(c *cobra.Command, args []string) error { return f.run(a, c, args) },
	}
	f.scenario.add(c)
	f.sampling.addExact(c)
	f.output.add(c)
	f.kept.add(c)
	f.page.add(c)
	c.Flags().StringVar(&f.volumes, "volumes", "", "`VALUES` of the usable volume in the first table")
	c.Flags().StringVar(&f.falls, "falls", "", "`VALUES` of the drain's fall in the second table")
	c.Flags().StringVar(&f.bores, "bores", "", "`VALUES` of the drain's bore in the second table")
	return c
}

func (f *sizeFlags) run(a *app, c *cobra.Command, args []string) error {
	o := decide.SizeOptions{Units: units.System(f.output.units)}
	if err := f.values(&o); err != nil {
		return err
	}
	var err error
	if o.Options, err = f.sampling.options(c); err != nil {
		return err
	}
	if err := f.kept.prepare(a, c, &f.output); err != nil {
		return err
	}
	if err := f.page.prepare(c, &f.output); err != nil {
		return err
	}
	s, err := f.scenario.load(a, args)
	if err != nil {
		return err
	}
	if err := f.sizable(s); err != nil {
		return err
	}
	layouts, err := f.page.options(s)
	if err != nil {
		return err
	}
	m, err := model(s)
	if err != nil {
		return err
	}
	w, err := f.kept.open(a, c, args, s, o.Options, f.output.force)
	if err != nil {
		return err
	}
	w.options(&o.Options)
	o.Partial = false // what is missing is simulated
	var finish func()
	o.Progress, finish = a.progress(-1)
	defer finish()
	if w.wantsShard() {
		return w.writeShard(c.Context(), &f.output, func(shard decide.Shard) (decide.Extent, error) {
			return decide.SizeShard(c.Context(), s, o, shard)
		})
	}
	z, err := decide.Size(c.Context(), m.Scenario(), o)
	if err != nil {
		return w.cutShort(c.Context(), err)
	}
	finish()
	a.warn(append(report.Warnings(s), z.Warnings...))
	if err := f.output.emit(a, report.Size{Sizing: z, Units: o.Units}); err != nil {
		return err
	}
	err = f.page.write(c.Context(), a, pageContent{
		command: "size", scenario: s, sampling: o.Options, layouts: layouts, sizing: z, units: o.Units, force: f.output.force,
	})
	if err != nil {
		return w.cutShort(c.Context(), err)
	}
	return w.done(c.Context())
}

// values reads the values of the tables.
func (f *sizeFlags) values(o *decide.SizeOptions) error {
	for _, axis := range []struct {
		flag, text string
		dimension  units.Dimension
		values     *[]float64
	}{
		{"--volumes ", f.volumes, units.Volume, &o.Volumes},
		{"--falls ", f.falls, units.Length, &o.Falls},
		{"--bores ", f.bores, units.Length, &o.Bores},
	} {
		if axis.text == "" {
			continue
		}
		var err error
		if *axis.values, err = (rangeFlag{lead: axis.flag, dimension: axis.dimension, single: true}).parse(axis.text); err != nil {
			return err
		}
		slices.Sort(*axis.values)
		*axis.values = slices.CompactFunc(*axis.values, func(a, b float64) bool { return math.Abs(b-a) <= 1e-9*math.Abs(b) })
	}
	return nil
}

// mostSized is how many realizations size remembers at the most.
const mostSized = 1_000_000

// sizable checks that what is asked for applies to the scenario.
func (f *sizeFlags) sizable(s *scenarios.Scenario) error {
	if f.sampling.realizations > mostSized {
		return usageError{fmt.Errorf("--realizations: size remembers each realization, %d at the most (got %d)", mostSized, f.sampling.realizations)}
	}
	if s.Drain.Return == scenarios.EmptiedByHand && f.falls+f.bores != "" {
		return usageError{errors.New("--falls and --bores: this can is emptied by hand, it has no drain to size")}
	}
	return nil
}
