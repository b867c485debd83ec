package track

import (
	"fmt"
	"math"
)

// Centre is a point of a centre line, m.
type Centre struct{ X, Y, Z float64 }

// ErrorUnknown stands for a survey error that isn't known: it is then estimated
// from the points, by generalized cross-validation.
const ErrorUnknown = -1

// Smoothing says how well a centre line was surveyed.
type Smoothing struct {
	Error float64 // standard error of a point in each direction, m; 0: exact, the line goes through the points
}

// Fit says how a centre line was fitted.
type Fit struct {
	Points         int     // used, without repeated ones
	Error          float64 // standard error of a point in each direction, m: as given, or as estimated
	LargestOffset  float64 // of a given point from the line, m
	CurvatureError float64 // estimated standard error of the curvature, root mean square along the line, 1/m
	LeastRadius    float64 // m
}

// line is a closed line by a parameter t, and how it was fitted.
type line struct {
	spline  *periodicSpline
	x, y, z curve
	lambda  float64
	error   float64 // m
	// logLambda is where the search for λ left off; NaN before the first one.
	logLambda float64
}

// FromCentreLine makes a path of a closed centre line, in the order in which it
// is driven: a periodic quintic smoothing spline goes through the points (error
// 0), or as near to them as the survey error says. An open line is closed; a last point that repeats the
// first is dropped, as is any point that repeats the one before. step is the
// longest cell, m (0: DefaultStep); in corners tighter than about 100 m the cells
// are shorter in proportion to the radius. Cells keep the heading and the height
// of the line at their ends exactly; they have no banking.
//
// At least 8 points are needed. A corner needs several: the curvature of one
// between two points can't be known.
func FromCentreLine(points []Centre, o Smoothing, step float64) (*Path, Fit, error) {
	step, err := checkedStep(step)
	if err != nil {
		return nil, Fit{}, err
	}
	if math.IsNaN(o.Error) || math.IsInf(o.Error, 0) || o.Error < 0 && o.Error != ErrorUnknown {
		return nil, Fit{}, fmt.Errorf("the survey error is %g m: give 0 or more", o.Error)
	}
	gap, points, err := distinct(points)
	if err != nil {
		return nil, Fit{}, err
	}
	l, err := fitLine(points, o.Error)
	if err != nil {
		return nil, Fit{}, err
	}
	cells, err := l.cells(step)
	if err != nil {
		return nil, Fit{}, err
	}
	p := newPath(cells)
	p.Gap = gap
	fit := Fit{Points: len(points), Error: l.error, LargestOffset: l.largestOffset(points), LeastRadius: math.Inf(1)}
	for _, c := range cells {
		fit.LeastRadius = min(fit.LeastRadius, 1/math.Abs(c.Curvature))
	}
	fit.CurvatureError, err = l.curvatureError()
	return p, fit, err
}

// distinct drops repeated points, and returns how far the last is from the
// first, m.
func distinct(points []Centre) (gap float64, kept []Centre, err error) {
	for i, p := range points {
		if d := p.X + p.Y + p.Z; math.IsNaN(d) || math.IsInf(d, 0) {
			return 0, nil, fmt.Errorf("point %d of the centre line is not a number: give its coordinates in metres", i+1)
		}
		if len(kept) == 0 || away(kept[len(kept)-1], p) > 0 {
			kept = append(kept, p)
		}
	}
	if len(kept) > 1 {
		gap = away(kept[0], kept[len(kept)-1])
		if gap == 0 {
			kept = kept[:len(kept)-1]
		}
	}
	if len(kept) < fewestPoints {
		return 0, nil, fmt.Errorf("the centre line has %d different points: give at least %d", len(kept), fewestPoints)
	}
	return gap, kept, nil
}

func away(a, b Centre) float64 {
	return math.Hypot(math.Hypot(a.X-b.X, a.Y-b.Y), a.Z-b.Z)
}

// refits is how often the line is fitted again with its own arc length, in place
// of the chords, as the parameter.
const refits = 2

// fitLine fits a line with a survey error, m, or ErrorUnknown.
func fitLine(points []Centre, surveyError float64) (*line, error) {
	n := len(points)
	positions := make([]float64, n+1)
	for i := range n {
		positions[i+1] = positions[i] + away(points[i], points[(i+1)%n])
	}
	l := &line{logLambda: math.NaN()}
	for range refits + 1 {
		l.spline = newPeriodicSpline(positions)
		if err := l.choose(points, surveyError); err != nil {
			return nil, err
		}
		for i := range n {
			positions[i+1] = positions[i] + l.arc(i, 0, l.spline.knots[i+1]-l.spline.knots[i])
		}
	}
	return l, nil
}

// set fits the line with one λ.
func (l *line) set(points []Centre, lambda float64) error {
	c, err := l.spline.factor(lambda)
	if err != nil {
		return err
	}
	coordinate := func(of func(Centre) float64) curve {
		y := make([]float64, len(points))
		for i, p := range points {
			y[i] = of(p)
		}
		return l.spline.fit(c, lambda, y)
	}
	l.lambda = lambda
	l.x = coordinate(func(p Centre) float64 { return p.X })
	l.y = coordinate(func(p Centre) float64 { return p.Y })
	l.z = coordinate(func(p Centre) float64 { return p.Z })
	return nil
}

// speed is ds/dt a distance t beyond knot k.
func (l *line) speed(k int, t float64) float64 {
	_, x, _ := l.x.at(k, t)
	_, y, _ := l.y.at(k, t)
	_, z, _ := l.z.at(k, t)
	return math.Hypot(math.Hypot(x, y), z)
}

// arc is the length of the line between two t beyond knot k, m.
func (l *line) arc(k int, from, to float64) float64 {
	const parts = 4
	h := (to - from) / parts
	sum := 0.0
	for i := range parts {
		for _, g := range gauss3 {
			sum += g.weight * h * l.speed(k, from+(float64(i)+g.at)*h)
		}
	}
	return sum
}

func (l *line) largestOffset(points []Centre) float64 {
	largest := 0.0
	for i, p := range points {
		largest = max(largest, away(p, Centre{l.x[i].value, l.y[i].value, l.z[i].value}))
	}
	return largest
}

// curvature is the heading turned through in a metre a distance t beyond knot k,
// 1/m.
func (l *line) curvature(k int, t float64) float64 {
	_, x, xx := l.x.at(k, t)
	_, y, yy := l.y.at(k, t)
	return (x*yy - y*xx) / ((x*x + y*y) * l.speed(k, t))
}
