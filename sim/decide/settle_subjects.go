package decide

import (
	"math"

	"sumpward/scenarios"
	"sumpward/sim"
)

// subject is an input that tips the verdict, alone or with others.
type subject struct {
	in      *InputDependence
	tips    bool
	tipping TippingValue
	sides   sides
	against []*scenarios.Quantity
}

// subjects lists the inputs that tip the verdict alone; where none does, those that
// do with another.
func (w *settler) subjects() ([]subject, error) {
	var list []subject
	for i := range w.d.Inputs {
		if in := &w.d.Inputs[i]; in.Tips {
			list = append(list, subject{in: in, tips: true, tipping: in.Tipping})
		}
	}
	if len(list) > 0 {
		return list, nil
	}
	for i := range w.d.Inputs {
		sub, err := w.inPairs(&w.d.Inputs[i])
		if err != nil {
			return nil, err
		}
		if len(sub.against) > 0 {
			list = append(list, sub)
		}
	}
	return list, nil
}

// inPairs finds, for an input that tips the verdict with others, from where on none
// of them turns it any more.
func (w *settler) inPairs(in *InputDependence) (subject, error) {
	sub := subject{in: in}
	breaks := w.d.Chance.Probability > w.d.Limit
	keptBelow := in.AtTo.Probability > in.AtFrom.Probability
	sub.sides = below
	if keptBelow == breaks {
		sub.sides = above
	}
	for _, p := range w.d.Pairs {
		partner, at := p.B, p.AtB
		switch in.Input {
		case p.A:
		case p.B:
			partner, at = p.A, p.AtA
		default:
			continue
		}
		sub.against = append(sub.against, partner)
		t, err := w.tippingWith(in, keptBelow, partner.Path, at)
		if err != nil {
			return sub, err
		}
		further := t.Value > sub.tipping.Value
		if sub.sides == below {
			further = t.Value < sub.tipping.Value
		}
		if len(sub.against) == 1 || further || math.IsNaN(t.Value) {
			sub.tipping = t
		}
		if sub.tips = !math.IsNaN(sub.tipping.Value); !sub.tips {
			return sub, nil // with one of them it turns over the whole range
		}
	}
	return sub, nil
}

// tippingWith finds where an input carries the chance across the limit with another
// one at an end of its range.
func (w *settler) tippingWith(in *InputDependence, keptBelow bool, partner string, at float64) (TippingValue, error) {
	return w.search(gauge{from: in.From, to: in.To, at: func(v float64) (*scenarios.Scenario, error) {
		s, err := Changed(w.d.Scenario, partner, at)
		if err != nil {
			return nil, err
		}
		return Changed(s, in.Input.Path, v)
	}}, keptBelow)
}

// search finds where a reading carries the chance across the limit; NaN where it
// does not. An end of its interval is infinite where the chance at the end of the
// range isn't on that side for sure.
func (w *settler) search(g gauge, keptBelow bool) (TippingValue, error) {
	s := search{risk: w.d.Limit, from: g.from, to: g.to, rounded: func(v float64) float64 { return v }}
	sign := 1.0
	if keptBelow {
		sign, s.from, s.to = -1, -g.to, -g.from
	}
	s.nearness = func(float64) float64 { return 2e-3 * (g.to - g.from) }
	l := w.along(g, sign)
	t, err := l.threshold(s, w.d.Length)
	if err != nil {
		return TippingValue{}, err
	}
	worst, err := l.chance(s.from, w.d.Length)
	if err != nil {
		return TippingValue{}, err
	}
	if worst.Low <= w.d.Limit { // not broken for sure at either end
		t.Low = math.Inf(-1)
	}
	v := TippingValue{Value: sign * t.Value, Low: sign * t.Low, High: sign * t.High, KeptBelow: keptBelow, Realizations: l.n}
	if sign < 0 {
		v.Low, v.High = v.High, v.Low
	}
	return v, nil
}

// along sets up a ladder along a reading, or down it with the sign -1.
func (w *settler) along(g gauge, sign float64) *ladder {
	return &ladder{event: w.d.Event, ctx: w.ctx, options: w.options, n: w.options.Realizations, at: func(v float64) (*sim.Model, error) {
		s, err := g.at(sign * v)
		if err != nil {
			return nil, err
		}
		return sim.NewModel(s)
	}}
}

// tippingOf finds whether a reading of several inputs tips the verdict, and where.
func (w *settler) tippingOf(g gauge, c curve) (bool, TippingValue, error) {
	first, last := c.chance[0], c.chance[len(c.chance)-1]
	if min(first, last) > w.d.Limit || max(first, last) <= w.d.Limit {
		return false, TippingValue{}, nil
	}
	t, err := w.search(g, g.rises)
	return err == nil && !math.IsNaN(t.Value), t, err
}

// curvePoints is at how many values the chance along a reading is simulated.
const curvePoints = 7

// curve is the chance along a reading, simulated once.
func (w *settler) curve(g gauge) (curve, error) {
	if c, known := w.curves[g.name]; known {
		return c, nil
	}
	sign := 1.0
	if g.rises {
		sign = -1
	}
	l := w.along(g, sign)
	c := curve{at: make([]float64, curvePoints), chance: make([]float64, curvePoints)}
	for _, i := range halving(curvePoints) {
		c.at[i] = g.from + (g.to-g.from)*float64(i)/(curvePoints-1)
		x, err := l.chance(sign*c.at[i], w.d.Length)
		if err != nil {
			return c, err
		}
		c.chance[i] = x.Probability
	}
	w.curves[g.name] = c
	return c, nil
}
