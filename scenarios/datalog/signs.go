package datalog

import (
	"fmt"
	"math"
)

// Correlations from which longitudinal acceleration is taken to follow the slope
// of speed or, if negative, to be reversed, and from which it is taken to be
// reversed against the throttle. Nearer to 0 nothing is said of the sign; of the
// column only against speed, since with a throttle held open acceleration fades.
// Priors, no published source.
const (
	follows = 0.5
	opposes = 0.3
)

// checkSigns warns where the stated sign or the unit of the longitudinal axis
// doesn't fit the slope of speed or, without speed, the throttle. A reversed
// lateral axis can't be told without a steering or yaw column; Report says how
// long the log turns to each side.
func (l *Log) checkSigns() {
	if !l.has(Longitudinal) {
		return
	}
	if l.has(Speed) {
		if r, slope, ok := l.speedSlope(); ok {
			l.judgeSlope(r, slope)
			return
		}
	}
	load, forward := make([]float64, 0, len(l.Samples)), make([]float64, 0, len(l.Samples))
	for _, s := range l.Samples {
		load, forward = append(load, s.Load), append(forward, s.Forward)
	}
	if r, _, ok := correlate(load, forward); ok && r <= -opposes {
		l.Warnings = append(l.Warnings, fmt.Sprintf("longitudinal: the stated sign looks reversed: it falls when the throttle opens (correlation %.2f)", r))
	}
}

func (l *Log) judgeSlope(r, slope float64) {
	switch {
	case r <= -follows:
		l.Warnings = append(l.Warnings, fmt.Sprintf("longitudinal: the stated sign looks reversed: it falls when speed rises (correlation %.2f with the slope of speed)", r))
	case r < follows:
		l.Warnings = append(l.Warnings, fmt.Sprintf("longitudinal: hardly follows the slope of speed (correlation %.2f): is it the right column?", r))
	case slope < 0.5 || slope > 2:
		l.Warnings = append(l.Warnings, fmt.Sprintf("longitudinal: reads %.2g times the slope of speed: check the units of both", slope))
	}
}

// speedSlope compares longitudinal acceleration with the slope of speed, both
// over stretches of about 1 s: the correlation, and acceleration per slope.
func (l *Log) speedSlope() (r, slope float64, ok bool) {
	n := max(1, int(math.Round(l.Rate)))
	var dv, a []float64
	for i := 0; i+n < len(l.Samples); i += max(1, n/2) {
		from, to := l.Samples[i], l.Samples[i+n]
		rise := (to.Speed - from.Speed) / (to.Time - from.Time)
		if math.IsNaN(rise) {
			continue
		}
		sum := 0.0
		for _, s := range l.Samples[i : i+n] {
			sum += s.Forward
		}
		dv, a = append(dv, rise), append(a, sum/float64(n))
	}
	return correlate(dv, a)
}

// correlate gives Pearson's correlation of x and y, and the slope of y over x
// as the ratio of their standard deviations. ok is false for fewer than ten
// pairs or where either hardly varies.
func correlate(x, y []float64) (r, ratio float64, ok bool) {
	if len(x) < 10 {
		return 0, 0, false
	}
	var mx, my float64
	for i := range x {
		mx += x[i] / float64(len(x))
		my += y[i] / float64(len(x))
	}
	var xx, yy, xy float64
	for i := range x {
		dx, dy := x[i]-mx, y[i]-my
		xx, yy, xy = xx+dx*dx, yy+dy*dy, xy+dx*dy
	}
	if n := float64(len(x)); xx/n < 1e-6 || yy/n < 1e-6 {
		return 0, 0, false
	}
	return xy / math.Sqrt(xx*yy), math.Sqrt(yy / xx), true
}
