package decide

import (
	"strings"

	"sumpward/scenarios"
	"sumpward/scenarios/uncertainty"
	"sumpward/sim"
)

// Readings that several inputs go into at once.
const (
	PressureReading     = "the pressure between crankcase and can at full throttle"
	OilReading          = "the oil caught in a session"
	BlowByReading       = "blow-by at full throttle"
	BlowByClosedReading = "blow-by at closed throttle"
)

// gauge is what is read: one input, or several at once, with what is known of it
// before.
type gauge struct {
	name     string
	inputs   []*scenarios.Quantity
	law      uncertainty.Distribution
	from, to float64
	rises    bool // the chance rises with it
	at       func(value float64) (*scenarios.Scenario, error)
}

// combined is how a reading comes from a car's inputs, and how a car is made that
// gives a reading. More of it never helps.
type combined struct {
	paths   []string // inputs that go into it
	applies func(*scenarios.Scenario) bool
	of      func(w *settler, m *sim.Model) (float64, error)
	at      func(w *settler, inputs []*scenarios.Quantity, value float64) (*scenarios.Scenario, error)
}

var blowByInputs = []string{"engine.displacement", "engine.boost", "engine.wear", "engine.blow_by_law", "engine.shaft_seals"}

var combinedReadings = map[string]combined{
	PressureReading: {
		paths: append([]string{"engine.blow_by.full_throttle", "engine.gas_temperature", "engine.pulsation",
			"separator.pressure_loss.*", "breathers.*.*"}, blowByInputs...),
		applies: func(s *scenarios.Scenario) bool {
			return s.Drain.Return != scenarios.EmptiedByHand && s.Separator.OilCollects == "after"
		},
		of: func(_ *settler, m *sim.Model) (float64, error) { return pressureOf(m) },
		at: (*settler).withPressure,
	},
	OilReading: {
		paths: []string{"carry_over.oil_used", "carry_over.through_breathers", "carry_over.separator_lost",
			"carry_over.during.*"},
		applies: func(s *scenarios.Scenario) bool { return s.CarryOver.OilUsed != nil },
		of:      func(w *settler, m *sim.Model) (float64, error) { return carriedIn(m.Nominal(), w.d.Length), nil },
		at:      (*settler).withOil,
	},
	BlowByReading: {
		paths:   blowByInputs,
		applies: func(s *scenarios.Scenario) bool { return s.Engine.BlowByFull == nil },
		of:      func(_ *settler, m *sim.Model) (float64, error) { return m.Nominal().Gas.BlowByFull, nil },
		at: func(w *settler, _ []*scenarios.Quantity, value float64) (*scenarios.Scenario, error) {
			return w.d.Scenario.With(scenarios.Change{Path: "engine.blow_by.full_throttle", Value: value})
		},
	},
	BlowByClosedReading: {
		paths:   []string{"engine.closed_throttle_per_litre", "engine.closed_share"},
		applies: func(s *scenarios.Scenario) bool { return s.Engine.BlowByClosed == nil },
		of:      func(_ *settler, m *sim.Model) (float64, error) { return m.Nominal().Gas.BlowByClosed, nil },
		at: func(w *settler, _ []*scenarios.Quantity, value float64) (*scenarios.Scenario, error) {
			return w.d.Scenario.With(scenarios.Change{Path: "engine.blow_by.closed_throttle", Value: value})
		},
	},
}

// Tells reports whether a reading tells of an input.
func (r Reading) Tells(path string) bool {
	for _, pattern := range r.Paths {
		if matches(pattern, path) {
			return true
		}
	}
	return false
}

// applies reports whether a reading can be taken of a layout.
func (r Reading) applies(s *scenarios.Scenario) bool {
	c, known := combinedReadings[r.Of]
	return !known || c.applies(s)
}

// matches compares a path with a pattern, part by part; "*" is any part.
func matches(pattern, path string) bool {
	want, parts := strings.Split(pattern, "."), strings.Split(path, ".")
	if len(want) != len(parts) {
		return false
	}
	for i := range want {
		if want[i] != "*" && want[i] != parts[i] {
			return false
		}
	}
	return true
}

// gaugeOf is what a reading reads when it is taken for an input.
func (w *settler) gaugeOf(r Reading, in *InputDependence) (gauge, error) {
	if r.Of != "" {
		return w.combinedGauge(r.Of)
	}
	return w.gaugeOfInput(in), nil
}

// gaugeOfInput is a reading of one input.
func (w *settler) gaugeOfInput(in *InputDependence) gauge {
	path := in.Input.Path
	return gauge{
		name: path, inputs: []*scenarios.Quantity{in.Input}, law: in.Input.Distribution, from: in.From, to: in.To,
		rises: in.AtTo.Probability > in.AtFrom.Probability,
		at:    func(v float64) (*scenarios.Scenario, error) { return Changed(w.d.Scenario, path, v) },
	}
}

