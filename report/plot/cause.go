package plot

import (
	"math"
	"slices"

	"gonum.org/v1/plot/vg/draw"

	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// cause is what a drain comes down to at nominal values, at full throttle: a
// figure and the level at which the drain is held.
type cause struct {
	heading, level string
	unit           units.Unit
	of             func(*sim.PhaseCheck) float64
	at             float64 // the level, in the unit
	above          bool    // held above the level, else below
}

// causes are the margin, for a sealed drain, and the gas, for an unsealed one.
func (v Variation) causes() []cause {
	length, share := words.ColumnOf(units.Length, v.Units).Unit, words.ColumnOf(units.Fraction, v.Units).Unit
	return []cause{
		{"Drain margin (oil column) at full throttle, nominal, " + length.Symbol, "nothing in hand", length,
			func(c *sim.PhaseCheck) float64 { return c.Margin }, 0, false},
		{"Gas up the drain at full throttle, nominal, " + share.Symbol + " of what holds all oil up", "holds all oil up", share,
			func(c *sim.PhaseCheck) float64 { return c.GasUp / c.GasLimit }, 100, true},
	}
}

// cause is the panel of the drain's nominal margin, nil for a can emptied by hand.
func (v Variation) cause() *panel {
	for _, c := range v.causes() {
		if p := v.causeOf(c); p != nil {
			return p
		}
	}
	return nil
}

func (v Variation) causeOf(c cause) *panel {
	columns := []int{0}
	if len(v.Variation.Axes) == 2 {
		columns = v.curves()
	}
	p := &panel{heading: c.heading, height: 130}
	low, high := c.at, c.at
	for i, j := range columns {
		l := line{name: "nominal", style: stroke(ink, 1.3, solid), marker: draw.CircleGlyph{}, points: v.nominal(j, c)}
		if len(columns) > 1 {
			l.name, l.style, l.marker = v.value(j), curveStyles[i].line, curveStyles[i].marker
		}
		low, high = reach(low, high, l.points)
		p.lines = append(p.lines, l)
	}
	if low == high && !slices.ContainsFunc(p.lines, func(l line) bool { _, found := l.end(); return found }) {
		return nil
	}
	v.merge(p)
	p.y = rounded("", low, high, 5)
	if least := leastOf(p.lines); c.above && least > 0 && high > 5*c.at {
		p.y = decades("", min(0.8*least, c.at/2), high)
		p.heading += " (logarithmic)"
	}
	p.rules = []rule{{c.level, c.at, stroke(ink, 1, longish)}}
	p.zones = []span{{p.y.low, c.at}}
	if c.above {
		p.zones = []span{{c.at, p.y.high}}
	}
	return p
}

// nominal returns the figure over the first input, at one value of the second.
func (v Variation) nominal(j int, c cause) []point {
	var list []point
	for i, at := range v.column(j) {
		y := math.NaN()
		if at.Nominal != nil {
			y = c.unit.FromSI(c.of(at.Nominal))
		}
		list = append(list, point{v.unit(0).FromSI(v.Variation.Axes[0].Values[i]), y})
	}
	return list
}

// leastOf is the lowest value of lines.
func leastOf(lines []line) float64 {
	least := math.Inf(1)
	for _, l := range lines {
		least, _ = reach(least, 0, l.points)
	}
	return least
}

// merge leaves one line where the second input makes no difference.
func (v Variation) merge(p *panel) bool {
	if len(p.lines) < 2 || !alike(p.lines) {
		return false
	}
	p.lines = p.lines[:1]
	p.lines[0].name = "at every " + v.Variation.Axes[1].Path
	return true
}

// alike reports whether lines can't be told apart.
func alike(lines []line) bool {
	same := func(a, b []point) bool {
		return slices.EqualFunc(a, b, func(a, b point) bool {
			return finite(a.y) == finite(b.y) && (!finite(a.y) || math.Abs(a.y-b.y) <= 1e-9*max(1, math.Abs(a.y)))
		})
	}
	for _, l := range lines[1:] {
		if !same(lines[0].points, l.points) || !same(lines[0].bounds, l.bounds) {
			return false
		}
	}
	return true
}
