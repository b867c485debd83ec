package page

import (
	"fmt"
	"math"

	"sumpward/scenarios"
	"sumpward/sim"
)

// draw puts the scene on paper, what lies behind first.
func (s *sheet) draw(d *drawing) {
	if s.v.surface != nil {
		s.sump(d)
	}
	if !s.keyed {
		s.leaders(d)
	}
	if s.v.kind != sim.NoDrain {
		s.hose(d)
		s.returns(d)
	}
	s.can(d)
	if s.v.kind != sim.NoDrain {
		s.measures(d)
	}
	for i, l := range s.v.low {
		x, y := s.at(s.v.hose[l])
		y += s.v.bore / 2 * s.scale
		d.path("low-point", []float64{x, y + 1, x - 4, y + 8, x + 4, y + 8, x, y + 1}, fmt.Sprintf(`fill="%s" data-low-point="%d"`, ink, i+1))
	}
	if s.keyed {
		s.keys(d)
		return
	}
	for _, l := range append(s.ticks, s.side...) {
		s.write(d, l)
	}
}

func weight(bold bool) string {
	if bold {
		return `font-weight="700"`
	}
	return `font-weight="400"`
}

func (s *sheet) write(d *drawing, l *label) {
	d.write(l.lines, l.box.x, l.box.y, textSize, weight(l.bold))
}

// leaders lead from labels to what they speak of, behind everything else.
func (s *sheet) leaders(d *drawing) {
	thin := stroke(muted, 0.7)
	for _, l := range s.ticks {
		y := l.box.y + l.box.h/2
		right := edge + tickWidth
		d.path("leader", []float64{right - 1, y, right + 3, y, l.x, l.y}, thin)
	}
	for _, l := range s.side {
		y := l.box.y + min(l.box.h/2, textSize*lineHeight/2)
		d.path("leader", []float64{l.x, l.y, max(l.x, l.box.x-10), l.y, l.box.x - 2, y}, thin)
		d.add(`<circle cx="%s" cy="%s" r="1.6" fill="%s"/>`, num(l.x), num(l.y), muted)
	}
}

// can draws the usable volume, what oil stands in it at the choke level, and
// the mark above which oil goes over.
func (s *sheet) can(d *drawing) {
	v := s.v
	x, y := s.at(spot{v.floor.x - v.wide/2, v.floor.z + v.high})
	b := box{x, y, v.wide * s.scale, v.high * s.scale}
	d.rect("can-inside", b, fmt.Sprintf(`fill="%s"`, paper))
	fill := v.choke
	if v.kind == sim.NoDrain {
		fill = v.high
	}
	standing := box{x, s.y(v.floor.z + fill), b.w, fill * s.scale}
	d.rect("can-oil", standing, fmt.Sprintf(`fill="%s" fill-opacity="0.35"`, oil))
	d.ripple(x, x+b.w, standing.y, stroke(oil, 1.4))
	d.path("can-wall", []float64{x, y - stub + 1, x, y + b.h, x + b.w, y + b.h, x + b.w, y - stub + 1}, stroke(ink, 1.8))
	d.line(x-5, y, x+b.w, y, stroke(ink, 1.2)+` stroke-dasharray="5 3"`)
	d.line(x-5, standing.y, x, standing.y, stroke(ink, 1.2))
	d.rect("can", b, `fill="none"`)
	if v.kind == sim.NoDrain {
		return
	}
	mouth := v.bore * s.scale
	mx, my := s.at(v.floor)
	d.line(mx-mouth/2, my, mx+mouth/2, my, stroke(oil, 2))
}

// hose draws the hose as wide as its bore, and the oil that stands in it.
func (s *sheet) hose(d *drawing) {
	w := s.v.bore * s.scale
	points := s.points(s.v.hose)
	joined := ` stroke-linejoin="round"`
	d.path("hose-wall", points, stroke(ink, w+2.4)+joined)
	d.path("hose", points, stroke(paper, w)+joined)
	if len(s.v.inHose) > 1 {
		d.path("hose-oil", s.points(s.v.inHose), stroke(oil, w)+joined+` stroke-opacity="0.35"`)
	}
}

