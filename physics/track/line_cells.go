package track

import (
	"fmt"
	"math"
)

// gentle is the radius from which cells have their full length, m.
const gentle = 100.0

// place is a point of a line: t beyond knot k, and the measure up to there by
// which cells are laid out.
type place struct {
	knot    int
	t       float64
	measure float64
}

// cells cuts the line. Cells are equal in ∫ √(1 + (100 m · κ)²) ds.
func (l *line) cells(step float64) ([]Cell, error) {
	places, err := l.places(step)
	if err != nil {
		return nil, err
	}
	total := places[len(places)-1].measure
	n := int(max(math.Ceil(total/step-1e-9), 1))
	cells := make([]Cell, 0, n)
	from, next := places[0], 0
	for i := range n {
		measure := total * float64(i+1) / float64(n)
		length := 0.0
		start := from
		for next+1 < len(places) && (places[next+1].measure <= measure || i == n-1) {
			next++
			length += l.between(from, places[next])
			from = places[next]
		}
		if i < n-1 {
			to := l.inside(places[next], places[next+1], measure)
			length += l.between(from, to)
			from = to
		}
		cell, err := l.cell(start, from, length)
		if err != nil {
			return nil, fmt.Errorf("cell %d: %w", i+1, err)
		}
		cells = append(cells, cell)
	}
	return cells, nil
}

// places lays a fine net on the line.
func (l *line) places(step float64) ([]place, error) {
	unit := l.spline.unit
	var places []place
	at := place{}
	for k := range l.x {
		h := l.spline.knots[k+1] - l.spline.knots[k]
		parts := math.Ceil(max(8*h*unit/step, 8))
		if float64(len(places))+parts > 8*mostCells {
			return nil, fmt.Errorf("more than %d cells: lengthen the step of %g m", mostCells, step)
		}
		for i := range int(parts) {
			at.knot, at.t = k, h*float64(i)/parts
			places = append(places, at)
			for _, g := range gauss3 {
				t := at.t + g.at*h/parts
				at.measure += g.weight * h / parts * l.speed(k, t) * math.Hypot(1, gentle*l.curvature(k, t))
			}
		}
	}
	at.knot, at.t = len(l.x)-1, l.spline.knots[len(l.x)]-l.spline.knots[len(l.x)-1]
	if math.IsNaN(at.measure) || math.IsInf(at.measure, 0) {
		return nil, fmt.Errorf("the centre line stands still or turns on the spot at a point: leave points out, or give a larger survey error")
	}
	if at.measure/step > mostCells {
		return nil, fmt.Errorf("more than %d cells: lengthen the step of %g m", mostCells, step)
	}
	return append(places, at), nil
}

// inside returns the place between two neighbours that has some measure.
func (l *line) inside(a, b place, measure float64) place {
	end := b.t
	if b.knot != a.knot {
		end = l.spline.knots[a.knot+1] - l.spline.knots[a.knot]
	}
	share := (measure - a.measure) / (b.measure - a.measure)
	return place{a.knot, a.t + share*(end-a.t), measure}
}

// between is the length of the line between two places that no knot parts, m.
func (l *line) between(a, b place) float64 {
	end := b.t
	if b.knot != a.knot {
		end = l.spline.knots[a.knot+1] - l.spline.knots[a.knot]
	}
	h := end - a.t
	sum := 0.0
	for _, g := range gauss3 {
		sum += g.weight * h * l.speed(a.knot, a.t+g.at*h)
	}
	return sum
}

// cell makes a cell from its ends and its length, m.
func (l *line) cell(from, to place, length float64) (Cell, error) {
	_, x0, _ := l.x.at(from.knot, from.t)
	_, y0, _ := l.y.at(from.knot, from.t)
	_, x1, _ := l.x.at(to.knot, to.t)
	_, y1, _ := l.y.at(to.knot, to.t)
	z0, _, _ := l.z.at(from.knot, from.t)
	z1, _, _ := l.z.at(to.knot, to.t)
	sin := (z1 - z0) / length
	c := Piece{
		Length:    length,
		Curvature: math.Atan2(x0*y1-y0*x1, x0*x1+y0*y1) / length,
		Slope:     sin / math.Sqrt(max(1-sin*sin, 1e-12)),
	}
	return Cell(c), c.check()
}
