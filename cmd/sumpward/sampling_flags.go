package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/sampling"
)

// samplingFlags say how a scenario is sampled.
type samplingFlags struct {
	seed          uint64
	realizations  int
	samplingError string
	sampling      string
	workers       int
}

const (
	mostRealizations = 1_000_000_000
	mostWorkers      = 1024
)

func (f *samplingFlags) add(c *cobra.Command) {
	f.addExact(c)
	c.Flags().StringVar(&f.samplingError, "sampling-error", "", "run until every chance is known within this `SHARE`: 0.5%")
}

// addExact adds the flags of a command that runs a number of realizations.
func (f *samplingFlags) addExact(c *cobra.Command) {
	f.addPlace(c)
	c.Flags().IntVar(&f.realizations, "realizations", 0, "run exactly `N` realizations")
	addWorkers(c, &f.workers)
}

// addWorkers adds the flag of a command that shares its work out.
func addWorkers(c *cobra.Command, workers *int) {
	c.Flags().IntVar(workers, "workers", 0, "run on `N` processors (as many as there are); the result is the same")
}

// checkWorkers is an error where the flag asks for too few or too many.
func checkWorkers(c *cobra.Command, workers int) error {
	if c.Flags().Changed("workers") && (workers < 1 || workers > mostWorkers) {
		return usageError{fmt.Errorf("--workers: 1 to %d are possible (got %d)", mostWorkers, workers)}
	}
	return nil
}

// addPlace adds the flags that say where realizations are placed.
func (f *samplingFlags) addPlace(c *cobra.Command) {
	c.Flags().Uint64Var(&f.seed, "seed", 1, "`SEED` of all draws instead of the scenario's")
	c.Flags().StringVar(&f.sampling, "sampling", sim.DefaultDesign().Name(), "`DESIGN` of the draws: sobol, latin-hypercube or random")
	_ = c.RegisterFlagCompletionFunc("sampling", cobra.FixedCompletions(
		[]string{sampling.Sobol{}.Name(), sampling.LatinHypercube{}.Name(), sampling.Random{}.Name()}, cobra.ShellCompDirectiveNoFileComp))
}

// byDefault sets the design of a command that has another one than a run.
func (f *samplingFlags) byDefault(c *cobra.Command, d sampling.Design) {
	f.sampling = d.Name()
	c.Flags().Lookup("sampling").DefValue = d.Name()
}

// options checks the flags.
func (f *samplingFlags) options(c *cobra.Command) (sim.Options, error) {
	o := sim.Options{Realizations: f.realizations, Sampling: f.sampling, Workers: f.workers}
	if c.Flags().Changed("seed") {
		o.Seed = &f.seed
	}
	if _, err := sampling.DesignByName(f.sampling); err != nil {
		return o, usageError{fmt.Errorf("--sampling: %w", err)}
	}
	if c.Flags().Changed("realizations") && (f.realizations < 1 || f.realizations > mostRealizations) {
		return o, usageError{fmt.Errorf("--realizations: 1 to %d are possible (got %d)", mostRealizations, f.realizations)}
	}
	if err := checkWorkers(c, f.workers); err != nil {
		return o, err
	}
	if f.samplingError == "" {
		return o, nil
	}
	if f.realizations > 0 {
		return o, usageError{errors.New("--realizations and --sampling-error: give one of the two")}
	}
	var err error
	if o.SamplingError, err = units.Parse(f.samplingError, units.Fraction); err != nil {
		return o, usageError{fmt.Errorf("--sampling-error: %w", err)}
	}
	if !(o.SamplingError > 0 && o.SamplingError <= 0.5) {
		return o, usageError{fmt.Errorf("--sampling-error: above 0 and up to 50 %% (got %s): write for instance 0.5%%", f.samplingError)}
	}
	return o, nil
}
