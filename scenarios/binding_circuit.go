package scenarios

import (
	"errors"
	"fmt"
	"io/fs"
	"math"

	"sumpward/scenarios/centreline"
	"sumpward/scenarios/units"
)

// What a circuit may hold.
const (
	mostSegments                = 500
	shortestCircuit, longestOne = 100, 100_000 // m
)

// circuit binds what is driven round, and what drives.
func (b *binder) circuit() *Circuit {
	const layout, segments, line = "duty.circuit.layout", "duty.circuit.segments", "duty.circuit.centre_line"
	c := &Circuit{}
	own := b.has(segments) && !b.values[segments].node.assumed
	switch {
	case b.has(layout) && own:
		b.conflict(layout, segments, "a layout has its own")
	case b.has(line) && b.conflict(layout, line, "a layout has its own segments"):
	case b.has(line) && b.conflict(segments, line, "each is a circuit of its own"):
	case b.has(line):
		c.CentreLine = b.centreLine(line)
	case b.has(layout) || own:
		if v := b.values[layout]; v != nil && b.values[segments] != nil && b.values[segments].node.allAssumed() {
			c.Layout = v.word
		}
		c.Segments = b.segments(segments)
	default:
		b.absent("duty.circuit", "one of layout, segments and centre_line", fieldAt("duty.circuit").blockHint())
	}
	c.Car = b.trackCar()
	return c
}

// segments binds straights and corners, and sees that they lead back.
func (b *binder) segments(at string) []Segment {
	paths := b.elements[at]
	if b.values[at] == nil || b.values[at].bad {
		return nil
	}
	if len(paths) > mostSegments {
		b.problem(b.line(at), at, fmt.Sprintf("too many (got %d, allowed 1 to %d)", len(paths), mostSegments), "")
		return nil
	}
	list := make([]Segment, 0, len(paths))
	for _, path := range paths {
		list = append(list, b.segment(path))
	}
	b.leadsBack(at, list)
	return list
}

func (b *binder) segment(path string) Segment {
	straight, corner, angle, turns := path+".straight", path+".corner", path+".angle", path+".turns"
	s := Segment{Gradient: b.exactly(path + ".gradient"), Banking: b.exactly(path + ".banking")}
	switch {
	case b.conflict(straight, corner, "each is a segment of its own"):
	case b.has(straight):
		b.unused("a straight doesn't turn", angle, turns)
		s.Length = b.exactly(straight)
	case b.has(corner):
		s.Radius = b.exactly(corner)
		if s.Angle = math.NaN(); b.has(angle) {
			s.Angle = b.exactly(angle)
		} else {
			b.missing(angle, "by how much the corner turns")
		}
		if !b.has(turns) {
			b.missing(turns, "which way the corner turns")
		}
		s.Length, s.Right = s.Radius*s.Angle, b.word(turns) == "right"
	default:
		b.absent(straight, "a segment is a straight or a corner", "write: - {straight: 400 m}, or: - {corner: 60 m, angle: 90 deg, turns: left}")
	}
	return s
}

// way is where a number of segments leads.
type way struct {
	length  float64 // m
	turned  float64 // rad, positive to the left
	x, y, z float64 // m, from where it begins; it sets out along x
}

// follow drives along segments in plan.
func follow(segments []Segment) (w way) {
	for _, s := range segments {
		w.length += s.Length
		w.z += s.Gradient * s.Length
		if s.Radius == 0 {
			w.x, w.y = w.x+s.Length*math.Cos(w.turned), w.y+s.Length*math.Sin(w.turned)
			continue
		}
		side := 1.0
		if s.Right {
			side = -1
		}
		before := w.turned
		w.turned += side * s.Angle
		w.x += side * s.Radius * (math.Sin(w.turned) - math.Sin(before))
		w.y -= side * s.Radius * (math.Cos(w.turned) - math.Cos(before))
	}
	return w
}

// Within which a circuit counts as closed: prior, to catch a slip of the pen.
const (
	turnsTrue = 5.0 * math.Pi / 180 // rad
	endsMeet  = 0.05                // of the length
	endsLevel = 0.005               // of the length
)

// leadsBack warns of segments that don't end where they begin.
func (b *binder) leadsBack(at string, list []Segment) {
	w := follow(list)
	text := func(x float64, d units.Dimension) string { return units.Format(x, d, units.Metric) }
	line := b.line(at)
	if w.length < shortestCircuit || w.length > longestOne {
		b.problem(line, at, fmt.Sprintf("the lap is too short or too long (got %s, allowed %s to %s)", text(w.length, units.TrackLength),
			text(shortestCircuit, units.Distance), text(longestOne, units.Distance)), "check the units")
		return
	}
	const all = "; it is driven all the same"
	turned := math.Abs(w.turned)
	switch gap := math.Hypot(w.x, w.y); {
	case turned > turnsTrue && math.Abs(turned-2*math.Pi) > turnsTrue:
		b.warn(line, at, fmt.Sprintf("the corners turn by %s in all, not by 360 deg (a figure of eight: 0)%s", text(turned, units.Angle), all))
	case gap > endsMeet*w.length:
		b.warn(line, at, fmt.Sprintf("the end lies %s from the beginning, on a lap of %s%s", text(gap, units.TrackLength), text(w.length, units.TrackLength), all))
	}
	if math.Abs(w.z) > endsLevel*w.length {
		way := "higher"
		if w.z < 0 {
			way = "lower"
		}
		b.warn(line, at, fmt.Sprintf("the end lies %s %s than the beginning%s", text(math.Abs(w.z), units.TrackLength), way, all))
	}
}

// centreLine reads a circuit from a file.
func (b *binder) centreLine(at string) *CentreLine {
	v := b.values[at+".file"]
	if v == nil {
		b.missing(at+".file", "the file of the centre line")
		return nil
	}
	if v.bad || !b.beside(v, "a centre line") || b.anyBad(at) {
		return nil
	}
	spec := centreline.Spec{Columns: b.nameMap(at + ".columns"), Unit: b.word(at + ".unit")}
	read, err := b.src.readCentreLine(v.word, spec)
	if err != nil {
		b.centreLineProblems(v, err)
		return nil
	}
	for _, w := range read.Warnings {
		b.warn(v.line, v.path, w)
	}
	line := &CentreLine{File: v.word, Notes: read.Notes, SurveyError: b.surveyError(at + ".survey_error"), Points: make([][3]float64, len(read.Points))}
	for i, p := range read.Points {
		line.Points[i] = [3]float64{p.X, p.Y, p.Z}
	}
	return line
}

// surveyError is how far a point may be off, m; below 0 where nothing was stated.
func (b *binder) surveyError(path string) float64 {
	if !b.has(path) {
		b.rule(path, "told from the points: how a spline through the others misses each (generalized cross-validation)", "Craven and Wahba 1979, from memory")
		return -1
	}
	return b.exactly(path)
}

// centreLineProblems tells of the problems of a centre line, with its own lines.
func (b *binder) centreLineProblems(v *value, err error) {
	var list centreline.Errors
	var one *centreline.Error
	switch {
	case errors.As(err, &list):
		for _, e := range list {
			b.problem(v.line, v.path, inFile(v.word, e.Line, e.Column)+": "+e.What, e.Hint)
		}
	case errors.As(err, &one):
		b.problem(v.line, v.path, inFile(v.word, one.Line, one.Column)+": "+one.What, one.Hint)
	case errors.Is(err, fs.ErrNotExist):
		b.problem(v.line, v.path, "no such file (got "+shorten(v.word)+")", "put the file beside the scenario")
	default:
		b.cantRead(v, "the centre line", err)
	}
}
