package plot

import (
	"errors"
	"fmt"
	"io"

	"gonum.org/v1/plot/vg"

	"sumpward/report"
	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/datalog"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// Lap is a lap against time at nominal values: speed where the duty is a circuit,
// load, and the accelerations that the oil feels.
type Lap struct {
	Scenario *scenarios.Scenario
	Car      *sim.Car
	Circuit  *sim.CircuitLap // nil: the duty is no circuit
	Units    units.System
	All      bool // all laps of a log, not the first alone
}

// Write draws the lap.
func (l Lap) Write(w io.Writer, f Format) error {
	if len(l.phases()) == 0 {
		return errors.New("the lap has no phases to draw")
	}
	return l.figure().write(w, f)
}

// phases returns the phases that are drawn.
func (l Lap) phases() []sim.Phase {
	if len(l.Car.Laps) > 1 && !l.All {
		return l.Car.Lap[:l.Car.Laps[1]]
	}
	return l.Car.Lap
}

// duration is how long what is drawn takes, s.
func (l Lap) duration() float64 {
	total := 0.0
	for _, p := range l.phases() {
		total += p.Duration
	}
	return total
}

// longLap is from how long a lap its time is drawn in minutes, s.
const longLap = 600

// time is the unit of the time axis.
func (l Lap) time() units.Unit {
	symbol := "s"
	if l.duration() >= longLap {
		symbol = "min"
	}
	u, _ := units.ParseUnit(symbol, units.Time) // both are units of the table
	return u
}

func (l Lap) figure() *figure {
	t := l.time()
	f := &figure{
		title:    l.Scenario.Title,
		subtitle: l.subtitle() + l.variant(),
		x:        exact("time, "+t.Symbol, 0, t.FromSI(l.duration()), 12),
	}
	if l.Circuit != nil {
		f.panels = append(f.panels, l.speed())
	}
	f.panels = append(f.panels, l.load(), l.along(), l.sideways())
	if spans := l.stopped(); len(spans) > 0 {
		for _, p := range f.panels {
			p.shaded = spans
		}
		f.keys = append(f.keys, key{"engine stopped", drawShade})
	}
	return f
}

// subtitle says what lap it is.
func (l Lap) subtitle() string {
	time := words.Show(l.duration(), units.Time, l.Units)
	duty := &l.Scenario.Duty
	switch {
	case l.Circuit != nil:
		return report.CircuitName(l.Scenario, l.Circuit, l.Units) + ", a flying lap of " + time + " at nominal values"
	case duty.Pattern != nil:
		return "Random bursts of full throttle: one mean burst and one mean rest, " + time
	case duty.Log != nil && len(l.Car.Laps) > 1 && l.All:
		return fmt.Sprintf("Data log %s, all %d laps in a row, %s", duty.Log.File, len(l.Car.Laps), time)
	case duty.Log != nil && len(l.Car.Laps) > 1:
		return fmt.Sprintf("Data log %s, the first of %d laps, %s", duty.Log.File, len(l.Car.Laps), time)
	case duty.Log != nil:
		return fmt.Sprintf("Data log %s, a lap of %s", duty.Log.File, time)
	}
	return "A nominal lap of " + time
}

// variant names the variant that is drawn.
func (l Lap) variant() string {
	if l.Scenario.VariantName == "" {
		return ""
	}
	return fmt.Sprintf("; variant %q", l.Scenario.VariantName)
}

// steps returns a figure of the phases over time: constant within each.
func (l Lap) steps(u units.Unit, value func(*sim.Phase) float64) []point {
	t := l.time()
	var list []point
	at := 0.0
	phases := l.phases()
	for i := range phases {
		y := u.FromSI(value(&phases[i]))
		list = append(list, point{t.FromSI(at), y})
		at += phases[i].Duration
		list = append(list, point{t.FromSI(at), y})
	}
	return list
}

// sampled returns a figure of a circuit's samples over time, at their middles;
// none for another duty.
func (l Lap) sampled(u units.Unit, value func(*sim.LapSample) float64) []point {
	if l.Circuit == nil {
		return nil
	}
	t := l.time()
	var list []point
	for i := range l.Circuit.Samples {
		s := &l.Circuit.Samples[i]
		list = append(list, point{t.FromSI(s.Time + s.Duration/2), u.FromSI(value(s))})
	}
	return list
}

// speed shows how fast the car is.
func (l Lap) speed() *panel {
	u := words.ColumnOf(units.RoadSpeed, l.Units).Unit
	points := l.sampled(u, func(s *sim.LapSample) float64 { return s.Speed })
	_, high := reach(0, 0, points)
	return &panel{
		heading: "Speed, " + u.Symbol, height: 110, y: rounded("", 0, high, 5),
		lines: []line{{style: stroke(navy, 1.3, solid), points: points}},
	}
}

// load shows the load; with the engine stopped there is none.
func (l Lap) load() *panel {
	u := words.ColumnOf(units.Fraction, l.Units).Unit
	points := l.steps(u, func(p *sim.Phase) float64 {
		if p.Stopped {
			return 0
		}
		return p.Load
	})
	return &panel{
		heading: "Load, " + u.Symbol, height: 60, y: exact("", 0, 100, 2),
		lines: []line{{style: stroke(ink, 1.1, solid), points: points}},
	}
}

func (l Lap) along() *panel {
	return l.acceleration("Acceleration forward", "braking counts negative", nil,
		l.steps(l.g(), func(p *sim.Phase) float64 { return p.Forward }),
		l.sampled(l.g(), func(s *sim.LapSample) float64 { return s.Forward }))
}

// hardCorner is from which acceleration sideways a corner drives liquid oil over,
// g (prior, no published source).
const hardCorner = 0.8

func (l Lap) sideways() *panel {
	levels := []rule{{"0.8 g", hardCorner, stroke(slate, 0.8, dotted)}, {"-0.8 g", -hardCorner, stroke(slate, 0.8, dotted)}}
	return l.acceleration("Acceleration to the left", "a right turn counts negative", levels,
		l.steps(l.g(), func(p *sim.Phase) float64 { return p.Left }),
		l.sampled(l.g(), func(s *sim.LapSample) float64 { return s.Left }))
}

func (l Lap) g() units.Unit {
	return units.Unit{Symbol: "g", Factor: datalog.StandardGravity, Dimension: units.Acceleration}
}

// acceleration shows an acceleration in the phases, and below them as it is driven.
func (l Lap) acceleration(name, sign string, levels []rule, phases, driven []point) *panel {
	low, high := reach(-0.5, 0.5, phases, driven)
	p := &panel{
		heading: fmt.Sprintf("%s, g (%s)", name, sign), height: 110, y: rounded("", low, high, 5),
	}
	p.lines = append(p.lines, line{style: stroke(slate, 0.7, solid), points: []point{{0, 0}, {l.time().FromSI(l.duration()), 0}}})
	for _, r := range levels {
		if r.y > p.y.low && r.y < p.y.high {
			p.rules = append(p.rules, r)
		}
	}
	style := stroke(navy, 1.3, solid)
	if len(driven) == 0 {
		p.lines = append(p.lines, line{style: style, points: phases})
		return p
	}
	p.lines = append(p.lines,
		line{name: "as driven", style: stroke(rust, 0.9, []vg.Length{3, 1.5}), points: driven},
		line{name: "in phases", style: style, points: phases})
	return p
}

// stopped returns when the engine is stopped, in the unit of the axis.
func (l Lap) stopped() []span {
	t := l.time()
	var list []span
	at := 0.0
	for _, p := range l.phases() {
		from := at
		at += p.Duration
		if !p.Stopped {
			continue
		}
		if n := len(list); n > 0 && list[n-1].to == t.FromSI(from) {
			list[n-1].to = t.FromSI(at)
			continue
		}
		list = append(list, span{t.FromSI(from), t.FromSI(at)})
	}
	return list
}
