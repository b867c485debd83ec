package decide

import (
	"cmp"
	"context"
	"slices"

	"sumpward/scenarios"
	"sumpward/sim"
)

// Settlement is which tests would settle what a verdict depends on.
type Settlement struct {
	*Dependence
	Tests     []Settling       // by what they decide for their minutes, most first
	Without   []WithoutTest    // inputs that count and that no shop test reads
	Strongest *InputDependence // where nothing tips: the input that moves the chance most; nil where none does for sure
}

// WithoutTest is an input that no shop test reads, and what to do instead.
type WithoutTest struct {
	Input  *scenarios.Quantity
	Assume string
}

// Settling is what one reading of a test would settle.
type Settling struct {
	Test     Test
	Reading  Reading
	Inputs   []*scenarios.Quantity // that it reads: one, or several at once
	From, To float64               // SI, the range that the reading may fall in, before it is taken
	Against  []*scenarios.Quantity // the inputs with which it tips, each at the end that would turn the verdict; empty: it tips alone
	Tips     bool
	Tipping  TippingValue // of the reading, if it Tips
	Decides  float64      // chance that the reading decides, see Settle
	Now      float64      // how far the chance moves across the range of the reading
	Left     float64      // how far it moves across what a reading leaves, mean over readings
	AtWorst  float64      // the same, at the reading that leaves most
}

// Settle works out what tests would settle of a dependence. options are those of
// the run that it was found from, its seed among them.
//
// A reading y of an input with the value x and the test's standard error e (normal,
// or of its logarithm) leaves y ± 1.96 e. It decides where all of that lies beyond
// the tipping value's own interval. Decides is the chance of that, over the input's
// present distribution F and the error,
//
//	P = ∫ [Φ((t_low - 1.96 e - x)/e) + Φ((x - t_high - 1.96 e)/e)] dF(x)
//
// (derived). The other inputs stay drawn: one of them may tip the verdict still. Of
// two inputs that tip only together a reading of one decides on that side alone on
// which the other, at the end that would turn the verdict, no longer turns it; on
// the other side it leaves it to the other.
//
// Now is the difference of the chance between the ends of the input's range; Left
// the same between the ends of what a reading leaves, within that range, in the mean
// over readings; AtWorst the largest. The chance in between is simulated at
// seven values on common draws, and taken to be straight between them.
//
// A reading that several inputs go into at once (the pressure between crankcase and
// can) is put in their place: its present distribution is that of 200 draws, and
// its tipping value is found like that of an input.
//
// Where nothing tips the tests are those of the input that moves the chance most.
// When the context ends first it is the context's error.
func Settle(ctx context.Context, m *sim.Model, d *Dependence, o sim.Options, tests ...Test) (*Settlement, error) {
	o.SamplingError, o.Progress = 0, nil
	o.Realizations = int(min(max(endRealizations, 5/d.Limit), mostAtEnds))
	short := *d // driven no further than the session in question
	var err error
	if short.Scenario, err = d.Scenario.With(scenarios.Change{Path: "sessions", Value: lengthsList([]float64{d.Length})}); err != nil {
		return nil, err
	}
	w := &settler{weigher: weigher{ctx: ctx, model: m, short: short.Scenario, options: o, d: &short}, gauges: map[string]gauge{}, curves: map[string]curve{}}
	s := &Settlement{Dependence: d}
	subjects, err := w.subjects()
	if err != nil {
		return nil, err
	}
	if len(subjects) == 0 && len(d.Inputs) > 0 && d.Inputs[0].Moves() {
		s.Strongest = &d.Inputs[0]
		subjects = []subject{{in: &d.Inputs[0]}}
	}
	for _, sub := range subjects {
		found := false
		for _, t := range tests {
			for _, r := range t.Readings {
				if !r.Tells(sub.in.Input.Path) || !r.applies(d.Scenario) {
					continue
				}
				found = true
				if err := w.settling(s, t, r, sub); err != nil {
					return nil, err
				}
			}
		}
		if !found {
			s.Without = append(s.Without, WithoutTest{sub.in.Input, AssumeFor(sub.in.Input.Path)})
		}
	}
	slices.SortStableFunc(s.Tests, func(a, b Settling) int {
		return cmp.Or(cmp.Compare(b.Decides/b.Test.Minutes, a.Decides/a.Test.Minutes),
			cmp.Compare((b.Now-b.Left)/b.Test.Minutes, (a.Now-a.Left)/a.Test.Minutes))
	})
	return s, nil
}

// settler works out one settlement.
type settler struct {
	weigher
	gauges map[string]gauge // readings of several inputs, by name
	curves map[string]curve // by path, or by name of a reading of several inputs
}

// settling adds what one reading would settle of one input that counts; a reading
// of several inputs once.
func (w *settler) settling(s *Settlement, t Test, r Reading, sub subject) error {
	g, err := w.gaugeOf(r, sub.in)
	if err != nil {
		return err
	}
	if r.Of != "" && slices.ContainsFunc(s.Tests, func(x Settling) bool { return x.Reading.Of == r.Of && x.Test.Name == t.Name }) {
		return nil
	}
	c, err := w.curve(g)
	if err != nil {
		return err
	}
	turns := sub.turn
	if r.Of != "" { // on its own account
		if turns, err = w.turnOf(g, c); err != nil {
			return err
		}
	}
	x := Settling{Test: t, Reading: r, Inputs: g.inputs, From: g.from, To: g.to, Tips: turns.tips, Tipping: turns.tipping, Against: turns.against}
	if x.Tips {
		x.Decides = r.Error.decides(g.law, x.Tipping, turns.sides)
	}
	x.Now = c.across(g.from, g.to)
	x.Left, x.AtWorst = c.left(g.law, r.Error)
	s.Tests = append(s.Tests, x)
	return nil
}
