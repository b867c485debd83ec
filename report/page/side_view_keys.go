package page

import (
	"fmt"
	"math"
)

// keys puts a number beside each thing that is listed below the drawing, with
// a leader, none over another.
func (s *sheet) keys(d *drawing) {
	placed := s.occupied()
	for i, l := range append(s.ticks, s.side...) {
		at := s.free(l, placed)
		placed = append(placed, at)
		cx, cy := at.x+keyRadius, at.y+keyRadius
		if r := math.Hypot(cx-l.x, cy-l.y); r > keyRadius {
			t := keyRadius / r
			d.line(l.x, l.y, cx+(l.x-cx)*t, cy+(l.y-cy)*t, stroke(muted, 0.8))
		}
		d.add(`<circle cx="%s" cy="%s" r="1.6" fill="%s"/>`, num(l.x), num(l.y), muted)
		d.add(`<circle class="key" cx="%s" cy="%s" r="%s" fill="%s" stroke="%s"/>`, num(cx), num(cy), num(keyRadius-0.7), paper, ink)
		d.write([]string{fmt.Sprint(i + 1)}, cx, cy-noteSize*lineHeight/2-0.4, noteSize, `text-anchor="middle"`)
	}
	s.bottom = max(s.bottom, lowest(placed))
}

// occupied is where no key may lie: can, hose, measures.
func (s *sheet) occupied() []box {
	v := s.v
	x, y := s.at(spot{v.floor.x - v.wide/2, v.floor.z + v.high})
	list := []box{
		{s.barsX, s.drawn.y, 2*barWidth + 12, s.drawn.h},
		{x, y - stub, v.wide * s.scale, v.high*s.scale + stub},
	}
	w := max(v.bore*s.scale, 4) + 3
	for i := 1; i < len(v.hose); i++ {
		x1, y1 := s.at(v.hose[i-1])
		x2, y2 := s.at(v.hose[i])
		n := math.Ceil(math.Hypot(x2-x1, y2-y1) / w)
		for k := range int(n) + 1 {
			t := float64(k) / max(n, 1)
			list = append(list, box{x1 + t*(x2-x1) - w/2, y1 + t*(y2-y1) - w/2, w, w})
		}
	}
	for _, l := range v.low {
		x, y := s.at(v.hose[l])
		list = append(list, box{x - 5, y, 10, 9 + w/2})
	}
	return list
}

func lowest(boxes []box) float64 {
	y := 0.0
	for _, b := range boxes {
		y = max(y, b.y+b.h)
	}
	return y
}

// free is the nearest box for a label's key that overlaps no other and stays on
// the sheet.
func (s *sheet) free(l *label, taken []box) box {
	const turns = 12
	for radius := 2 * keyRadius; ; radius += 4 {
		for turn := range turns {
			side := float64((turn + 1) / 2) // one way, the other way, further round
			if turn%2 == 1 {
				side = -side
			}
			angle := l.aside + side*2*math.Pi/turns
			b := box{l.x + radius*math.Sin(angle) - keyRadius, l.y - radius*math.Cos(angle) - keyRadius, 2 * keyRadius, 2 * keyRadius}
			if b.x >= 0 && b.x+b.w <= sheetWidth && b.y >= 0 && !overlapsAny(b, taken) {
				return b
			}
		}
	}
}

func overlapsAny(b box, others []box) bool {
	for _, o := range others {
		if b.overlaps(o) {
			return true
		}
	}
	return false
}
