package main

import (
	"context"

	"sumpward/report"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// keptForRestsOn is how many realizations of a run tell which inputs move a chance.
const keptForRestsOn = 20_000

// Over-pressure and oil lost are asked about where their chance is not far below the
// limit, and of the strongest inputs alone.
const (
	nearLimit   = 10
	besidesEnds = 5
)

// restsOn works out what the verdict of a run rests on, and whether over-pressure or
// oil lost depends on something besides; nil where the run was cut short, or ends so
// meanwhile.
func (a *app) restsOn(ctx context.Context, m *sim.Model, res *sim.Result, o sim.Options) (main *decide.Dependence, besides []*decide.Dependence, err error) {
	q := decide.Question{Event: sim.OverflowOrChoked, Session: report.VerdictSession(res), Limit: res.Scenario.Limits.Risk.Nominal()}
	if main, err = a.dependsOn(ctx, m, res, o, q); err != nil || main == nil {
		return main, nil, err
	}
	for _, event := range []sim.Event{sim.OverPressure, sim.OilLost} {
		if c := res.Sessions[q.Session].Estimate(event); c.Probability == 0 || c.High < q.Limit/nearLimit {
			continue
		}
		q.Event, q.Ends = event, besidesEnds
		d, err := a.dependsOn(ctx, m, res, o, q)
		if err != nil {
			return nil, nil, err
		}
		if d != nil && d.Depends() {
			besides = append(besides, d)
		}
	}
	return main, besides, nil
}

func (a *app) dependsOn(ctx context.Context, m *sim.Model, res *sim.Result, o sim.Options, q decide.Question) (*decide.Dependence, error) {
	if res.Interrupted {
		return nil, nil
	}
	d, err := decide.DependsOn(ctx, m, res, q, o)
	if ctx.Err() != nil {
		return nil, nil // what was run stands without it
	}
	return d, err
}

// judged checks requirements against a run, and whether what they find depends on
// an input that was not measured. Where that was cut short they are left out.
func (a *app) judged(ctx context.Context, required []report.Requirement, m *sim.Model, res *sim.Result, o sim.Options, quick bool) ([]report.RequirementResult, error) {
	var list []report.RequirementResult
	for _, r := range required {
		checked := r.Check(res)
		unread := decide.TrackUnread(res.Scenario)
		if quick && unread {
			checked = checked.Unread()
		}
		if !quick && (checked.Outcome != report.Undecided || unread) {
			d, err := a.dependsOn(ctx, m, res, o, checked.Question())
			if err != nil {
				return nil, err
			}
			if ctx.Err() != nil {
				continue // what it depends on is not known
			}
			checked = checked.DependsOn(d)
		}
		list = append(list, checked)
	}
	return list, nil
}

// emptying works out how often a can without a drain must be emptied; nil where the
// run was cut short, or ends so meanwhile.
func (a *app) emptying(ctx context.Context, m *sim.Model, res *sim.Result, o sim.Options) (*decide.EmptyingTable, error) {
	if res.Interrupted {
		return nil, nil
	}
	o.Seed, o.Realizations = &res.Seed, res.Realizations
	t, err := decide.EmptyingIntervals(ctx, m, o)
	if ctx.Err() != nil {
		return nil, nil // what was run stands without it
	}
	return t, err
}
