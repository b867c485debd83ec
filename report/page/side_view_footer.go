package page

import (
	"fmt"
	"math"
	"strconv"

	"sumpward/scenarios/units"
	"sumpward/sim"
)

// footer puts below the drawing: the list of keys, gas against oil, the scale
// bar, and how to read it.
func (s *sheet) footer(d *drawing) {
	s.bottom += footerPause
	if s.v.surface != nil {
		s.bottom += 12
	}
	if s.keyed {
		for i, l := range append(s.ticks, s.side...) {
			s.row(d, fmt.Sprint(i+1), l.text, l.bold)
		}
		s.bottom += footerPause
	}
	if s.v.kind == sim.Unsealed {
		s.gas(d)
	}
	s.scaleBar(d)
	for _, note := range s.v.notes() {
		lines := wrapText(note, noteSize, sheetWidth-2*edge)
		d.write(lines, edge, s.bottom, noteSize, fmt.Sprintf(`fill="%s"`, muted))
		s.bottom += float64(len(lines))*noteSize*lineHeight + 2
	}
	s.bottom += edge
}

// row writes a numbered line of the list.
func (s *sheet) row(d *drawing, number, text string, bold bool) {
	const indent = 20
	l := label{text: text, bold: bold}
	lines := wrapText(text, l.size(), sheetWidth-2*edge-indent)
	d.write([]string{number}, edge+indent/2-4, s.bottom, textSize, `text-anchor="middle"`)
	d.write(lines, edge+indent, s.bottom, textSize, weight(bold))
	s.bottom += float64(len(lines))*textSize*lineHeight + 2
}

// gas draws how fast gas goes up the drain beside the speed that holds all oil
// up, on a scale of its own.
func (s *sheet) gas(d *drawing) {
	p := s.v.check.FullThrottle
	up, limit := s.v.gasWords()
	most := max(p.GasUp, p.GasLimit)
	if !(most > 0) {
		return
	}
	colour := good
	if p.Held {
		colour = bad
	}
	width := sheetWidth - 2*edge
	text := func(t string, bold bool) {
		l := label{text: t, bold: bold}
		lines := wrapText(t, l.size(), width)
		d.write(lines, edge, s.bottom, textSize, weight(bold))
		s.bottom += float64(len(lines))*textSize*lineHeight + 2
	}
	bar := func(class string, speed float64) box {
		b := box{edge, s.bottom, speed / most * width, barWidth}
		d.rect(class, b, fmt.Sprintf(`fill="%s" stroke="%s" stroke-width="1.2"`, paper, colour))
		s.bottom += barWidth + 6
		return b
	}
	text(up, false)
	d.hatch(bar("gas-up", p.GasUp), 4, stroke(colour, 1.1))
	text(limit, false)
	bar("gas-limit", p.GasLimit)
	text(s.v.verdict(), true)
	s.bottom += footerPause
}

// scaleLengths are the lengths that a scale bar may have, in the unit shown.
var scaleLengths = map[units.System][]float64{
	units.Metric: {1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000},
	units.US:     {0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200},
}

// scaleBar draws a round length.
func (s *sheet) scaleBar(d *drawing) {
	unit := units.DisplayUnit(units.Length, s.v.units)
	round, size := 0.0, 0.0
	for _, l := range scaleLengths[s.v.units] {
		if w := unit.ToSI(l) * s.scale; w <= 120 || size == 0 {
			round, size = l, w
		}
	}
	size = math.Min(size, sheetWidth)
	y := s.bottom + 7
	d.path("scale-bar", []float64{edge, y, edge + size, y}, stroke(ink, 2))
	d.line(edge, y-4, edge, y+4, stroke(ink, 1.2))
	d.line(edge+size, y-4, edge+size, y+4, stroke(ink, 1.2))
	text := unit.Attach(strconv.FormatFloat(round, 'g', -1, 64))
	d.write([]string{text}, edge+size+8, s.bottom, textSize, weight(false))
	s.bottom += textSize*lineHeight + 6
}
