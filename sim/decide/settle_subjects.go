package decide

import (
	"math"
	"slices"

	"sumpward/scenarios"
	"sumpward/sim"
)

// subject is an input that tips the verdict, alone or with others.
type subject struct {
	in *InputDependence
	turn
}

// turn is where a reading turns the verdict.
type turn struct {
	tips    bool
	tipping TippingValue
	sides   sides                 // on which it decides
	against []*scenarios.Quantity // the inputs with which alone it does; empty: by itself
}

// subjects lists the inputs that tip the verdict alone; where none does, those that
// do with another.
func (w *settler) subjects() ([]subject, error) {
	var list []subject
	for i := range w.d.Inputs {
		if in := &w.d.Inputs[i]; in.Tips {
			list = append(list, subject{in, turn{tips: true, tipping: in.Tipping}})
		}
	}
	if len(list) > 0 {
		return list, nil
	}
	for i := range w.d.Inputs {
		in := &w.d.Inputs[i]
		t, err := w.turnWithOthers(w.gaugeOfInput(in))
		if err != nil {
			return nil, err
		}
		if len(t.against) > 0 {
			list = append(list, subject{in, t})
		}
	}
	return list, nil
}

// partner is an input with which another one tips the verdict, at the end of its
// range at which it does.
type partner struct {
	input *scenarios.Quantity
	at    float64
}

// partnersOf lists the inputs with which what a reading reads tips the verdict.
func (w *settler) partnersOf(g gauge) []partner {
	var list []partner
	for _, p := range w.d.Pairs {
		a, b := slices.Contains(g.inputs, p.A), slices.Contains(g.inputs, p.B)
		next := partner{p.B, p.AtB}
		if b {
			next = partner{p.A, p.AtA}
		}
		if a != b && !slices.Contains(list, next) {
			list = append(list, next)
		}
	}
	return list
}

// turnWithOthers finds, for a reading that tips the verdict with others, from where
// on none of them turns it any more.
func (w *settler) turnWithOthers(g gauge) (turn, error) {
	t := turn{sides: below}
	if breaks := w.d.Chance.Probability > w.d.Limit; g.rises == breaks {
		t.sides = above
	}
	for _, p := range w.partnersOf(g) {
		t.against = append(t.against, p.input)
		v, err := w.search(g.with(p), g.rises)
		if err != nil {
			return t, err
		}
		if math.IsNaN(v.Value) { // with this one it turns over the whole range
			t.tips = false
			return t, nil
		}
		further := v.Value > t.tipping.Value
		if t.sides == below {
			further = v.Value < t.tipping.Value
		}
		if !t.tips || further {
			t.tipping, t.tips = v, true
		}
	}
	return t, nil
}

// with is the reading where another input is at an end of its range.
func (g gauge) with(p partner) gauge {
	alone := g.at
	g.at = func(v float64) (*scenarios.Scenario, error) {
		s, err := alone(v)
		if err != nil {
			return nil, err
		}
		return Changed(s, p.input.Path, p.at)
	}
	return g
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

// turnOf finds whether a reading of several inputs turns the verdict by itself, or
// with others, and where.
func (w *settler) turnOf(g gauge, c curve) (turn, error) {
	first, last := c.chance[0], c.chance[len(c.chance)-1]
	if min(first, last) > w.d.Limit || max(first, last) <= w.d.Limit {
		return w.turnWithOthers(g)
	}
	v, err := w.search(g, g.rises)
	return turn{tips: !math.IsNaN(v.Value), tipping: v}, err
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
