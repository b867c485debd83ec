package learn

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// What counts as learned.
const (
	leastMoved = 0.05 // difference of distribution functions
	leastRank  = 0.2  // change of a rank correlation
	mostPairs  = 6
	fewDraws   = 200 // effective
	rare       = 0.01
)

// kolmogorov is the 99.9 % quantile of Kolmogorov's distance times the root of the
// number of draws (Smirnov 1948, from memory).
const kolmogorov = 1.95

// inputs works out each input before and after.
func (l *Learned) inputs() {
	l.Own = float64(l.Len())
	for k := range l.columns {
		c := &l.columns[k]
		before, after := c.of(l.Prior), c.of(l.Draws)
		in := Input{Quantity: c.quantity, Before: spreadOf(l.Prior, before), After: spreadOf(l.Draws, after)}
		in.Place = Spread{l.Prior.below(before, in.After.P05), l.Prior.below(before, in.After.P50), l.Prior.below(before, in.After.P95)}
		in.Mean, in.Error = l.Mean(after)
		in.Moved = apart(l.Prior, before, l.Draws, after)
		own := l.EffectiveDraws(after)
		l.Own = min(l.Own, own)
		in.Told = in.Moved > max(leastMoved, kolmogorov/math.Sqrt(own))
		l.Inputs = append(l.Inputs, in)
	}
	slices.SortStableFunc(l.Inputs, func(a, b Input) int { return cmp.Compare(b.Moved, a.Moved) })
}

func spreadOf(d *Draws, value func(i int) float64) Spread {
	q := d.Quantiles(value, 0.05, 0.5, 0.95)
	return Spread{q[0], q[1], q[2]}
}

// pairs finds the inputs that learned about each other: whose rank correlation
// changed by more than 0.2 and by more than four of its standard errors.
func (l *Learned) pairs() {
	var before, after [][]float64
	for k := range l.columns {
		c := &l.columns[k]
		before, after = append(before, l.Prior.ranks(c.of(l.Prior))), append(after, l.ranks(c.of(l.Draws)))
	}
	least := max(leastRank, 4/math.Sqrt(max(l.Own, 1)))
	for i := range l.columns {
		for j := range i {
			p := Pair{l.columns[j].quantity, l.columns[i].quantity, l.Prior.correlation(before[j], before[i]), l.correlation(after[j], after[i])}
			if math.Abs(p.After-p.Before) > least {
				l.Pairs = append(l.Pairs, p)
			}
		}
	}
	slices.SortStableFunc(l.Pairs, func(a, b Pair) int {
		return cmp.Compare(math.Abs(b.After-b.Before), math.Abs(a.After-a.Before))
	})
	l.Pairs = l.Pairs[:min(len(l.Pairs), mostPairs)]
}

// readings works out what each observation was expected to be.
func (l *Learned) readings() {
	for k := range l.Seen.Observations {
		o := &l.Seen.Observations[k]
		predicted := func(d *Draws) func(i int) float64 {
			return func(i int) float64 { return d.Notes[i][k] }
		}
		r := Reading{Observation: o, Before: spreadOf(l.Prior, predicted(l.Prior)), After: spreadOf(l.Draws, predicted(l.Draws))}
		r.Predicted, _ = l.Mean(predicted(l.Draws))
		r.Residual, r.Chance = math.NaN(), math.NaN()
		if o.Whether() {
			r.Chance, _ = l.Mean(func(i int) float64 { return chanceSeen(o, l.Notes[i][k]) })
			r.Rare, _ = l.Prior.Mean(func(i int) float64 { return chanceSeen(o, l.Prior.Notes[i][k]) })
		} else {
			above, _ := l.Prior.Mean(func(i int) float64 { return 0.5 * math.Erfc((o.Value-l.Prior.Notes[i][k])/o.Error/math.Sqrt2) })
			r.Rare = 2 * min(above, 1-above)
			r.Residual = (o.Value - r.Predicted) / math.Hypot(o.Error, l.Deviation(predicted(l.Draws)))
		}
		l.Readings = append(l.Readings, r)
	}
}

// IsRare reports whether fewer than 1 of 100 cars, as known before, would show as much.
func (r *Reading) IsRare() bool { return r.Rare < rare }

// warn says where the figures are not to be trusted far.
func (l *Learned) warn() {
	if l.Own < fewDraws {
		l.Warnings = append(l.Warnings, fmt.Sprintf("the draws are worth %.0f independent ones: the figures are rough; take more with --realizations", l.Own))
	}
	for i := range l.Readings {
		if l.Readings[i].Fit() == Misfit {
			l.Warnings = append(l.Warnings, fmt.Sprintf("observation %d does not fit what the others and the inputs say: read it again, or look for a fault", i+1))
		}
	}
}
