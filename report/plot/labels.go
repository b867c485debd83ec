package plot

import (
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Room that a label takes beside its text: a sample of its line.
const (
	sampleFrom vg.Length = 8
	sampleTo   vg.Length = 32
	labelFrom  vg.Length = 37
)

// label names a line or a level, at the right of the frame.
type label struct {
	name   string
	style  draw.LineStyle
	marker draw.GlyphDrawer
	y      vg.Length
}

// labels returns the labels of a panel at the heights where their lines end.
func (p *panel) labels(frame vg.Rectangle) []label {
	var list []label
	for _, r := range p.rules {
		list = append(list, label{r.name, r.line, nil, up(frame, p.y.share(r.y))})
	}
	for _, l := range p.lines {
		if at, found := l.end(); found && l.name != "" {
			list = append(list, label{l.name, l.style, l.marker, up(frame, p.y.share(at.y))})
		}
	}
	return list
}

// end returns the last place of a line.
func (l *line) end() (point, bool) {
	var last point
	found := false
	for _, points := range [][]point{l.points, l.bounds} {
		for _, at := range points {
			if finite(at.x) && finite(at.y) && (!found || at.x >= last.x) {
				last, found = at, true
			}
		}
	}
	return last, found
}

// spread moves labels apart until each has a line's height to itself, within
// the frame as far as they fit, in the order of their heights.
func spread(list []label, frame vg.Rectangle) {
	slices.SortStableFunc(list, func(a, b label) int {
		switch {
		case a.y > b.y:
			return -1
		case a.y < b.y:
			return 1
		}
		return 0
	})
	for i := range list { // down from the top
		highest := frame.Max.Y
		if i > 0 {
			highest = list[i-1].y - lineStep
		}
		list[i].y = min(list[i].y, highest)
	}
	lowest := frame.Min.Y
	for i := len(list) - 1; i >= 0; i-- { // and up again where that left the frame
		list[i].y = max(list[i].y, lowest)
		lowest = list[i].y + lineStep
	}
}

func (p *panel) drawLabels(c *draw.Canvas, frame vg.Rectangle) {
	list := p.labels(frame)
	spread(list, frame)
	for _, l := range list {
		from, to := frame.Max.X+sampleFrom, frame.Max.X+sampleTo
		c.StrokeLine2(l.style, from, l.y, to, l.y)
		if l.marker != nil {
			c.DrawGlyphNoClip(draw.GlyphStyle{Color: l.style.Color, Radius: 2.6, Shape: l.marker}, vg.Point{X: (from + to) / 2, Y: l.y})
		}
		c.FillText(labelText, vg.Point{X: frame.Max.X + labelFrom, Y: l.y + middle}, clean(l.name))
	}
}

// labelWidth is the room that the labels take at the right.
func (p *panel) labelWidth() vg.Length {
	var widest vg.Length
	for _, l := range p.labels(vg.Rectangle{Max: vg.Point{X: 1, Y: 1}}) {
		widest = max(widest, labelFrom+labelText.Width(l.name))
	}
	return widest
}

// tickWidth is the room that the ticks take at the left.
func (p *panel) tickWidth() vg.Length {
	var widest vg.Length
	for _, t := range p.y.ticks {
		widest = max(widest, tickText.Width(t.text))
	}
	return widest
}
