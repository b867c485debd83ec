package diagnose

import (
	"context"
	"slices"

	"sumpward/scenarios"
)

// How far a diagnosis without a number of draws goes.
const (
	wantedError = 0.02 // of every chance, standard error
	mostDraws   = 128 * firstDraws
	mostCost    = 40_000_000 // µs, about: see glance
)

// wholeDraws is of how many cars of each fault everything that was seen is predicted: from
// them comes what a fault would have shown, and what none of these may show.
// Cars after these that some of what was seen rules out are left at that.
const wholeDraws = 100

// FewDraws is the effective number of drawn cars below which a chance is not to be
// relied on.
const FewDraws = 30

// Report is a diagnosis with what it rests on and what to check next.
type Report struct {
	*Diagnosis
	Bank  *Bank
	Shows [][]Shown // by fault of the bank and observation
	Next  *Next
}

// Diagnose finds which faults fit what was seen, and which check would tell most.
// Without a number of draws it begins with 500 cars of each fault and doubles those of
// the faults that leave the chances uncertain, drawn near the cars that fit, until the standard error of each is
// about 2 of 100, 64,000 are drawn of a fault, or they cost too much time.
func Diagnose(ctx context.Context, s *scenarios.Scenario, seen []scenarios.Observation, o Options) (*Report, error) {
	b, err := newBank(s, seen, o)
	if err != nil {
		return nil, err
	}
	b.values = make([]float64, len(seen))
	for i := range seen {
		b.values[i] = seen[i].Value
	}
	for _, draws := range []int{wholeDraws, max(o.Draws, firstDraws)} {
		if o.Draws > 0 {
			draws = min(draws, o.Draws)
		}
		if err := b.grow(ctx, b.each(draws)); err != nil {
			return nil, err
		}
	}
	d := b.Weigh(b.values)
	for o.Draws == 0 && b.cost.Load() < mostCost {
		draws, enough := b.more(d)
		if enough {
			break
		}
		logs, _ := b.logLikelihoods(b.values)
		for f := range draws {
			if draws[f] > b.Draws[f] {
				b.drawNear(f, logs[f])
			}
		}
		if err := b.grow(ctx, draws); err != nil {
			return nil, err
		}
		d = b.Weigh(b.values)
	}
	next, err := b.Next(ctx, d)
	if err != nil {
		return nil, err
	}
	return &Report{Diagnosis: d, Bank: b, Shows: b.Shows(b.values), Next: next}, nil
}

// more returns how many cars should be drawn of each fault, and whether there are enough.
func (b *Bank) more(d *Diagnosis) (draws []int, enough bool) {
	draws, enough = slices.Clone(b.Draws), true
	for _, s := range d.Standings {
		if s.index < 0 || b.Draws[s.index] >= mostDraws {
			continue
		}
		uncertain := s.Chance*s.relative > wantedError
		thin := s.Draws < FewDraws && s.Chance > leastTold/5 && b.Draws[s.index] < mostDraws/8
		if uncertain || thin {
			draws[s.index], enough = 2*b.Draws[s.index], false
		}
	}
	return draws, enough
}

// Observations returns what was seen.
func (b *Bank) Observations() []scenarios.Observation { return b.seen }

// Session returns the length in s of the sessions after which checks are made.
func (b *Bank) Session() float64 { return b.session }

// Scenario returns the scenario.
func (b *Bank) Scenario() *scenarios.Scenario { return b.scenario }

// Index returns the index of one of the bank's faults.
func (b *Bank) Index(f *Fault) int {
	return slices.IndexFunc(b.Faults, func(x Fault) bool { return x.Name == f.Name })
}
