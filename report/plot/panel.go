package plot

import (
	"image/color"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// panel is one plot of a figure.
type panel struct {
	heading string
	height  vg.Length // of the frame
	y       axis
	shaded  []span // of x, over the whole height
	zones   []span // of y, over the whole width, shaded too
	bands   []band
	rules   []rule
	lines   []line
}

// band is an area between two lines.
type band struct {
	color     color.Color
	low, high []point // at the same x
}

// rule is a labelled level.
type rule struct {
	name string
	y    float64
	line draw.LineStyle
}

// line is a curve, named beside its end.
type line struct {
	name   string
	style  draw.LineStyle
	marker draw.GlyphDrawer // nil: none
	points []point
	bounds []point // what is only known to lie below: shown by an arrow
}

// columnsPerPoint is how finely lines are thinned out: a PNG's pixels.
const columnsPerPoint = DotsPerInch / 72

func (p *panel) draw(c *draw.Canvas, frame vg.Rectangle, x *axis) {
	c.FillText(headingText, vg.Point{X: frame.Min.X, Y: frame.Max.Y + 3}, clean(p.heading))
	p.drawShading(c, frame, x)
	p.drawGrid(c, frame, x)
	for _, b := range p.bands {
		p.drawBand(c, frame, x, b)
	}
	for _, r := range p.rules {
		y := up(frame, p.y.share(r.y))
		c.StrokeLine2(r.line, frame.Min.X, y, frame.Max.X, y)
	}
	for i := range p.lines {
		p.drawLine(c, frame, x, &p.lines[i])
	}
	c.StrokeLines(stroke(slate, 0.7, solid), []vg.Point{
		{X: frame.Min.X, Y: frame.Max.Y}, frame.Min, {X: frame.Max.X, Y: frame.Min.Y},
	})
	p.drawLabels(c, frame)
}

// drawShading shades stretches of x and of y, all in one path.
func (p *panel) drawShading(c *draw.Canvas, frame vg.Rectangle, x *axis) {
	var path vg.Path
	add := func(r vg.Rectangle) {
		if r.Max.X > r.Min.X && r.Max.Y > r.Min.Y {
			path = append(path, r.Path()...)
		}
	}
	for _, s := range p.shaded {
		r := frame
		r.Min.X, r.Max.X = across(frame, x.share(s.from)), across(frame, x.share(s.to))
		add(r)
	}
	for _, z := range p.zones {
		r := frame
		r.Min.Y, r.Max.Y = up(frame, p.y.share(z.from)), up(frame, p.y.share(z.to))
		add(r)
	}
	if len(path) > 0 {
		c.SetColor(shade)
		c.Fill(path)
	}
}

func (p *panel) drawGrid(c *draw.Canvas, frame vg.Rectangle, x *axis) {
	for _, t := range x.ticks {
		at := across(frame, x.share(t.at))
		c.StrokeLine2(stroke(pale, 0.6, solid), at, frame.Min.Y, at, frame.Max.Y)
	}
	for _, t := range p.y.ticks {
		at := up(frame, p.y.share(t.at))
		if t.text == "" {
			c.StrokeLine2(stroke(slate, 0.5, solid), frame.Min.X-2, at, frame.Min.X, at)
			continue
		}
		c.StrokeLine2(stroke(pale, 0.6, solid), frame.Min.X, at, frame.Max.X, at)
		c.StrokeLine2(stroke(slate, 0.7, solid), frame.Min.X-4, at, frame.Min.X, at)
		c.FillText(tickText, vg.Point{X: frame.Min.X - 6, Y: at + middle}, clean(t.text))
	}
}

// place is where a point stands on the canvas.
func (p *panel) place(frame vg.Rectangle, x *axis, at point) vg.Point {
	return vg.Point{X: across(frame, x.share(at.x)), Y: up(frame, p.y.share(at.y))}
}

func (p *panel) drawBand(c *draw.Canvas, frame vg.Rectangle, x *axis, b band) {
	var both []point // x with the two limits in turn, so that a gap in one parts both
	for i, low := range b.low {
		both = append(both, low, b.high[i])
	}
	c.SetColor(b.color)
	for _, run := range runs(both) {
		if len(run) < 4 || len(run)%2 != 0 {
			continue
		}
		var path vg.Path
		path.Move(p.place(frame, x, run[0]))
		for i := 2; i < len(run); i += 2 {
			path.Line(p.place(frame, x, run[i]))
		}
		for i := len(run) - 1; i > 0; i -= 2 {
			path.Line(p.place(frame, x, run[i]))
		}
		path.Close()
		c.Fill(path)
	}
}

func (p *panel) drawLine(c *draw.Canvas, frame vg.Rectangle, x *axis, l *line) {
	columns := int(float64(frame.Size().X) * columnsPerPoint)
	for _, run := range runs(l.points) {
		shown := thinned(run, x.low, x.high, columns)
		places := make([]vg.Point, len(shown))
		for i, at := range shown {
			places[i] = p.place(frame, x, at)
		}
		if len(places) > 1 {
			c.StrokeLines(l.style, places)
		}
		if l.marker == nil && len(places) > 1 {
			continue
		}
		for _, at := range places {
			l.drawMarker(c, at)
		}
	}
	for _, at := range l.bounds {
		if finite(at.x) && finite(at.y) {
			drawBound(c, l.style.Color, p.place(frame, x, at))
		}
	}
}

func (l *line) drawMarker(c *draw.Canvas, at vg.Point) {
	shape := l.marker
	if shape == nil {
		shape = draw.CircleGlyph{}
	}
	c.DrawGlyphNoClip(draw.GlyphStyle{Color: l.style.Color, Radius: 2.6, Shape: shape}, at)
}

// drawBound draws an arrow that points down from a bar: no more than this.
func drawBound(c *draw.Canvas, ink color.Color, at vg.Point) {
	s := stroke(ink, 1, solid)
	c.StrokeLine2(s, at.X-3.5, at.Y, at.X+3.5, at.Y)
	c.StrokeLine2(s, at.X, at.Y, at.X, at.Y-9)
	c.StrokeLines(s, []vg.Point{{X: at.X - 2.5, Y: at.Y - 6}, {X: at.X, Y: at.Y - 9.5}, {X: at.X + 2.5, Y: at.Y - 6}})
}
