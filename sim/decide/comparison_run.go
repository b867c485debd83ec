package decide

import (
	"context"
	"fmt"
	"math"

	"sumpward/sim"
	"sumpward/sim/sampling"
	"sumpward/sim/stats"
)

// Compare runs layouts on the same draws and tells what sets each two apart, within
// the session lengths that all of them share (to half a second): only these are
// simulated. An input that two layouts have in common is drawn alike for both, lap luck
// included, so that their difference is known far better than either chance.
//
// Differences of chances carry the intervals of [stats.PairedChance], those of means of
// [stats.PairedMean], at the level [sim.Level]. The ranking's intervals are at the level
//
//	1 - (1 - Level)/pairs,
//
// so that all pairs together are right at least as often as Level says, whatever ties
// their errors together. Source: Bonferroni's inequality; Dunn 1961, J. Am. Stat. Assoc.
// 56, 52-64 (from memory).
//
// It is an error where there are fewer than two layouts or they share no session
// length. When the context ends first, it is the context's error.
func Compare(ctx context.Context, layouts []Layout, o sim.Options) (*Comparison, error) {
	if len(layouts) < 2 {
		return nil, fmt.Errorf("a comparison takes two layouts or more (got %d)", len(layouts))
	}
	layouts, sessions, err := withSharedSessions(layouts)
	if err != nil {
		return nil, err
	}
	design, err := o.Design()
	if err != nil {
		return nil, err
	}
	method := stats.FromReplicates
	if design.Name() == (sampling.Random{}).Name() {
		method = stats.FromWilson
	}
	models := make([]*sim.Model, len(layouts))
	for i := range layouts {
		models[i] = layouts[i].Model
	}
	tally := newTally(models)
	results, err := sim.Together(ctx, models, o, tally.take)
	if err != nil {
		return nil, err
	}
	c := &Comparison{Layouts: layouts, Results: results, Sessions: sessions, Realizations: results[0].Realizations, Level: sim.Level}
	c.RankingLevel = 1 - (1-c.Level)/float64(len(tally.pairs))
	for _, p := range tally.pairs {
		c.Pairs = append(c.Pairs, c.pair(p, method))
	}
	return c, nil
}

// pair makes the estimates of a pair.
func (c *Comparison) pair(t *pairTally, method stats.Method) Pair {
	p := Pair{A: t.a, B: t.b, Pressure: t.pressure.Estimate(c.Level)}
	byHand := c.Results[t.a].Kind == sim.NoDrain && c.Results[t.b].Kind == sim.NoDrain
	for i := range t.sessions {
		s := &t.sessions[i]
		estimate := func(e sim.Event) stats.PairedDifference { return s.events[e].Estimate(c.Level, method) }
		d := PairedSession{
			Overflow: estimate(sim.Overflow), DrainChoked: estimate(sim.DrainChoked),
			OverPressure: estimate(sim.OverPressure), OilLost: estimate(sim.OilLost),
			Fails: estimate(sim.OverflowOrChoked), FailsRanking: s.events[sim.OverflowOrChoked].Estimate(c.RankingLevel, method),
			OilToIntake: s.intake.Estimate(c.Level),
		}
		if byHand {
			d.DrainChoked = stats.PairedDifference{Trials: s.events[sim.DrainChoked].Trials(), TrialsToTell: math.Inf(1)}
		}
		p.Sessions = append(p.Sessions, d)
	}
	return p
}