func (s *sheet) points(way []spot) []float64 {
	var list []float64
	for _, p := range way {
		x, y := s.at(p)
		list = append(list, x, y)
	}
	return list
}

// returns draws the port that the hose ends in, and its valve.
func (s *sheet) returns(d *drawing) {
	v := s.v
	n := len(v.hose)
	x, y := s.at(v.hose[n-1])
	px, py := s.at(v.hose[n-2])
	l := math.Hypot(x-px, y-py)
	ux, uy := 0.0, 1.0 // the way the oil goes
	if l > 0 {
		ux, uy = (x-px)/l, (y-py)/l
	}
	half := v.bore*s.scale/2 + 6
	if v.port != nil {
		d.path("return-port", []float64{x - uy*half, y + ux*half, x + uy*half, y - ux*half}, stroke(ink, 3.5))
	}
	if v.model.Scenario().Drain.Seal != scenarios.ValveSeal || l == 0 {
		return
	}
	// a flap across the hose, hinged at one wall, before a seat
	size := min(max(v.bore*s.scale/2+1.2, 4), l/3)
	back := min(2*size+4, 0.8*l)
	vx, vy := x-ux*back, y-uy*back
	d.path("valve", []float64{
		vx - uy*size, vy + ux*size, vx + uy*size, vy - ux*size, vx + ux*1.6*size, vy + uy*1.6*size, vx - uy*size, vy + ux*size,
	}, fmt.Sprintf(`fill="%s" stroke="%s" stroke-width="1.3" stroke-linejoin="round"`, paper, ink))
	sx, sy := vx+ux*1.6*size, vy+uy*1.6*size
	d.path("valve-seat", []float64{sx - uy*size, sy + ux*size, sx + uy*size, sy - ux*size}, stroke(ink, 1.8))
}

// sump draws the surface that the oil stands at.
func (s *sheet) sump(d *drawing) {
	v := s.v
	x1, y := s.at(spot{v.surface[0], v.base})
	x2, _ := s.at(spot{v.surface[1], v.base})
	deep := max(12, s.drawn.y+s.drawn.h-y+6)
	d.rect("sump-oil", box{x1, y, x2 - x1, deep}, fmt.Sprintf(`fill="%s" fill-opacity="0.2"`, oil))
	d.ripple(x1, x2, y, stroke(oil, 1.4))
}

// measures draws fall and column beside each other, from the same height up.
func (s *sheet) measures(d *drawing) {
	v := s.v
	base := s.y(v.base)
	end := s.barsX + 2*barWidth + 5
	foot, _ := s.at(v.hose[len(v.hose)-1])
	d.line(foot, base, end+8, base, stroke(muted, 0.8)+` stroke-dasharray="2 3"`)
	if top, _ := s.at(v.floor); v.fall != 0 {
		d.line(top, s.y(v.floor.z), s.barsX+barWidth, s.y(v.floor.z), stroke(muted, 0.8)+` stroke-dasharray="2 3"`)
	}
	fall := s.bar(s.barsX, v.fall)
	d.rect("fall-bar", fall, fmt.Sprintf(`fill="%s" fill-opacity="0.75" stroke="%s" stroke-width="1"`, accent, ink))
	if v.kind == sim.Unsealed {
		return
	}
	colour := good
	if v.check.FullThrottle.Held {
		colour = bad
	}
	column := s.bar(s.barsX+barWidth+5, v.column)
	d.rect("column-bar", column, fmt.Sprintf(`fill="%s" stroke="%s" stroke-width="1.4"`, paper, colour))
	d.hatch(column, 4, stroke(colour, 1.1))
	a, b, x := s.y(v.base+v.fall), s.y(v.base+v.column), end+4
	d.path("difference", []float64{x - 2, a, x + 2, a, x + 2, b, x - 2, b}, stroke(ink, 1.4))
}

// bar is the box of a measure, up from the base, or down where it is below 0.
func (s *sheet) bar(x, measure float64) box {
	h := measure * s.scale
	y := s.y(s.v.base) - h
	if h < 0 {
		y, h = s.y(s.v.base), -h
	}
	return box{x, y, barWidth, h}
}
