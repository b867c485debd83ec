package main

import (
	"context"
	"errors"
	"fmt"
	"runtime"

	"github.com/spf13/cobra"

	"sumpward/report"
	"sumpward/sim"
	"sumpward/sim/rare"
)

// rareFlags ask for chances too small for a run to see.
type rareFlags struct {
	rare    bool
	repeats int
}

const (
	fewestRareRepeats = 3
	mostRareRepeats   = 1000
)

func (f *rareFlags) add(c *cobra.Command) {
	c.Flags().BoolVar(&f.rare, "rare", false, "tell chances too small for the run to see, for the session that the verdict is about")
	c.Flags().IntVar(&f.repeats, "rare-repeats", 10, "with --rare, `N` independent repeats of it: four times as many halve the interval")
}

// prepare checks the flags ahead of any work.
func (f *rareFlags) prepare(c *cobra.Command, k *keptFlags) error {
	switch {
	case !f.rare && c.Flags().Changed("rare-repeats"):
		return usageError{errors.New("--rare-repeats goes with --rare")}
	case f.repeats < fewestRareRepeats || f.repeats > mostRareRepeats:
		return usageError{fmt.Errorf("--rare-repeats: %d to %d are possible (got %d)", fewestRareRepeats, mostRareRepeats, f.repeats)}
	case f.rare && k.shard != "":
		return usageError{errors.New("--rare: a shard is no result yet, and small chances are not merged: ask for them in a run of its own")}
	}
	return nil
}

// find estimates the small chances of a run; nil where they are not asked for, or the run
// was cut short, or ends so meanwhile.
func (f *rareFlags) find(ctx context.Context, a *app, m *sim.Model, res *sim.Result, o sim.Options) (*report.Rare, error) {
	if !f.rare || res.Interrupted || ctx.Err() != nil {
		return nil, nil
	}
	session := report.VerdictSession(res)
	workers := o.Workers
	if workers == 0 {
		workers = runtime.NumCPU()
	}
	progress, finish := a.progressOf("repeats", len(rare.Rare(res, session))*f.repeats)
	defer finish()
	found, err := rare.Find(ctx, m, res, session, rare.Options{Repeats: f.repeats, Workers: workers, Progress: progress})
	if ctx.Err() != nil {
		return nil, nil // what was run stands without it
	}
	return &report.Rare{Session: session, Found: found}, err
}
