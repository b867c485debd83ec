package plot

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
	"sumpward/sim/stats"
)

// mostCurves is how many values of a second input are shown.
const mostCurves = 6

// chance is one of the chances of a session, and how it is drawn.
type chance struct {
	name   string
	of     func(*sim.SessionResult) (stats.Estimate, int64)
	style  draw.LineStyle
	marker draw.GlyphDrawer
	band   color.NRGBA
}

func fails(s *sim.SessionResult) (stats.Estimate, int64)    { return s.Fails, s.Events.Fails }
func choked(s *sim.SessionResult) (stats.Estimate, int64)   { return s.DrainChoked, s.Events.DrainChoked }
func overflow(s *sim.SessionResult) (stats.Estimate, int64) { return s.Overflow, s.Events.Overflow }

// longest is the longest session of a result.
func longest(res *sim.Result) *sim.SessionResult { return &res.Sessions[len(res.Sessions)-1] }

// chances is the panel of the chances: all of them for one input, and for two
// that of overflow or a choked drain, for each value of the second.
func (v Variation) chances() *panel {
	u := words.ColumnOf(units.Fraction, v.Units).Unit
	p := &panel{height: 230}
	failing := "overflow or choked drain"
	if v.byHand() {
		failing = "overflow"
	}
	if len(v.Variation.Axes) == 2 {
		p.heading = "Chance of " + failing + " " + v.within() + ", " + u.Symbol + ", by " + v.Variation.Axes[1].Path
		for i, j := range v.curves() {
			c := curveStyles[i]
			v.add(p, u, v.column(j), chance{v.value(j), fails, c.line, c.marker, fainter(c.ink)})
		}
		if v.merge(p) {
			p.bands = p.bands[:1]
		}
	} else {
		p.heading = "Chance " + v.within() + ", " + u.Symbol
		if !v.byHand() {
			v.add(p, u, v.column(0), chance{failing, fails, stroke(mist, 4, solid), nil, faint(slate)})
			v.add(p, u, v.column(0), chance{"choked drain", choked, stroke(rust, 1.3, dashed), draw.BoxGlyph{}, fainter(rust)})
		}
		v.add(p, u, v.column(0), chance{"overflow", overflow, stroke(navy, 1.3, dotted), draw.CircleGlyph{}, fainter(navy)})
	}
	v.scale(p, u)
	return p
}

// byHand reports whether no layout has a drain.
func (v Variation) byHand() bool {
	for _, p := range v.Variation.Points {
		if p.Result != nil && p.Result.Kind != sim.NoDrain {
			return false
		}
	}
	return true
}

// within says for which session length the chances are.
func (v Variation) within() string {
	length := math.NaN()
	for _, p := range v.Variation.Points {
		if p.Result == nil {
			continue
		}
		l := longest(p.Result).Length
		if !math.IsNaN(length) && l != length {
			return "within the session"
		}
		length = l
	}
	return "within " + words.Length(length, v.Units)
}

// curves returns the indices of the second input's values that are shown,
// evenly picked.
func (v Variation) curves() []int {
	n := len(v.Variation.Axes[1].Values)
	shown := min(n, mostCurves)
	list := make([]int, shown)
	for i := range list {
		if shown > 1 {
			list[i] = int(math.Round(float64(i) * float64(n-1) / float64(shown-1)))
		}
	}
	return list
}

// value writes one of the second input's values.
func (v Variation) value(j int) string {
	return words.ShowIn(v.Variation.Axes[1].Values[j], v.unit(1))
}

// column returns the points over the first input, at one value of the second.
func (v Variation) column(j int) []*decide.VariedPoint {
	across := 1
	if len(v.Variation.Axes) == 2 {
		across = len(v.Variation.Axes[1].Values)
	}
	list := make([]*decide.VariedPoint, len(v.Variation.Axes[0].Values))
	for i := range list {
		list[i] = &v.Variation.Points[i*across+j]
	}
	return list
}

// add adds a curve of a chance with the band of its intervals. What came true
// in none of the realizations is not a point but a bound, and no band joins two
// of them.
func (v Variation) add(p *panel, u units.Unit, points []*decide.VariedPoint, c chance) {
	l := line{name: c.name, style: c.style, marker: c.marker}
	b := band{color: c.band}
	bound := false // the point before is one
	for i, at := range points {
		x, none := v.unit(0).FromSI(v.Variation.Axes[0].Values[i]), math.NaN()
		y, low, high := none, none, none
		before := bound
		bound = false
		if at.Result != nil {
			e, events := c.of(longest(at.Result))
			y, low, high = u.FromSI(e.Probability), u.FromSI(e.Low), u.FromSI(e.High)
			if events == 0 {
				y, bound = none, true
				l.bounds = append(l.bounds, point{x, high})
			}
		}
		if before && bound { // the arrows say it all
			b.low, b.high = append(b.low, point{none, none}), append(b.high, point{none, none})
		}
		l.points = append(l.points, point{x, y})
		b.low, b.high = append(b.low, point{x, low}), append(b.high, point{x, high})
	}
	p.lines, p.bands = append(p.lines, l), append(p.bands, b)
}

// smallLimit is the share of the axis below which a limit can't be made out on
// a linear scale.
const smallLimit = 1.0 / 20

// scale sets the axis of chances and the limit of risk on it: logarithmic where
// the limit would lie at the foot of a linear one.
func (v Variation) scale(p *panel, u units.Unit) {
	risk := v.Variation.Scenario.Limits.Risk.Nominal()
	limit := u.FromSI(risk)
	least, most := limit, limit
	for i, l := range p.lines {
		for _, points := range [][]point{l.points, l.bounds} {
			for _, at := range points {
				if finite(at.y) && at.y > 0 {
					least = min(least, at.y)
				}
			}
		}
		_, most = reach(0, most, p.bands[i].high, l.points)
	}
	if limit > 0 && limit < smallLimit*most {
		p.y = decades("", min(0.8*least, limit/2), most)
		p.heading += " (logarithmic)"
	} else {
		p.y = rounded("", 0, min(most, 100), 5)
	}
	p.rules = append(p.rules, rule{"limit of risk, " + words.ShowIn(risk, u), limit, stroke(ink, 1, longish)})
}

// curveStyle tells one curve of several from the others.
type curveStyle struct {
	ink    color.NRGBA
	line   draw.LineStyle
	marker draw.GlyphDrawer
}

var curveStyles = func() []curveStyle {
	style := func(c color.NRGBA, w vg.Length, dash []vg.Length, m draw.GlyphDrawer) curveStyle {
		return curveStyle{c, stroke(c, w, dash), m}
	}
	return []curveStyle{
		style(ink, 1.3, solid, draw.CircleGlyph{}),
		style(rust, 1.3, dashed, draw.BoxGlyph{}),
		style(navy, 1.3, dashDot, draw.PyramidGlyph{}),
		style(teal, 1.3, solid, draw.RingGlyph{}),
		style(slate, 1.3, dotted, draw.SquareGlyph{}),
		style(rust, 1.3, twoDots, draw.TriangleGlyph{}),
	}
}()
