package plot

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// Replay is one realization against time: load, what the drain must beat
// against the head there is, fill, and the flow down the drain. What a layout
// doesn't know is left out.
type Replay struct {
	Scenario *scenarios.Scenario
	Trace    *sim.Trace
	Units    units.System
}

// Write draws the realization.
func (r Replay) Write(w io.Writer, f Format) error {
	if len(r.Trace.Points) == 0 {
		return errors.New("the realization has no moments to draw")
	}
	return r.figure().write(w, f)
}

func (r Replay) figure() *figure {
	points := r.Trace.Points
	f := &figure{
		title:    r.Scenario.Title,
		subtitle: r.subtitle(),
		x:        exact("time, min", 0, r.minutes(), 10),
		panels:   []*panel{r.load()},
	}
	kind := r.Trace.Car.Drain.Kind
	if kind == sim.Sealed || kind == sim.BelowOil {
		f.panels = append(f.panels, r.pressures())
	}
	f.panels = append(f.panels, r.fill())
	if kind != sim.NoDrain {
		f.panels = append(f.panels, r.flow())
		f.shadeHeld(points)
	}
	f.addEvent("overflow", r.Trace.Outcome.Overflow, solid, r.Units)
	f.addEvent("drain choked", r.Trace.Outcome.DrainChoked, dashed, r.Units)
	return f
}

// subtitle says which realization it is, and what did not happen in it.
func (r Replay) subtitle() string {
	text := fmt.Sprintf("Realization %d of seed %d", r.Trace.Realization, r.Trace.Seed)
	var not []string
	if math.IsInf(r.Trace.Outcome.Overflow, 1) {
		not = append(not, "the can does not overflow")
	}
	if math.IsInf(r.Trace.Outcome.DrainChoked, 1) && r.Trace.Car.Drain.Kind != sim.NoDrain {
		not = append(not, "the drain does not choke")
	}
	if len(not) > 0 {
		text += ": " + strings.Join(not, ", ")
	}
	return text
}

// addEvent marks when something first happened, s.
func (f *figure) addEvent(name string, seconds float64, dash []vg.Length, u units.System) {
	if !finite(seconds) {
		return
	}
	f.events = append(f.events, event{seconds / 60, name + ", first after " + words.Show(seconds, units.Time, u), dash})
}

// shadeHeld shades in every panel but the first when the drain does not run.
func (f *figure) shadeHeld(points []sim.TracePoint) {
	spans := held(points)
	for i := range spans {
		spans[i].from /= 60
		spans[i].to /= 60
	}
	for _, p := range f.panels[1:] {
		p.shaded = spans
	}
	if len(spans) > 0 {
		f.keys = append(f.keys, key{"drain held", drawShade})
	}
}

// drawShade draws a swatch of the shading.
func drawShade(c *draw.Canvas, middle vg.Point) {
	c.SetColor(shade)
	c.Fill(vg.Rectangle{Min: vg.Point{X: middle.X - 11, Y: middle.Y - 5}, Max: vg.Point{X: middle.X + 11, Y: middle.Y + 5}}.Path())
}

// over returns a figure of the trace over time, min, in a unit.
func (r Replay) over(u units.Unit, value func(*sim.TracePoint) float64) []point {
	list := make([]point, len(r.Trace.Points))
	for i := range r.Trace.Points {
		p := &r.Trace.Points[i]
		list[i] = point{p.Time / 60, u.FromSI(value(p))}
	}
	return list
}

// dense reports whether the duty changes too often to be shown change by change.
func (r Replay) dense() bool {
	changes := 0
	for i := 1; i < len(r.Trace.Points); i++ {
		if r.Trace.Points[i].Phase != r.Trace.Points[i-1].Phase {
			changes++
		}
	}
	return changes > mostChanges
}

// minutes is how long the realization takes.
func (r Replay) minutes() float64 { return r.Trace.Points[len(r.Trace.Points)-1].Time / 60 }

// load shows the load; where it changes too often, its mean on top of it.
func (r Replay) load() *panel {
	u := words.ColumnOf(units.Fraction, r.Units).Unit
	points := r.over(u, func(p *sim.TracePoint) float64 { return p.Load })
	p := &panel{heading: "Load, " + u.Symbol, height: 60, y: exact("", 0, 100, 2)}
	if !r.dense() {
		p.lines = []line{{style: stroke(ink, 0.8, solid), points: points}}
		return p
	}
	w := window(r.minutes())
	p.lines = []line{
		{style: stroke(mist, 0.4, solid), points: points},
		{name: "mean of " + windowName(w), style: stroke(ink, 1.4, solid), points: runningOf(points, w).mean},
	}
	return p
}

// pressures shows what the drain must beat, as its range where it changes too
// often, and the head.
func (r Replay) pressures() *panel {
	u := words.ColumnOf(units.Pressure, r.Units).Unit
	beat := r.over(u, func(p *sim.TracePoint) float64 { return p.Against })
	head := r.over(u, func(p *sim.TracePoint) float64 { return p.Head })
	low, high := reach(0, 0, beat, head)
	p := &panel{
		heading: "Pressure that the drain must beat, and head of oil in hose and can, " + u.Symbol,
		height:  130, y: rounded("", low, high, 5),
	}
	style := stroke(rust, 1.1, dashed)
	if whole := runs(beat); r.dense() && len(whole) == 1 {
		w := window(r.minutes())
		summed := runningOf(whole[0], w)
		p.heading = "Pressure to beat (range within " + windowName(w) + "), and head of oil in hose and can, " + u.Symbol
		p.bands = []band{{faint(rust), summed.low, summed.high}}
		p.lines = []line{
			{name: "to beat, highest", style: style, points: summed.high},
			{name: "to beat, lowest", style: style, points: summed.low},
		}
	} else {
		p.lines = []line{{name: "to beat", style: style, points: beat}}
	}
	p.lines = append(p.lines, line{name: "head", style: stroke(navy, 1.4, solid), points: head})
	return p
}

func (r Replay) fill() *panel {
	u := words.ColumnOf(units.Fraction, r.Units).Unit
	p := &panel{
		heading: "Fill of the can, " + u.Symbol + " of what it holds", height: 140, y: exact("", 0, 105, 5),
		rules: []rule{{"full", 100, stroke(ink, 1, dotted)}},
		lines: []line{{name: "fill", style: stroke(navy, 1.3, solid), points: r.over(u, func(p *sim.TracePoint) float64 { return p.Fill })}},
	}
	if r.Trace.Car.Drain.Kind != sim.NoDrain {
		level := u.FromSI(r.Trace.Car.Limits.ChokeLevel)
		p.rules = append(p.rules, rule{"choke level " + words.ShowIn(r.Trace.Car.Limits.ChokeLevel, u), level, stroke(rust, 1, dashDot)})
	}
	return p
}

func (r Replay) flow() *panel {
	u := words.OilFlows(r.Units).Unit
	l := line{style: stroke(navy, 0.8, solid), points: r.over(u, func(p *sim.TracePoint) float64 { return p.DrainFlow })}
	low, high := reach(0, 0, l.points)
	return &panel{heading: "Oil flow down the drain, " + u.Symbol, height: 100, y: rounded("", low, high, 4), lines: []line{l}}
}

// reach widens a range to hold all finite values of curves.
func reach(low, high float64, curves ...[]point) (float64, float64) {
	for _, points := range curves {
		for _, p := range points {
			if finite(p.x) && finite(p.y) {
				low, high = min(low, p.y), max(high, p.y)
			}
		}
	}
	return low, high
}
