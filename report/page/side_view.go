package page

import (
	"fmt"
	"html/template"
	"math"

	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// SideView draws the can, its hose and the return to scale, one scale for both
// directions, with the fall that there is beside the column that pressure asks for
// at full throttle, at nominal values. It is an SVG to stand in a page, 340 wide,
// without identifiers; its description says the same in words. check is that of
// the model.
func SideView(m *sim.Model, check *sim.DrainCheck, u units.System) (template.HTML, error) {
	d, _, err := drawSideView(m, check, u)
	if err != nil {
		return "", err
	}
	return template.HTML(d.String()), nil
}

// The drawing's own sizes.
const (
	sheetWidth  = 340.0
	mostHeight  = 210.0  // of what is to scale
	mostScale   = 2000.0 // per metre: nothing is drawn larger than this
	edge        = 4.0
	tickWidth   = 50.0 // of the labels left of the can
	barWidth    = 9.0
	barsWidth   = 50.0 // both measures, with the gaps beside them
	labelWidth  = 106.0
	minimumGap  = 5.0 // between labels
	keyRadius   = 7.5
	stub        = 9.0  // of the can's wall above the full mark
	leastHeight = 70.0 // a drawing lower than that has its labels below, where it …
	wideEnough  = 1.4  // … becomes so many times larger by it
	leastDrawn  = 1e-6
	footerPause = 8.0
)

// sheet is how the scene lies on paper.
type sheet struct {
	v           *sideView
	scale       float64 // per metre
	left, top   float64 // m, of the scene's upper left corner
	x0, y0      float64 // of that corner on paper
	drawn       box     // what is to scale, without the measures
	barsX       float64
	keyed       bool // numbers stand for the labels, which are listed below
	bottom      float64
	ticks, side []*label
}

func (s *sheet) at(p spot) (x, y float64) {
	return s.x0 + (p.x-s.left)*s.scale, s.y0 + (s.top-p.z)*s.scale
}

func (s *sheet) y(z float64) float64 { return s.y0 + (s.top-z)*s.scale }

func drawSideView(m *sim.Model, check *sim.DrainCheck, u units.System) (*drawing, *sheet, error) {
	v := newSideView(m, check, u)
	s, err := layOut(v)
	if err != nil {
		return nil, nil, err
	}
	body := &drawing{}
	s.draw(body)
	s.footer(body)
	d := &drawing{texts: body.texts}
	d.add(`<svg xmlns="http://www.w3.org/2000/svg" class="side-view" role="img" viewBox="0 0 %s %s" font-family="system-ui, sans-serif" fill="%s">`,
		num(sheetWidth), num(s.bottom), ink)
	d.add(`<title>%s</title>`, escaped("Side view to scale: "+m.Scenario().Title))
	d.add(`<desc>%s</desc>`, escaped(v.description()))
	d.WriteString(body.String())
	d.WriteString("</svg>")
	return d, s, nil
}

// layOut chooses the scale, and where labels go: beside what they speak of, or,
// where that leaves a long hose too little room, in a list below.
func layOut(v *sideView) (*sheet, error) {
	left, right, bottom, top := v.extent()
	if span := right - left + top - bottom; !(span > leastDrawn) || math.IsInf(span, 0) {
		return nil, fmt.Errorf("side view: nothing to draw to scale (it spans %g m)", span)
	}
	bars := barsWidth
	if v.kind == sim.NoDrain {
		bars = 14
	}
	scaleFor := func(width float64) float64 {
		return min(mostScale, width/(right-left), mostHeight/max(top-bottom, leastDrawn))
	}
	s := &sheet{v: v, left: left, top: top, x0: edge + tickWidth + 6, y0: edge + stub + 2}
	s.scale = scaleFor(sheetWidth - 2*edge - tickWidth - 6 - bars - labelWidth)
	if wide := scaleFor(sheetWidth - 2*edge - bars - 4*keyRadius); wide > wideEnough*s.scale && (top-bottom)*s.scale < leastHeight {
		s.scale, s.keyed, s.x0 = wide, true, edge+2*keyRadius
		s.y0 += 3 * keyRadius
	}
	s.drawn = box{s.x0, s.y0, (right - left) * s.scale, (top - bottom) * s.scale}
	s.barsX = s.drawn.x + s.drawn.w + 10
	s.labels()
	s.bottom = s.drawn.y + s.drawn.h
	if s.keyed {
		return s, nil
	}
	s.bottom = max(
		stack(s.ticks, edge, tickWidth, edge, s.bottom, minimumGap),
		stack(s.side, s.barsX+bars-10, sheetWidth-edge-(s.barsX+bars-10), edge, s.bottom, minimumGap))
	return s, nil
}

// labels lists what is to be said, each with its place.
func (s *sheet) labels() {
	v := s.v
	canLeft, _ := s.at(spot{v.floor.x - v.wide/2, v.floor.z})
	tick := func(name string, height, fill, aside float64) {
		text, lines := v.levelWords(name, height, fill)
		s.ticks = append(s.ticks, &label{x: canLeft, y: s.y(v.floor.z + height), text: text, lines: lines, aside: aside})
	}
	tick("full", v.high, 1, -math.Pi/3)
	beside := func(x, y float64, text string, bold bool, aside float64) {
		s.side = append(s.side, &label{x: x, y: y, text: text, bold: bold, aside: aside})
	}
	const above, right, below, left = 0, math.Pi / 2, math.Pi, 3 * math.Pi / 2
	if v.kind == sim.NoDrain {
		x, y := s.at(spot{v.floor.x + v.wide/2, v.floor.z + v.high})
		beside(x, y, v.verdict(), true, right)
		x, y = s.at(spot{v.floor.x + v.wide/2, v.floor.z + v.high/2})
		beside(x, y, "no drain: emptied by hand; holds "+words.Show(v.model.Nominal().Can.UsableVolume, units.Volume, v.units), false, right)
		return
	}
	tick("choke level", v.choke, v.choke/v.high, -2*math.Pi/3)
	if v.kind != sim.Unsealed {
		x := s.barsX + barWidth + 5 + barWidth
		beside(x, s.y(v.base+v.column), v.columnWords(), false, above)
		beside(x+8, s.y(v.base+(v.column+v.fall)/2), v.verdict(), true, right)
	}
	beside(s.barsX+barWidth, s.y(v.base+v.fall/2), v.fallWords(), false, left)
	for i, l := range v.check.LowPoints {
		x, y := s.at(v.hose[v.low[i]])
		beside(x, y+v.bore/2*s.scale, v.lowPointWords(l), false, below)
	}
	x, y := s.at(v.hose[len(v.hose)-1])
	beside(x, y, v.returnWords(), false, above)
	if v.surface != nil {
		x, y := s.at(spot{v.surface[1], v.base})
		beside(x, y, v.surfaceWords(), false, above)
	}
}
