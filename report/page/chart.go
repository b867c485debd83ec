package page

import (
	"fmt"
	"html/template"
	"math"
	"strconv"
	"strings"
)

// chart is a drawing with two axes, made as SVG. Its colours and letters come from
// the page's style sheet by class; numbers are in the units of the axes.
type chart struct {
	width, height            float64 // of the drawing, in its own units
	left, right, top, bottom float64 // margins around the area of the axes
	x, y                     scale
	b                        strings.Builder
}

// scale is one axis.
type scale struct {
	low, high float64
	ticks     []tick
	title     string
}

// tick is a mark on an axis.
type tick struct {
	at   float64
	text string
}

// at returns where along the axis a value lies: 0 at low, 1 at high; what lies
// beyond stays at the end.
func (s scale) at(v float64) float64 {
	return min(max((v-s.low)/(s.high-s.low), 0), 1)
}

func (c *chart) across(v float64) float64 { return c.left + c.x.at(v)*(c.width-c.left-c.right) }

func (c *chart) up(v float64) float64 {
	return c.height - c.bottom - c.y.at(v)*(c.height-c.top-c.bottom)
}

// coordinate writes a place to a hundredth.
func coordinate(v float64) string {
	text := strconv.FormatFloat(v, 'f', 2, 64)
	text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	if text == "-0" {
		return "0"
	}
	return text
}

// axes draws grid, frame, ticks and titles. It comes first, so that all else lies
// on top.
func (c *chart) axes() {
	right, floor := c.width-c.right, c.height-c.bottom
	for _, t := range c.y.ticks {
		y := coordinate(c.up(t.at))
		fmt.Fprintf(&c.b, `<path class="grid" d="M%s %sH%s"/>`, coordinate(c.left), y, coordinate(right))
		c.text("tick", place{c.left - 6, c.up(t.at) + 4, "end"}, t.text)
	}
	for _, t := range c.x.ticks {
		x := coordinate(c.across(t.at))
		fmt.Fprintf(&c.b, `<path class="frame" d="M%s %sv4"/>`, x, coordinate(floor))
		c.text("tick", place{c.across(t.at), floor + 17, "middle"}, t.text)
	}
	fmt.Fprintf(&c.b, `<path class="frame" d="M%s %sV%sH%s"/>`, coordinate(c.left), coordinate(c.top), coordinate(floor), coordinate(right))
	c.text("tick", place{(c.left + right) / 2, c.height - 4, "middle"}, c.x.title)
	c.text("tick", place{0, 15, "start"}, c.y.title)
}

// place is where a text stands, and which end of it: "start", "middle", "end".
type place struct {
	x, y   float64
	anchor string
}

func (c *chart) text(class string, at place, text string) {
	fmt.Fprintf(&c.b, `<text class="%s" x="%s" y="%s" text-anchor="%s">%s</text>`,
		class, coordinate(at.x), coordinate(at.y), at.anchor, template.HTMLEscapeString(text))
}

// path is a polyline through points whose y is a number.
func (c *chart) path(x, y []float64) string {
	var b strings.Builder
	for i := range x {
		letter := "L"
		if i == 0 {
			letter = "M"
		}
		b.WriteString(letter + coordinate(c.across(x[i])) + " " + coordinate(c.up(y[i])))
	}
	return b.String()
}

func (c *chart) line(class string, x, y []float64) {
	fmt.Fprintf(&c.b, `<path class="line %s" d="%s"/>`, class, c.path(x, y))
}

func (c *chart) edge(class string, x, y []float64) {
	fmt.Fprintf(&c.b, `<path class="edge %s" d="%s"/>`, class, c.path(x, y))
}

// band fills what lies between two lines.
func (c *chart) band(class string, x, low, high []float64) {
	d := c.path(x, high)
	for i := len(x) - 1; i >= 0; i-- {
		d += "L" + coordinate(c.across(x[i])) + " " + coordinate(c.up(low[i]))
	}
	fmt.Fprintf(&c.b, `<path class="band %s" d="%sZ"/>`, class, d)
}

func (c *chart) dot(class string, x, y float64) {
	fmt.Fprintf(&c.b, `<circle class="dot %s" cx="%s" cy="%s" r="4"/>`, class, coordinate(c.across(x)), coordinate(c.up(y)))
}

// level draws a line across at one height, with a note on it.
func (c *chart) level(class string, y float64, note string) {
	fmt.Fprintf(&c.b, `<path class="mark %s" d="M%s %sH%s"/>`, class, coordinate(c.left), coordinate(c.up(y)), coordinate(c.width-c.right))
	if note == "" {
		return
	}
	up := c.up(y) - 5
	if up < c.top+8 {
		up = c.up(y) + 14
	}
	c.text("note", place{c.left + 6, up, "start"}, note)
}

// endLabel names what ends at the right, at a height of its own axis.
type endLabel struct {
	y           float64
	class, text string
}

// endLabels writes names right of the axes, moved apart where they would touch.
func (c *chart) endLabels(list []endLabel) {
	heights := make([]float64, len(list))
	for i, l := range list {
		heights[i] = c.up(l.y)
	}
	for i, y := range apart(heights, 15, c.top+6, c.height-c.bottom) {
		c.text(list[i].class, place{c.width - c.right + 6, y + 4, "start"}, list[i].text)
	}
}

// apart moves places so that each two are at least a gap from each other, within
// bounds, in their order and by little.
func apart(at []float64, gap, low, high float64) []float64 {
	moved := append([]float64(nil), at...)
	order := ordered(moved)
	for range 200 {
		still := true
		for i := 1; i < len(order); i++ {
			a, b := order[i-1], order[i]
			if lack := gap - (moved[b] - moved[a]); lack > 1e-6 {
				moved[a], moved[b], still = moved[a]-lack/2, moved[b]+lack/2, false
			}
		}
		for i := range order { // the bounds hold
			moved[order[i]] = max(moved[order[i]], low+gap*float64(i))
			moved[order[i]] = min(moved[order[i]], high-gap*float64(len(order)-1-i))
		}
		if still {
			break
		}
	}
	return moved
}

// ordered returns the indices of values from low to high, equal ones in their order.
func ordered(values []float64) []int {
	var list []int
	for i := range values {
		at := len(list)
		for at > 0 && values[list[at-1]] > values[i] {
			at--
		}
		list = append(list[:at], append([]int{i}, list[at:]...)...)
	}
	return list
}

// svg is the drawing with its name and what it shows in words.
func (c *chart) svg(id, title, description string) template.HTML {
	return template.HTML(fmt.Sprintf(
		`<svg class="chart" role="img" viewBox="0 0 %s %s" aria-labelledby="%s-title %s-desc"><title id="%s-title">%s</title><desc id="%s-desc">%s</desc>%s</svg>`,
		coordinate(c.width), coordinate(c.height), id, id, id, template.HTMLEscapeString(title), id, template.HTMLEscapeString(description), c.b.String()))
}

// number keeps what is drawn finite: NaN and infinities go to a bound.
func number(v, bound float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return bound
	}
	return v
}