// drawnReadings is how many draws stand for what is known of a reading of several
// inputs.
const drawnReadings = 200

// combinedGauge draws the inputs that go into a reading, and what it comes to.
func (w *settler) combinedGauge(name string) (gauge, error) {
	if g, known := w.gauges[name]; known {
		return g, nil
	}
	c := combinedReadings[name]
	g := gauge{name: name, rises: true}
	design, err := w.options.Design()
	if err != nil {
		return g, err
	}
	u := w.model.Coordinates(design, w.seed(), drawnReadings)
	var paths []string
	var places [][]float64
	for i, q := range w.model.Uncertain() {
		if (Reading{Paths: c.paths}).Tells(q.Path) {
			g.inputs, places = append(g.inputs, q), append(places, u[i])
			paths = append(paths, q.Path)
		}
	}
	readings := make([]float64, drawnReadings)
	values := make([]float64, len(paths))
	for r := range readings {
		for i, q := range g.inputs {
			values[i] = q.Distribution.Quantile(places[i][r])
		}
		s, err := changedAll(w.d.Scenario, paths, values)
		if err != nil {
			return g, err
		}
		m, err := sim.NewModel(s)
		if err != nil {
			return g, err
		}
		if readings[r], err = c.of(w, m); err != nil {
			return g, err
		}
	}
	if g.law, err = uncertainty.Table(readings, nil); err != nil {
		return g, err
	}
	g.from, g.to = g.law.Range()
	g.at = func(v float64) (*scenarios.Scenario, error) { return c.at(w, g.inputs, v) }
	w.gauges[name] = g
	return g, nil
}

func (w *settler) seed() uint64 {
	if w.options.Seed != nil {
		return *w.options.Seed
	}
	return w.d.Scenario.Simulation.Seed
}

// pressureOf is the pressure between crankcase and can at full throttle, nominal, Pa.
func pressureOf(m *sim.Model) (float64, error) {
	p, err := m.FullThrottle()
	return p.Crankcase - p.Can, err
}

// withPressure is the scenario with the inputs of the pressure at nominal values,
// and the separator's loss such that the pressure is a given one; without any loss
// where the hoses alone make it more.
func (w *settler) withPressure(inputs []*scenarios.Quantity, value float64) (*scenarios.Scenario, error) {
	const path = "separator.pressure_loss.loss"
	paths, values := []string{path}, []float64{0}
	for _, q := range inputs {
		if q.Path != path {
			paths, values = append(paths, q.Path), append(values, q.Nominal())
		}
	}
	var s *scenarios.Scenario
	excess := func(loss float64) (float64, error) {
		values[0] = loss
		var err error
		if s, err = changedAll(w.d.Scenario, paths, values); err != nil {
			return 0, err
		}
		m, err := sim.NewModel(s)
		if err != nil {
			return 0, err
		}
		p, err := pressureOf(m)
		return p - value, err
	}
	if low, err := excess(0); err != nil || low >= 0 {
		return s, err
	}
	const most = 50e3 // Pa, the largest loss that a scenario may hold
	from, to := 0.0, min(most, 2*value)
	for to-from > 1e-4*value {
		middle := (from + to) / 2
		over, err := excess(middle)
		if err != nil {
			return nil, err
		}
		if over < 0 {
			from = middle
		} else {
			to = middle
		}
	}
	return s, nil
}

// carriedIn is the oil, m3 at 15 °C, that leaves a crankcase through its breathers
// in so many seconds of the car's own duty.
func carriedIn(car *sim.Car, seconds float64) float64 {
	var flow, time float64
	for _, p := range car.Lap {
		if !p.Stopped {
			flow += max(0, car.Gas.BlowBy(p.Load)) * p.Duration
		}
		time += p.Duration
	}
	running := 0.0
	for _, p := range car.Lap {
		if !p.Stopped {
			running += p.Duration
		}
	}
	mass := car.CarryOver.Mist*flow/time*seconds + car.CarryOver.Liquid*running/time*seconds
	return mass / car.Oil.Density15
}

// withOil is the scenario with so much oil read in a session of the length in
// question, all of it come through the breathers. The reading is next to exact, yet
// written as a log-normal law, which no least spread of a dipstick widens.
func (w *settler) withOil(_ []*scenarios.Quantity, value float64) (*scenarios.Scenario, error) {
	law, err := nextToExact(value)
	if err != nil {
		return nil, err
	}
	changes := []scenarios.Change{
		{Path: "carry_over.during", Value: w.d.Length}, {Path: "carry_over.oil_used", Value: law},
		{Path: "carry_over.through_breathers", Value: 1.0},
	}
	if w.d.Scenario.CarryOver.SeparatorLost != nil {
		changes = append(changes, scenarios.Change{Path: "carry_over.separator_lost"})
	}
	return w.d.Scenario.With(changes...)
}
