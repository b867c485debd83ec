package plot

import (
	"errors"
	"fmt"
	"io"

	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"sumpward/report"
	"sumpward/sim/pool"
)

// Calibration is how forecasts came true: against what was said, what came, with
// its interval, one panel an event.
type Calibration struct {
	Title  string
	Events []report.ScoredEvent
}

// Write draws the panels.
func (k Calibration) Write(w io.Writer, f Format) error {
	fig := k.figure()
	if len(fig.panels) == 0 {
		return errors.New("nothing to draw: there is no forecast of which it is written what came")
	}
	return fig.write(w, f)
}

func (k Calibration) figure() *figure {
	f := &figure{
		title: k.Title, subtitle: "Beside each point: in how many of how many it came true. Bars are 95 % intervals (Clopper and Pearson), as if sessions were independent",
		x:    exact("said before, %", 0, 100, 10),
		keys: []key{{"came true, with its interval", drawBarSwatch}},
	}
	for _, e := range k.Events {
		if e.Count > 0 {
			f.panels = append(f.panels, calibrationPanel(e))
		}
	}
	return f
}

func calibrationPanel(e report.ScoredEvent) *panel {
	p := &panel{heading: "Came true, %: " + e.Name, height: 200, y: exact("", 0, 100, 5)}
	p.lines = []line{{name: "as said", style: stroke(slate, 1.2, dashed), points: []point{{0, 0}, {100, 100}}}}
	for _, b := range e.Bins {
		if b.Count > 0 {
			p.lines = append(p.lines, barOf(b)...)
		}
	}
	return p
}

// barOf is a bin: an upright bar over its interval, and a dot with its count.
func barOf(b pool.Bin) []line {
	x := 100 * b.Said
	bar := line{style: stroke(navy, 1.3, solid), points: []point{{x, 100 * b.Interval.Low}, {x, 100 * b.Interval.High}}}
	dot := line{style: stroke(navy, 1.3, solid), points: []point{{x, 100 * float64(b.Came) / float64(b.Count)}},
		marker: counted{fmt.Sprintf("%d of %d", b.Came, b.Count), x > 85, clearOfFrame(b)}}
	return []line{bar, dot}
}

// clearOfFrame is how far the text of a bin is lifted off the lower edge of the
// frame, or set below the upper one.
func clearOfFrame(b pool.Bin) vg.Length {
	switch b.Came {
	case 0:
		return 7
	case b.Count:
		return -7
	}
	return 0
}

// counted is a dot with a text beside it.
type counted struct {
	text string
	left bool      // of the dot, for want of room to the right
	lift vg.Length // of the text
}

// DrawGlyph draws the dot and the text.
func (g counted) DrawGlyph(c *draw.Canvas, style draw.GlyphStyle, at vg.Point) {
	draw.CircleGlyph{}.DrawGlyph(c, style, at)
	beside := labelText
	from := vg.Point{X: at.X + 6, Y: at.Y + middle + g.lift}
	if g.left {
		beside.XAlign, from.X = text.XRight, at.X-6
	}
	c.SetColor(paper) // the text stays clear of lines behind it
	c.Fill(beside.Rectangle(g.text).Add(from).Path())
	c.FillText(beside, from, clean(g.text))
}

// drawBarSwatch draws an upright bar with a dot.
func drawBarSwatch(c *draw.Canvas, at vg.Point) {
	c.StrokeLine2(stroke(navy, 1.3, solid), at.X, at.Y-5, at.X, at.Y+5)
	c.DrawGlyphNoClip(draw.GlyphStyle{Color: navy, Radius: 2.6, Shape: draw.CircleGlyph{}}, at)
}
