package decide

import (
	"context"
	"slices"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/stats"
)

// Realizations of each option, and of those that these leave too close to the
// limit to be told.
const choiceRealizations = 2000

var choiceMore = []int{8000, 32_000}

// Choose looks at each can of a shelf in each place where it fits, all on the same
// draws: the chances, which can to take, and how often one that is emptied by hand
// must be emptied. What the scenario says of separator and drain is replaced by
// what the shelf says (see [scenarios.Scenario.Mounted]).
//
// Unless the options say how many, 2,000 realizations of each are run, and 8,000,
// then 32,000 of those that the limit lies within the interval of; the scenario's
// own number or sampling error is left aside. When the context ends first it is the
// context's error.
func Choose(ctx context.Context, s *scenarios.Scenario, sh *scenarios.Shelf, o sim.Options) (*Choice, error) {
	none := Picks{-1, -1, -1}
	c := &Choice{Scenario: s, Shelf: sh, Risk: s.Limits.Risk.Nominal(), Sessions: s.Sessions, Picks: none, ByHand: none, Sampling: o.Sampling}
	design, err := o.Design()
	if err != nil {
		return nil, err
	}
	c.Sampling, c.Seed = design.Name(), s.Simulation.Seed
	if o.Seed != nil {
		c.Seed = *o.Seed
	}
	o.Seed = &c.Seed
	c.lay()
	more := choiceMore
	if o.Realizations > 0 || o.SamplingError > 0 {
		more = nil
	} else {
		o.Realizations = choiceRealizations
	}
	r := &choiceRun{c, ctx, o, more, 0}
	if err := r.chances(); err != nil {
		return nil, err
	}
	if err := r.emptying(); err != nil {
		return nil, err
	}
	c.share()
	c.count()
	c.pick()
	c.keep()
	return c, nil
}

// choiceRun runs what a choice needs.
type choiceRun struct {
	*Choice
	ctx      context.Context
	options  sim.Options
	more     []int
	finished int // realizations, in earlier rounds
}

// together runs models on the same draws; realizations 0 stands for what the
// options say.
func (r *choiceRun) together(models []*sim.Model, realizations int) ([]*sim.Result, error) {
	if len(models) == 0 {
		return nil, nil
	}
	o := r.options
	if realizations > 0 {
		o.Realizations = realizations
	}
	if o.Progress != nil {
		before := r.finished
		o.Progress = func(n int) { r.options.Progress(before + n) }
	}
	results, err := sim.Together(r.ctx, models, o, nil)
	for _, res := range results {
		r.finished += res.Realizations
	}
	return results, err
}

// simulated lists the options that are: of a can that is emptied by hand the first,
// as the place makes no difference to it.
func (c *Choice) simulated() []*Option {
	var list []*Option
	seen := map[int]bool{}
	for i := range c.Options {
		o := &c.Options[i]
		if o.Layout.Model == nil || o.Mounting.ByHand() && seen[o.Mounting.Can] {
			continue
		}
		if o.Mounting.ByHand() {
			seen[o.Mounting.Can] = true
		}
		list = append(list, o)
	}
	return list
}

// share gives cans that are emptied by hand in other places what the first came to.
func (c *Choice) share() {
	first := map[int]*Option{}
	for i := range c.Options {
		o := &c.Options[i]
		switch alike := first[o.Mounting.Can]; {
		case o.Layout.Model == nil || !o.Mounting.ByHand():
		case alike == nil:
			first[o.Mounting.Can] = o
		default:
			result := *alike.Result
			result.Scenario = o.Layout.Model.Scenario()
			o.Result, o.Standing, o.Emptying = &result, alike.Standing, alike.Emptying
		}
	}
}

// chances runs all options, then those again that can't be told.
func (r *choiceRun) chances() error {
	run := r.simulated()
	for _, n := range append([]int{0}, r.more...) {
		var models []*sim.Model
		for _, o := range run {
			models = append(models, o.Layout.Model)
		}
		results, err := r.together(models, n)
		if err != nil {
			return err
		}
		for i, o := range run {
			o.Result = results[i]
			o.Standing = r.standing(o.Result)
		}
		run = filter(run, func(o *Option) bool { return o.Standing == Untold })
	}
	return nil
}

// standing is that of the longest session, by the worst of what counts as failing.
func (c *Choice) standing(res *sim.Result) Standing {
	s := lastOf(res)
	return c.worst(s.Fails, s.OverPressure, s.OilLost)
}

// worst is the worst standing of several chances.
func (c *Choice) worst(chances ...stats.Estimate) Standing {
	worst := Meets
	for _, e := range chances {
		switch c.Stands(e) {
		case Breaks:
			return Breaks
		case Untold:
			worst = Untold
		}
	}
	return worst
}

// Stands compares a chance with the limit.
func (c *Choice) Stands(e stats.Estimate) Standing {
	switch {
	case e.High <= c.Risk:
		return Meets
	case e.Low > c.Risk:
		return Breaks
	}
	return Untold
}

// count notes the realizations and what the results warn of.
func (c *Choice) count() {
	for i := range c.Options {
		res := c.Options[i].Result
		if res == nil {
			continue
		}
		if c.Most = max(c.Most, res.Realizations); c.Realizations == 0 || res.Realizations < c.Realizations {
			c.Realizations = res.Realizations
		}
		for _, w := range res.Warnings {
			if !slices.Contains(c.Warnings, w) {
				c.Warnings = append(c.Warnings, w)
			}
		}
	}
}
