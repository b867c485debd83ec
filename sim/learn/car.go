package learn

import (
	"context"
	"errors"
	"math"
	"slices"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/observe"
	"sumpward/sim/sampling"
	"sumpward/sim/stats"
)

// Learned is what a scenario's inputs come to after something was seen.
type Learned struct {
	Scenario *scenarios.Scenario
	Seen     *scenarios.Seen
	Seed     uint64
	*Posterior

	Inputs   []Input   // uncertain before, most learned of first
	Pairs    []Pair    // that learned about each other, strongest first
	Readings []Reading // by observation
	Sessions []Session // by session length; what is to come, before and after
	Own      float64   // how many independent draws would know every input's mean as well: see [Draws.EffectiveDraws]
	Warnings []string

	columns []column
}

// Told lists the inputs that were learned of, most first.
func (l *Learned) Told() []Input {
	var list []Input
	for _, in := range l.Inputs {
		if in.Told {
			list = append(list, in)
		}
	}
	return list
}

// Drawn returns the draws as a scenario reads them: the values that its inputs have
// together, and their weights. Inputs that were learned of are measured; the others
// keep their basis.
func (l *Learned) Drawn() *scenarios.Learned {
	out := &scenarios.Learned{Measured: []string{}, Readings: l.Seen.Marks()}
	if before := l.Scenario.Learned; before != nil {
		out.Readings = append(slices.Clone(before.Readings), out.Readings...)
	}
	for _, in := range l.Told() {
		out.Measured = append(out.Measured, in.Quantity.Path)
	}
	for k := range l.columns {
		c := &l.columns[k]
		value, values := c.of(l.Draws), []float64{}
		for i, w := range l.Weight {
			if w > 0 {
				values = append(values, value(i))
			}
		}
		out.Quantities, out.Values = append(out.Quantities, c.quantity), append(out.Values, values)
	}
	for _, w := range l.Weight {
		if w > 0 {
			out.Weights = append(out.Weights, w*float64(l.Len()))
		}
	}
	return out
}

// Spread is the middle and the middle nine tenths of a distribution.
type Spread struct{ P05, P50, P95 float64 }

// Width is the width of the middle nine tenths.
func (s Spread) Width() float64 { return s.P95 - s.P05 }

// Input is one uncertain input before and after.
type Input struct {
	Quantity      *scenarios.Quantity
	Before, After Spread  // SI
	Place         Spread  // of After in the distribution before: share of it that lies below
	Mean, Error   float64 // SI: the mean after, and its Monte Carlo error
	Moved         float64 // largest difference of the distribution functions, 0..1
	Told          bool    // more of it than the draws' own error is
}

// Narrower is by which share the range is narrower than it was; below 0 where it
// is wider.
func (i *Input) Narrower() float64 { return 1 - i.After.Width()/i.Before.Width() }

// Pair is two inputs that must now be seen together.
type Pair struct {
	First, Second *scenarios.Quantity
	Before, After float64 // rank correlations
}

// Reading is one observation, and what the draws predict of it, without its error
// of reading: of yes or no, the chance of yes.
type Reading struct {
	Observation   *scenarios.Observation
	Before, After Spread
	Predicted     float64 // mean after
	Residual      float64 // seen less that, over all that it may differ by; of yes or no NaN
	Chance        float64 // of yes or no: chance of what was seen after; else NaN
	Rare          float64 // share of cars, as known before, that would show as much, on either side; of yes or no, the same
}

// Fit is how well an observation agrees with what is known after it.
type Fit int

// The fits, from good to bad: a reading within 2, within 3 and beyond 3 of what it
// may differ by; a yes or no of a chance of 5 %, of 0.3 % and below.
const (
	Fits Fit = iota
	Strained
	Misfit
)

// Fit judges it.
func (r *Reading) Fit() Fit {
	off := math.Abs(r.Residual)
	if r.Observation.Whether() {
		off = surprise(r.Chance)
	}
	switch {
	case off <= 2:
		return Fits
	case off <= 3:
		return Strained
	}
	return Misfit
}

// surprise turns a chance into the standard errors that are exceeded as rarely.
func surprise(chance float64) float64 {
	if chance <= 0 {
		return math.Inf(1)
	}
	return normal(1 - min(chance, 1)/2)
}

// column is one input whose values a draw has.
type column struct {
	quantity *scenarios.Quantity
	value    func(notes []float64) float64
}

// columnsOf lists the inputs of a draw; where the scenario's own draws were
// learned, those behind the one coordinate that picks among them.
func columnsOf(p *observe.Predictor, s *scenarios.Scenario) []column {
	var list []column
	first := len(p.Observations())
	for i, q := range p.Model().Uncertain() {
		at := first + i
		if l := s.Learned; l != nil && q == l.Which {
			for k, quantity := range l.Quantities {
				list = append(list, column{quantity, func(notes []float64) float64 { return l.Values[k][l.Draw(notes[at])] }})
			}
			continue
		}
		list = append(list, column{q, func(notes []float64) float64 { return notes[at] }})
	}
	return list
}

// Learn updates the uncertain inputs of a scenario by what was seen.
//
// It fails with an *[UnfitError] where what was seen is next to impossible: where
// one observation lies more than 5 of its errors from what the nearest of the first
// draws predicts, or where the best of the draws that come out misses one by as
// much. A chance counts as the errors that are exceeded as rarely.
func Learn(ctx context.Context, s *scenarios.Scenario, seen *scenarios.Seen, o Options) (*Learned, error) {
	p, err := observe.NewPredictor(s, seen.Observations)
	switch {
	case err != nil:
		return nil, err
	case len(seen.Observations) == 0:
		return nil, errors.New("nothing was seen: there is nothing to learn from")
	case len(p.Inputs()) == 0:
		return nil, errors.New("no input of the scenario is uncertain: there is nothing to learn; write between which values each may lie")
	}
	l := &Learned{Scenario: s, Seen: seen, Seed: o.Seed, columns: columnsOf(p, s)}
	if l.Posterior, err = l.sample(ctx, p, o); err != nil {
		return nil, err
	}
	l.inputs()
	l.pairs()
	l.readings()
	if l.Sessions, err = l.forecast(ctx, p.Model(), o); err != nil {
		return nil, err
	}
	l.warn()
	return l, nil
}

