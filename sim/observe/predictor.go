package observe

import (
	"fmt"
	"math"

	"sumpward/scenarios"
	"sumpward/sim"
)

// Predictor predicts what would be seen. It reuses its memory and is not safe
// for concurrent use; see [Predictor.Copy].
type Predictor struct {
	seen    []scenarios.Observation
	layouts []layout // the scenario itself first
	inputs  []*scenarios.Quantity
	which   []int // by observation: index of its layout

	// Alter, if set, changes the settled car of the scenario itself (not of
	// variants that were fitted before) ahead of every prediction.
	Alter func(*sim.Car)

	lucks []int // by observation: index of the first one of the same session
}

// layout is the scenario, or a variant of it that was fitted at the time.
type layout struct {
	model  *sim.Model
	single *sim.Single
	from   []int // by uncertain input of the layout: index in the predictor's inputs
	u      []float64
	drives []drive // of the present place
}

// drive is a session that has been driven: several things may be seen of it.
type drive struct {
	luck     uint64
	length   float64 // s
	end      sim.SessionOutcome
	overflow float64 // s
}

// NewPredictor returns a predictor of observations of a scenario. Where one was
// made with another layout fitted, that is a variant of the scenario; inputs that
// both have are the same in both. The error names the observation.
func NewPredictor(s *scenarios.Scenario, seen []scenarios.Observation) (*Predictor, error) {
	p := &Predictor{seen: seen}
	index := map[string]int{}
	if err := p.add(s, index); err != nil {
		return nil, err
	}
	known := map[string]int{"": 0}
	for i := range seen {
		name := seen[i].Layout
		at, ok := known[name]
		if !ok {
			v, err := s.Variant(name)
			if err != nil {
				return nil, fmt.Errorf("observation %d: %w", i+1, err)
			}
			at = len(p.layouts)
			known[name] = at
			if err := p.add(v, index); err != nil {
				return nil, err
			}
		}
		p.which = append(p.which, at)
		p.lucks = append(p.lucks, firstOfSession(seen, i))
	}
	return p, nil
}

// firstOfSession is the first observation of the session that observation i is of.
func firstOfSession(seen []scenarios.Observation, i int) int {
	for j := range seen[:i] {
		if s := seen[j].Session; s != "" && s == seen[i].Session {
			return j
		}
	}
	return i
}

func (p *Predictor) add(s *scenarios.Scenario, index map[string]int) error {
	m, err := sim.NewModel(s)
	if err != nil {
		return err
	}
	l := layout{model: m, single: m.Single()}
	for _, q := range m.Uncertain() {
		i, ok := index[q.Path]
		if !ok {
			i = len(p.inputs)
			index[q.Path] = i
			p.inputs = append(p.inputs, q)
		}
		l.from = append(l.from, i)
		l.u = append(l.u, 0)
	}
	p.layouts = append(p.layouts, l)
	return nil
}

// Copy returns a predictor of the same that another goroutine may use.
func (p *Predictor) Copy() *Predictor {
	c := *p
	c.layouts = append([]layout(nil), p.layouts...)
	for i := range c.layouts {
		l := &c.layouts[i]
		l.single = l.model.Single()
		l.u, l.drives = make([]float64, len(l.u)), nil
	}
	return &c
}

// Inputs returns the uncertain inputs of all layouts, those of the scenario
// first, in the order of its draws: the coordinates of a place.
func (p *Predictor) Inputs() []*scenarios.Quantity { return p.inputs }

// Model returns the model of the scenario itself.
func (p *Predictor) Model() *sim.Model { return p.layouts[0].model }

// Observations returns what was seen.
func (p *Predictor) Observations() []scenarios.Observation { return p.seen }

// Values returns the scenario's own uncertain inputs as they were settled by the
// last call of Predict, SI, in dst.
func (p *Predictor) Values(dst []float64) []float64 {
	dst = dst[:0]
	for i := range p.layouts[0].from {
		dst = append(dst, p.layouts[0].single.Value(i))
	}
	return dst
}

