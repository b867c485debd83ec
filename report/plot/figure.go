package plot

import (
	"cmp"
	"slices"

	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// figure is a picture: panels, one below the other, over a common x axis.
type figure struct {
	title, subtitle string
	x               axis
	events          []event
	panels          []*panel
	keys            []key // below the x axis
}

// event is a moment that all panels show, as a vertical line with its name on top.
type event struct {
	x    float64
	name string
	dash []vg.Length
}

// key explains a shading or a marker.
type key struct {
	name   string
	swatch func(c *draw.Canvas, middle vg.Point)
}

// layout is where the parts of a figure stand, in points.
type layout struct {
	title, subtitle []string
	left, right     vg.Length // of the panels' frames
	top             vg.Length // of the first panel's heading, from the top
	height          vg.Length
}

func (f *figure) layout() layout {
	const across = width - 2*margin
	l := layout{
		title:    wrap(clean(f.title), titleText, across, 2),
		subtitle: wrap(clean(f.subtitle), subtitleText, across, 3),
	}
	var ticks, labels vg.Length
	for _, p := range f.panels {
		ticks, labels = max(ticks, p.tickWidth()), max(labels, p.labelWidth())
	}
	l.left, l.right = margin+ticks+6, width-margin-labels
	l.top = margin + vg.Length(len(l.title))*18 + vg.Length(len(l.subtitle))*lineStep + 4 + vg.Length(len(f.events))*lineStep
	l.height = l.top
	for _, p := range f.panels {
		l.height += heading + p.height + gap
	}
	l.height += 24 + margin
	if len(f.keys) > 0 {
		l.height += lineStep + 5
	}
	return l
}

func (f *figure) height() vg.Length { return f.layout().height }

// draw draws the figure.
func (f *figure) draw(c draw.Canvas) {
	l := f.layout()
	c.SetColor(paper)
	c.Fill(c.Rectangle.Path())
	y := l.height - margin
	for _, line := range l.title {
		c.FillText(titleText, vg.Point{X: margin, Y: y}, clean(line))
		y -= 18
	}
	for _, line := range l.subtitle {
		c.FillText(subtitleText, vg.Point{X: margin, Y: y}, clean(line))
		y -= lineStep
	}
	y = l.height - l.top
	names := y
	var frames []vg.Rectangle
	for _, p := range f.panels {
		y -= heading
		frame := vg.Rectangle{Min: vg.Point{X: l.left, Y: y - p.height}, Max: vg.Point{X: l.right, Y: y}}
		frames = append(frames, frame)
		p.draw(&c, frame, &f.x)
		y -= p.height + gap
	}
	f.drawEvents(&c, frames, names)
	f.drawBottom(&c, frames[len(frames)-1])
}

// drawEvents draws a line through all frames for each event, two at most, and
// its name in a row of its own above them: the later one the lower.
func (f *figure) drawEvents(c *draw.Canvas, frames []vg.Rectangle, y vg.Length) {
	slices.SortStableFunc(f.events, func(a, b event) int { return cmp.Compare(a.x, b.x) })
	left, swapped := f.sides(frames[0])
	for i, e := range f.events {
		row := len(f.events) - 1 - i // from the lowest
		if swapped {
			row = i
		}
		x, top := across(frames[0], f.x.share(e.x)), y+vg.Length(row+1)*lineStep
		f.drawThrough(c, stroke(ink, 1.1, e.dash), frames, x, top-2)
		style, at := labelText, vg.Point{X: x + nameFrom, Y: top - lineStep/2 + 1 + middle}
		if left[i] {
			style.XAlign, at.X = text.XRight, x-nameFrom
		}
		c.FillText(style, at, clean(e.name))
	}
}

// nameFrom is how far from its line the name of an event stands.
const nameFrom vg.Length = 4

// sides says of each event, ascending, whether its name stands to the left of
// its line, for want of room to the right. Where the earlier line would then
// cross the later name, both stand to the left, and the earlier one the lower.
func (f *figure) sides(frame vg.Rectangle) (left []bool, swapped bool) {
	var from, at []vg.Length
	for _, e := range f.events {
		x, wide := across(frame, f.x.share(e.x)), nameFrom+labelText.Width(e.name)
		at, from = append(at, x), append(from, x-wide-nameFrom)
		left = append(left, x+wide > width-margin)
	}
	if len(left) == 2 && left[1] && at[0] > from[1] {
		left[0], swapped = true, true
	}
	return left, swapped
}

// drawThrough draws a vertical line from a height down through all frames,
// with a gap wherever it would cross a heading.
func (f *figure) drawThrough(c *draw.Canvas, style draw.LineStyle, frames []vg.Rectangle, x, from vg.Length) {
	for i, frame := range frames {
		if x < frame.Min.X+headingText.Width(f.panels[i].heading)+4 {
			c.StrokeLine2(style, x, from, x, frame.Max.Y+heading-2)
			from = frame.Max.Y
		}
	}
	c.StrokeLine2(style, x, from, x, frames[len(frames)-1].Min.Y)
}

// drawBottom draws the x axis below the lowest frame, and the keys.
func (f *figure) drawBottom(c *draw.Canvas, frame vg.Rectangle) {
	style := tickText
	style.XAlign, style.YAlign = text.XCenter, text.YTop
	for _, t := range f.x.ticks {
		x := across(frame, f.x.share(t.at))
		c.StrokeLine2(stroke(slate, 0.7, solid), x, frame.Min.Y, x, frame.Min.Y-4)
		c.FillText(style, vg.Point{X: x, Y: frame.Min.Y - 5}, clean(t.text))
	}
	y := frame.Min.Y - 18
	c.FillText(axisText, vg.Point{X: (frame.Min.X + frame.Max.X) / 2, Y: y}, clean(f.x.label))
	x := frame.Min.X
	y -= lineStep + 9
	for _, k := range f.keys {
		k.swatch(c, vg.Point{X: x + 11, Y: y})
		c.FillText(labelText, vg.Point{X: x + 26, Y: y + middle}, clean(k.name))
		x += 26 + labelText.Width(k.name) + 18
	}
}

// across is the x in points at a share of a frame's width.
func across(frame vg.Rectangle, share float64) vg.Length {
	return frame.Min.X + vg.Length(share)*frame.Size().X
}

// up is the y in points at a share of a frame's height.
func up(frame vg.Rectangle, share float64) vg.Length {
	return frame.Min.Y + vg.Length(share)*frame.Size().Y
}