// sample draws from the posterior, or says what can't be.
func (l *Learned) sample(ctx context.Context, p *observe.Predictor, o Options) (*Posterior, error) {
	var keys []sampling.Key
	for _, q := range p.Inputs() {
		keys = append(keys, sampling.InputKey(q.Path))
	}
	seen := l.Seen.Observations
	t := Target{Keys: keys, Notes: len(seen) + len(p.Model().Uncertain()), Worker: func() Evaluate { return evaluate(p.Copy(), o.Seed) }}
	post, err := Sample(ctx, t, o, func(prior *Draws) error { return unfitFirst(seen, prior) })
	if err != nil {
		return nil, err
	}
	return post, unfitAfter(seen, post)
}

// evaluate is the likelihood of what was seen; its notes are predictions, then values.
func evaluate(p *observe.Predictor, seed uint64) Evaluate {
	var predicted, values []float64
	return func(u []float64, luck uint64, notes []float64) (float64, error) {
		var err error
		if predicted, err = p.Predict(u, seed, luck, predicted); err != nil {
			return 0, err
		}
		values = p.Values(values)
		copy(notes[copy(notes, predicted):], values)
		return p.LogLikelihood(predicted), nil
	}
}

// value is a column's value in draws.
func (c *column) of(d *Draws) func(i int) float64 {
	return func(i int) float64 { return c.value(d.Notes[i]) }
}

// EffectiveDraws returns how many independent draws would know the mean of a value
// as well: its variance over the square of its Monte Carlo error, up to the number
// of draws.
func (d *Draws) EffectiveDraws(value func(i int) float64) float64 {
	_, se := d.Mean(value)
	sd := d.Deviation(value)
	if n := sd * sd / (se * se); n < float64(d.Len()) {
		return n
	}
	return float64(d.Len())
}

// forecast drives the sessions that the scenario lists, with a luck of their own,
// before and after.
func (l *Learned) forecast(ctx context.Context, m *sim.Model, o Options) ([]Session, error) {
	before, err := driven(ctx, m, l.Prior, o)
	if err != nil {
		return nil, err
	}
	after, err := driven(ctx, m, l.Draws, o)
	if err != nil {
		return nil, err
	}
	drained := m.Nominal().Drain.Kind != sim.NoDrain
	var list []Session
	for _, length := range l.Scenario.Sessions {
		s := Session{Length: length, Drains: drained}
		for e := range s.Before {
			s.Before[e] = chanceOf(l.Prior, before, eventWithin{e, length}, float64(l.Prior.Len()))
			s.After[e] = chanceOf(l.Draws, after, eventWithin{e, length}, l.Own)
		}
		list = append(list, s)
	}
	return list, nil
}

// Session is the chances of a session length to come.
type Session struct {
	Length        float64 // s
	Drains        bool    // a drain that can back up is there
	Before, After [3]Chance
}

// What can happen in a session, by index of its chances.
const (
	Overflow = iota
	DrainChoked
	OverflowOrChoked
)

// Chance is the chance of an event over weighted draws.
type Chance struct {
	stats.Estimate
	Events, Draws int64 // draws in which it came true, of all with a weight
}

// driven returns of each draw when an overflow and a choked drain first came.
func driven(ctx context.Context, m *sim.Model, d *Draws, o Options) ([][2]float64, error) {
	first := make([][2]float64, d.Len())
	inputs := len(m.Uncertain())
	t := Target{Worker: func() Evaluate {
		s := m.Single()
		return func(u []float64, luck uint64, notes []float64) (float64, error) {
			if _, err := s.Settle(u[:inputs]); err != nil {
				return 0, err
			}
			out, err := s.Realize(o.Seed, luck, nil)
			notes[0], notes[1] = out.Overflow, out.DrainChoked
			return 0, err
		}
	}}
	o.Progress = nil
	err := newPool(ctx, &t, o).each(d.Len(), func(e Evaluate, i int) error {
		if d.Weight[i] == 0 {
			return nil
		}
		_, err := e(d.U[i], uint64(i), first[i][:])
		return err
	})
	return first, err
}

// eventWithin is an event within a length in s.
type eventWithin struct {
	event  int
	length float64
}

// chanceOf is the chance of an event, with Wilson's interval at the number of
// independent draws that would know it as well; without spread to tell from that is
// what the draws are worth.
func chanceOf(d *Draws, first [][2]float64, e eventWithin, worth float64) Chance {
	c := Chance{}
	came := func(i int) float64 {
		at := min(first[i][0], first[i][1])
		if e.event != OverflowOrChoked {
			at = first[i][e.event]
		}
		if at <= e.length {
			return 1
		}
		return 0
	}
	for i, w := range d.Weight {
		if w > 0 {
			c.Draws++
			c.Events += int64(came(i))
		}
	}
	p, _ := d.Mean(came)
	n := d.EffectiveDraws(came)
	if c.Events == 0 || c.Events == c.Draws {
		p, n = math.Round(p), worth
	}
	i := stats.Wilson(min(p, 1)*n, n, sim.Level)
	c.Estimate = stats.Estimate{Probability: min(p, 1), Low: i.Low, High: i.High}
	return c
}