// Predict returns what would be seen, without errors of reading, at a place in
// the open unit cube (see Inputs) with the luck of laps that goes with (seed,
// luck): one number an observation, in dst. Of what is wet or dry it is the
// chance of wet; of yes or no, 1 or 0. A pour that doesn't end is +Inf.
func (p *Predictor) Predict(u []float64, seed, luck uint64, dst []float64) ([]float64, error) {
	dst = dst[:0]
	for i := range p.layouts {
		l := &p.layouts[i]
		l.drives = l.drives[:0]
		for j, from := range l.from {
			l.u[j] = u[from]
		}
		car, err := l.single.Settle(l.u)
		if err != nil {
			return nil, err
		}
		if i == 0 && p.Alter != nil {
			route := car.Drain.Route // kept from one settling to the next
			p.Alter(car)
			defer func() { car.Drain.Route = route }()
		}
	}
	for i := range p.seen {
		v, err := p.layouts[p.which[i]].predict(&p.seen[i], seed, luck*mostObservations+uint64(p.lucks[i]))
		if err != nil {
			return nil, fmt.Errorf("observation %d: %w", i+1, err)
		}
		dst = append(dst, v)
	}
	return dst, nil
}

// mostObservations parts the lucks of one realization's observations.
const mostObservations = 1 << 12

// waterDensity is that of water at 20 °C, kg/m3.
const waterDensity = 998.2

func (l *layout) predict(o *scenarios.Observation, seed, luck uint64) (float64, error) {
	switch o.Kind {
	case scenarios.Crankcase:
		g, err := l.single.Pressure(o.Load)
		return g.Crankcase, err
	case scenarios.UTube:
		g, err := l.single.Pressure(o.Load)
		density := waterDensity
		if o.Fluid != "water" {
			density = l.single.OilDensity(coldOil)
		}
		return (g.Crankcase - g.Can) / (density * sim.StandardGravity), err
	case scenarios.Poured:
		return l.single.Pour(o.Volume, o.Temperature)
	}
	return l.session(o, seed, luck)
}

// coldOil is the temperature of the oil in a U-tube that hangs in the open, K;
// its density moves by less than 1 % over 15 K.
const coldOil = 293.15

// session predicts what is seen after sessions.
func (l *layout) session(o *scenarios.Observation, seed, luck uint64) (float64, error) {
	total := 0.0
	for i, length := range o.Over {
		driven, err := l.drive(seed, luck+uint64(i)<<48, length)
		if err != nil {
			return 0, err
		}
		end, density := &driven.end, l.single.Density15()
		switch o.Kind {
		case scenarios.Drained:
			total = end.InCan / density
		case scenarios.ToppedUp:
			missing := end.OutOfSump
			if l.single.Drains() { // what stands in can and hose runs back
				missing -= end.Held
			}
			total += missing / density
		case scenarios.VentHose:
			total = chanceOfWet(end.ToIntake/density, o)
		default:
			total = 0
			if driven.overflow <= length {
				total = 1
			}
		}
	}
	return total, nil
}

// drive drives a session of so many seconds, once for all that is seen of it.
func (l *layout) drive(seed, luck uint64, length float64) (*drive, error) {
	for i := range l.drives {
		if d := &l.drives[i]; d.luck == luck && d.length == length {
			return d, nil
		}
	}
	out, err := l.single.Realize(seed, luck, []float64{length})
	if err != nil {
		return nil, err
	}
	l.drives = append(l.drives, drive{luck, length, out.Sessions[0], out.Overflow})
	return &l.drives[len(l.drives)-1], nil
}

// chanceOfWet is the chance that a hose looks wet after so much oil in m3 went
// through: how much that takes is log-normal.
func chanceOfWet(oil float64, o *scenarios.Observation) float64 {
	if oil <= 0 {
		return 0
	}
	return normalBelow(math.Log(oil/o.ShowsFrom) / math.Log(o.ShowsSpread))
}

func normalBelow(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }
