package main

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"sumpward/report/page"
	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// What the parts of a page rest on, in realizations. A slow model is one in which a
// realization costs about ten times as much.
const (
	mostCompared      = 20_000 // of each layout, and no more than the run itself has
	mostComparedSlow  = decide.PerPoint
	sizedForPage      = 1_000
	sizedForPageSlow  = 1_000
	cellsForPage      = 500
	cellsForPageSlow  = 400
	fannedForPage     = 2_000
	fannedForPageSlow = 1_000
	fanStretches      = 120
	pressuresForPage  = 400
	leastPressures    = 60
	manyPhases        = 100
	longEvent         = 6 * 3600.0 // s
)

// slow reports whether a realization of a model is costly: where gas meets oil in the
// drain, its end is below the oil, a log has hundreds of phases, or an event takes
// long.
func slow(m *sim.Model) bool {
	kind := m.Nominal().Drain.Kind
	sessions := m.Scenario().Sessions
	return kind == sim.Unsealed || kind == sim.BelowOil || len(m.Nominal().Lap) > manyPhases || sessions[len(sessions)-1] > longEvent
}

// page works out what a page shows beside what a command found.
func (a *app) page(ctx context.Context, found pageContent) (page.Page, error) {
	p := page.Page{
		Program: version(), Command: found.command, Units: found.units,
		Result: found.result, Sizing: found.sizing, Choice: found.choice, Emptying: found.emptying,
	}
	progress, finish := a.progress(-1)
	defer finish()
	o := found.sampling
	o.Progress = progress
	var err error
	if p.Model, err = model(found.scenario); err != nil {
		return p, err
	}
	if p.Result, err = a.resultForPage(ctx, p.Model, found, o); err != nil {
		return p, err
	}
	found.result = p.Result
	o.Seed, o.Realizations, o.SamplingError = &p.Result.Seed, 0, 0
	if p.Check, err = p.Model.CheckDrain(ctx); err != nil {
		return p, err
	}
	if p.Dependence, err = restsOnForPage(ctx, p.Model, found, o); err != nil {
		return p, err
	}
	if r := found.rests; r != nil && r != p.Dependence && r.Event == sim.OverflowOrChoked {
		p.Shorter = r
	}
	if p.Emptying == nil && !found.quick {
		if p.Emptying, err = decide.EmptyingIntervals(ctx, p.Model, o); err != nil {
			return p, err
		}
	}
	if len(found.layouts) > 1 {
		if p.Options, err = compareForPage(ctx, found, o); err != nil {
			return p, err
		}
	}
	if p.Sizing == nil {
		if p.Sizing, err = sizeForPage(ctx, p.Model, found, o); err != nil {
			return p, err
		}
	}
	return p, simulateForPage(ctx, &p, found)
}

// resultForPage runs the layout that the page is about, where the command did not, or
// where it did not keep what its answer rests on: the same realizations again.
func (a *app) resultForPage(ctx context.Context, m *sim.Model, found pageContent, o sim.Options) (*sim.Result, error) {
	res := found.result
	switch {
	case res != nil && (found.quick || len(res.Kept) > 0 || found.rests != nil):
		return res, nil
	case res != nil && res.Wanted > 0: // ends where the command's did
		o.Seed, o.Realizations, o.SamplingError = &res.Seed, 0, res.Wanted
	case res != nil:
		o.Seed, o.Realizations, o.SamplingError = &res.Seed, res.Realizations, 0
	}
	o.Keep = keptForRestsOn
	res, err := m.Run(ctx, o)
	if err == nil && res.Interrupted {
		err = context.Cause(ctx)
	}
	return res, err
}

// restsOnForPage works out what the answer for the longest session rests on.
func restsOnForPage(ctx context.Context, m *sim.Model, found pageContent, o sim.Options) (*decide.Dependence, error) {
	res := found.result
	longest := len(res.Sessions) - 1
	switch {
	case found.quick:
		return nil, nil
	case found.rests != nil && found.rests.Session == longest && found.rests.Event == sim.OverflowOrChoked:
		return found.rests, nil
	}
	return decide.DependsOn(ctx, m, res, decide.Question{
		Event: sim.OverflowOrChoked, Session: longest, Limit: res.Scenario.Limits.Risk.Nominal(),
	}, o)
}

