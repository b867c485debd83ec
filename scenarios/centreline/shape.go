package centreline

import (
	"fmt"
	"math"
	"slices"
)

// What a circuit's centre line is checked against.
const (
	sameWithin = 1e-3  // m, points closer than this are one
	shortest   = 200.0 // m, of a circuit
	longest    = 50e3  // m, of a circuit
	gapStep    = 200.0 // m, a shorter step is no gap
	gapMedians = 20    // a gap is longer than this many median steps
	openShare  = 0.05  // of the length, by which the ends may be apart
	maxGaps    = 3     // are named; the rest is counted
	maxAngles  = 180.0 // values up to this could be degrees
)

// finish turns the points that were read into the line, and checks its shape.
func (w *reading) finish() {
	angles := w.couldBeDegrees()
	if w.line.Geographic {
		project(w.points)
	}
	// first the length: in a wrong unit all points may lie within sameWithin
	if total := sum(closedSteps(w.points)); len(w.points) >= MinPoints && !(total >= shortest && total <= longest) {
		w.Add(0, "", fmt.Sprintf("not the length of a circuit (got %s, allowed %.0f m to %.0f km)", length(total), shortest, longest/1000), w.lengthHint(angles))
		return
	}
	w.dropRepeats()
	points := w.points
	if len(points) < MinPoints {
		w.Add(0, "", fmt.Sprintf("too few points (got %d, allowed %d and more)", len(points), MinPoints), "a corner needs three or more")
		return
	}
	steps := closedSteps(points)
	last := len(steps) - 1
	w.warnOfGaps(steps[:last])
	if closing := steps[last]; closing > openShare*sum(steps[:last]) {
		w.warn("the line is open: closed with a straight of %.4g m from its last point to its first", closing)
	}
	w.line.Points = points
}

// closedSteps gives the distance in m from each point to the next; the last one
// closes the line.
func closedSteps(points []Point) []float64 {
	steps := make([]float64, len(points))
	for i, p := range points {
		steps[i] = distance(p, points[(i+1)%len(points)])
	}
	return steps
}

func sum(list []float64) (total float64) {
	for _, v := range list {
		total += v
	}
	return total
}

// length writes a length in m for a message. No flat map is that large.
func length(m float64) string {
	switch {
	case m > 1e6:
		return "more than 1000 km"
	case m > longest:
		return fmt.Sprintf("%.1f km", m/1000)
	}
	return fmt.Sprintf("%.4g m", m)
}

func distance(a, b Point) float64 { return math.Hypot(b.X-a.X, b.Y-a.Y) }

// dropRepeats drops points that repeat the one before, and last points that
// repeat the first.
func (w *reading) dropRepeats() {
	kept, at, firstRepeat, repeats := w.points[:0], w.at[:0], 0, 0
	for i, p := range w.points {
		if len(kept) > 0 && distance(kept[len(kept)-1], p) < sameWithin {
			if repeats++; repeats == 1 {
				firstRepeat = w.at[i]
			}
			continue
		}
		kept, at = append(kept, p), append(at, w.at[i])
	}
	if repeats > 0 {
		w.note("points that repeat the one before are dropped: %d (the first: %s)", repeats, w.place(firstRepeat))
	}
	ring := 0
	for len(kept) > 1 && distance(kept[len(kept)-1], kept[0]) < sameWithin {
		kept, ring = kept[:len(kept)-1], ring+1
	}
	if ring > 0 {
		w.note("the last point repeats the first and is dropped")
	}
	w.points, w.at = kept, at[:len(kept)]
}

// warnOfGaps names the steps that are long beside the others.
func (w *reading) warnOfGaps(steps []float64) {
	sorted := slices.Sorted(slices.Values(steps))
	median := sorted[len(sorted)/2]
	gaps := 0
	for i, step := range steps {
		if step <= gapStep || step <= gapMedians*median {
			continue
		}
		if gaps++; gaps <= maxGaps {
			w.warn("a gap of %.4g m between %s and %s (half of the steps are below %.3g m): taken for a straight", step, w.place(w.at[i]), w.place(w.at[i+1]), median)
		}
	}
	if gaps > maxGaps {
		w.warn("further gaps like these: %d", gaps-maxGaps)
	}
}

// couldBeDegrees tells whether points in m, of one degree's extent at most,
// look like longitude and latitude.
func (w *reading) couldBeDegrees() bool {
	return !w.line.Geographic && !slices.ContainsFunc(w.points, func(p Point) bool {
		return math.Abs(p.X) > maxAngles || math.Abs(p.Y) > maxAngles ||
			math.Abs(p.X-w.points[0].X) > 1 || math.Abs(p.Y-w.points[0].Y) > 1
	})
}

func (w *reading) lengthHint(angles bool) string {
	switch {
	case angles && w.path != "":
		return "longitude comes first, then latitude"
	case w.line.Geographic && w.path != "":
		return "longitude comes first; say unit: m if the coordinates are metres"
	case w.line.Geographic:
		return "x is the longitude, y the latitude"
	case angles:
		return "say unit: deg if x is the longitude and y the latitude, else check the unit, such as unit: km"
	}
	return "check the unit, such as unit: ft"
}
