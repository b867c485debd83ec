package plot

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim/learn"
)

// Learned shows where each input lies after something was seen, on the scale of
// what was thought of it before: the share of cars that lay below. Before is the
// same for all inputs, 5 to 95 of 100; what was learned is narrower, or aside.
type Learned struct {
	Learned *learn.Learned
	Units   units.System
}

// mostRows is how many inputs are shown.
const mostRows = 16

// Write draws the inputs that were learned of.
func (l Learned) Write(w io.Writer, f Format) error {
	if len(l.Learned.Told()) == 0 {
		return errors.New("nothing to draw: what was seen tells nothing of any input that could be made out")
	}
	return l.figure().write(w, f)
}

// How before and after are drawn: dashed with rings, solid with boxes.
var (
	beforeLine, beforeMarker = stroke(slate, 1.1, dashed), draw.GlyphDrawer(draw.RingGlyph{})
	afterLine, afterMarker   = stroke(navy, 2.4, solid), draw.GlyphDrawer(draw.BoxGlyph{})
)

func (l Learned) figure() *figure {
	told := l.Learned.Told()
	told = told[:min(len(told), mostRows)]
	p := &panel{heading: "Inputs, most learned of first; at the right what is known of them now", height: vg.Length(len(told))*32 + 12}
	p.y = axis{low: -0.6, high: float64(len(told)) - 0.4}
	for i, in := range told {
		y := float64(len(told) - 1 - i)
		name := clean(words.InputName(in.Quantity.Path))
		if tickText.Width(name) > mostName {
			name = shortened(clean(in.Quantity.Path), tickText, mostName)
		}
		p.y.ticks = append(p.y.ticks, tick{y, name})
		row := func(s learn.Spread, y float64) []point {
			return []point{{100 * s.P05, y}, {100 * s.P50, y}, {100 * s.P95, y}}
		}
		p.lines = append(p.lines,
			line{style: beforeLine, marker: beforeMarker, points: row(learn.Spread{P05: 0.05, P50: 0.5, P95: 0.95}, y+0.17)},
			line{name: l.now(in), style: afterLine, marker: afterMarker, points: row(in.Place, y-0.17)})
	}
	return &figure{
		title: l.Learned.Scenario.Title, subtitle: l.subtitle(len(told)),
		x:      exact("cars, of 100, that lay below it by what was known before", 0, 100, 10),
		panels: []*panel{p},
		keys: []key{
			{"before", swatchOf(beforeLine, beforeMarker)},
			{"after; marks: middle, and ends of 9 of 10", swatchOf(afterLine, afterMarker)},
		},
	}
}

// mostName is how wide the name of an input may be.
const mostName vg.Length = 190

// now writes the range that an input has after.
func (l Learned) now(in learn.Input) string {
	low, high := in.Quantity.Format(in.After.P05, l.Units), in.Quantity.Format(in.After.P95, l.Units)
	if number, unit, found := strings.Cut(low, " "); found && strings.HasSuffix(high, " "+unit) {
		low = number
	}
	return low + " .. " + high
}

func (l Learned) subtitle(shown int) string {
	text := fmt.Sprintf("Learned from %s, seed %d, %s draws worth %.0f independent ones",
		several(len(l.Learned.Readings), "observation"), l.Learned.Seed, words.Grouped(int64(l.Learned.Len())), l.Learned.Own)
	if rest := len(l.Learned.Inputs) - shown; rest > 0 {
		text += fmt.Sprintf("; %s more, of which less was learned, or nothing", several(rest, "input"))
	}
	return text
}

func several(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// swatchOf draws a piece of a line with its marker.
func swatchOf(s draw.LineStyle, marker draw.GlyphDrawer) func(c *draw.Canvas, middle vg.Point) {
	return func(c *draw.Canvas, middle vg.Point) {
		c.StrokeLine2(s, middle.X-11, middle.Y, middle.X+11, middle.Y)
		c.DrawGlyphNoClip(draw.GlyphStyle{Color: s.Color, Radius: 2.6, Shape: marker}, middle)
	}
}