func compareForPage(ctx context.Context, found pageContent, o sim.Options) (*decide.Comparison, error) {
	layouts, err := withDenseSessions(found.layouts, denseSessions(found.scenario.Sessions))
	if err != nil {
		return nil, err
	}
	o.Realizations = min(found.result.Realizations, mostCompared)
	for _, l := range layouts {
		if slow(l.Model) {
			o.Realizations = min(o.Realizations, mostComparedSlow)
		}
	}
	return decide.Compare(ctx, layouts, o)
}

// curvePoints is how many session lengths make a curve, those asked for apart.
const curvePoints = 12

// denseSessions adds lengths in between to those asked for, in equal steps up to the
// longest; one that would lie close to one that was asked for is left out.
func denseSessions(asked []float64) string {
	longest := asked[len(asked)-1]
	list := slices.Clone(asked)
	for i := 1; i < curvePoints; i++ {
		at := longest * float64(i) / curvePoints
		near := func(s float64) bool { return s-at < longest/40 && at-s < longest/40 }
		if !slices.ContainsFunc(asked, near) {
			list = append(list, at)
		}
	}
	slices.Sort(list)
	var texts []string
	for _, s := range list {
		texts = append(texts, strconv.FormatFloat(s, 'f', -1, 64)+" s")
	}
	return "[" + strings.Join(texts, ", ") + "]"
}

// withDenseSessions returns layouts with other session lengths.
func withDenseSessions(layouts []decide.Layout, lengths string) ([]decide.Layout, error) {
	dense := slices.Clone(layouts)
	for i, l := range layouts {
		s, err := l.Model.Scenario().With(scenarios.Change{Path: "sessions", Value: lengths})
		if err != nil {
			return nil, fmt.Errorf("%s: %w", l.Name, err)
		}
		if dense[i].Model, err = model(s); err != nil {
			return nil, fmt.Errorf("%s: %w", l.Name, err)
		}
	}
	return dense, nil
}

func sizeForPage(ctx context.Context, m *sim.Model, found pageContent, o sim.Options) (*decide.Sizing, error) {
	sizes := decide.SizeOptions{Options: o, Units: found.units, Cell: cellsForPage}
	sizes.Realizations = sizedForPage
	if slow(m) {
		sizes.Realizations, sizes.Cell = sizedForPageSlow, cellsForPageSlow
	}
	return decide.Size(ctx, found.scenario, sizes)
}

// simulateForPage works out fill and crankcase pressure over time, the latter of the
// car before fitting as well.
func simulateForPage(ctx context.Context, p *page.Page, found pageContent) (err error) {
	seed, n := found.result.Seed, fannedForPage
	if slow(p.Model) {
		n = fannedForPageSlow
	}
	if p.Fan, err = p.Model.Fan(ctx, seed, n, fanStretches, found.sampling.Workers); err != nil {
		return err
	}
	if p.Pressures, err = pressuresOf(ctx, p.Model, seed); err != nil {
		return err
	}
	for _, l := range found.layouts {
		if l.Name == decide.AsItWas && found.scenario.VariantName != decide.AsItWas {
			p.Before, err = pressuresOf(ctx, l.Model, seed)
		}
	}
	return err
}

// pressuresOf samples the crankcase pressure in each phase, less often where a log has
// very many of them.
func pressuresOf(ctx context.Context, m *sim.Model, seed uint64) ([]sim.PhasePressure, error) {
	n := pressuresForPage
	if phases := len(m.Nominal().Lap); phases > manyPhases {
		n = max(leastPressures, pressuresForPage*manyPhases/phases)
	}
	return m.PhasePressures(ctx, seed, n)
}
