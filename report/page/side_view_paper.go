package page

import (
	"fmt"
	"html/template"
	"math"
	"strconv"
	"strings"

	"sumpward/report/words"
)

// Colours: the page's, or those of what surrounds the drawing.
const (
	ink    = "var(--ink, currentColor)"
	muted  = "var(--muted, currentColor)"
	paper  = "var(--paper, Canvas)"
	oil    = "var(--oil, currentColor)"
	accent = "var(--accent, currentColor)"
	good   = "var(--good, currentColor)"
	bad    = "var(--bad, currentColor)"
)

// drawing collects an SVG. It keeps the boxes of its texts.
type drawing struct {
	strings.Builder
	texts []box
}

// num writes a coordinate.
func num(v float64) string {
	text := strconv.FormatFloat(v, 'f', 3, 64)
	text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	if text == "-0" {
		return "0"
	}
	return text
}

// escaped makes any text fit for markup: no control characters, no tags.
func escaped(text string) string {
	return template.HTMLEscapeString(strings.ToValidUTF8(words.OneLine(text), "?"))
}

func (d *drawing) add(format string, args ...any) { fmt.Fprintf(d, format+"\n", args...) }

func (d *drawing) rect(class string, b box, attributes string) {
	d.add(`<rect class="%s" x="%s" y="%s" width="%s" height="%s" %s/>`, class, num(b.x), num(b.y), num(b.w), num(b.h), attributes)
}

func (d *drawing) line(x1, y1, x2, y2 float64, attributes string) {
	d.add(`<line x1="%s" y1="%s" x2="%s" y2="%s" %s/>`, num(x1), num(y1), num(x2), num(y2), attributes)
}

// path draws straight lines through points, x and y in turn.
func (d *drawing) path(class string, points []float64, attributes string) {
	d.add(`<path class="%s" d="%s" %s/>`, class, way(points), attributes)
}

func way(points []float64) string {
	var b strings.Builder
	for i := 0; i+1 < len(points); i += 2 {
		command := " L"
		if i == 0 {
			command = "M"
		}
		b.WriteString(command + num(points[i]) + " " + num(points[i+1]))
	}
	return b.String()
}

func stroke(colour string, width float64) string {
	return fmt.Sprintf(`fill="none" stroke="%s" stroke-width="%s"`, colour, num(width))
}

// write puts lines of text into a box, top left at x and y, and keeps the box.
func (d *drawing) write(lines []string, x, y, size float64, attributes string) {
	for i, text := range lines {
		top := y + float64(i)*size*lineHeight
		d.add(`<text x="%s" y="%s" font-size="%s" %s>%s</text>`, num(x), num(top+size*0.95), num(size), attributes, escaped(text))
		w := textWidth(text, size)
		if strings.Contains(attributes, `"700"`) {
			w *= boldness
		}
		at := x
		if strings.Contains(attributes, `"end"`) {
			at -= w
		} else if strings.Contains(attributes, `"middle"`) {
			at -= w / 2
		}
		d.texts = append(d.texts, box{at, top, w, size * lineHeight})
	}
}

// hatch fills a box with lines that rise to the right.
func (d *drawing) hatch(b box, step float64, attributes string) {
	var parts strings.Builder
	for c := step / 2; c < b.w+b.h; c += step {
		// x + y = c from the box's top left corner
		x1, x2 := max(0, c-b.h), min(c, b.w)
		fmt.Fprintf(&parts, "M%s %sL%s %s", num(b.x+x1), num(b.y+c-x1), num(b.x+x2), num(b.y+c-x2))
	}
	if parts.Len() > 0 {
		d.add(`<path d="%s" %s/>`, parts.String(), attributes)
	}
}

// ripple draws the surface of oil.
func (d *drawing) ripple(x1, x2, y float64, attributes string) {
	var b strings.Builder
	fmt.Fprintf(&b, "M%s %s", num(x1), num(y))
	n := max(2, math.Round((x2-x1)/7))
	step := (x2 - x1) / n
	for i := range int(n) {
		height := 1.6
		if i%2 == 1 {
			height = -height
		}
		fmt.Fprintf(&b, " q%s %s %s 0", num(step/2), num(-height), num(step))
	}
	d.add(`<path d="%s" %s/>`, b.String(), attributes)
}
