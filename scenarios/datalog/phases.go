package datalog

import (
	"fmt"
	"math"
)

// Phase is a stretch of nearly constant load and acceleration. Its values are
// the time means of the samples in it.
type Phase struct {
	Duration      float64 // s
	Load          float64 // 0..1
	Forward       float64 // m/s², ISO 8855 x
	Left          float64 // m/s², ISO 8855 y
	EngineStopped bool
}

// FullThrottleLoad is the load from which a sample counts as full throttle.
const FullThrottleLoad = 0.99

// Lap cuts the whole laps of the log into phases: one lap after another, as
// they were driven, to be repeated as a whole. Lap k is
// phases[r.LapStarts[k]:r.LapStarts[k+1]], the last one runs to the end.
//
// Samples are merged as long as each lies within the tolerance of the time
// mean of its phase, in load and in both accelerations (these after smoothing,
// see Tolerance). Samples at full throttle (load of 0.99 and more) are never
// merged with others, nor are samples of a stopped engine, nor two laps. So
// time, mean load, mean acceleration and the share of full throttle are kept;
// the report gives them beside the log's, and the time above 0.8 g, which
// isn't kept exactly.
//
// In-laps and out-laps are left out (see the notes of the report); without a
// lap column laps are found from the repeat. Zero fields of t take the
// defaults.
func (l *Log) Lap(t Tolerance) ([]Phase, Report, error) {
	p := problemsOf(l.Name)
	if t.check(p); p.Len() > 0 {
		return nil, Report{}, p.Err()
	}
	if len(l.Samples) == 0 || !(l.Rate > 0) {
		p.Add(0, "", "the log holds no samples", "read it with Read")
		return nil, Report{}, p.Err()
	}
	r := Report{Rate: l.Rate}
	r.Notes = append(r.Notes, l.Notes...)
	r.Warnings = append(r.Warnings, l.Warnings...)
	laps := l.wholeLaps(&r)
	var phases []Phase
	for _, lap := range laps {
		r.LapStarts = append(r.LapStarts, len(phases))
		phases = append(phases, l.cut(lap, t.withDefaults())...)
	}
	if len(phases) > MaxPhases {
		p.Add(0, "", fmt.Sprintf("too many phases (got %d of %d laps, allowed %d)", len(phases), len(laps), MaxPhases),
			"keep fewer laps, or widen the tolerance within which samples make up a phase")
		return nil, Report{}, p.Err()
	}
	r.describeLog(l, laps)
	r.describePhases(phases)
	return phases, r, nil
}

// cutter holds the phase that is being built.
type cutter struct {
	t                 Tolerance
	n                 int
	duration          float64
	load, fwd, left   float64 // time integrals
	sfwd, sleft       float64 // time integrals of the smoothed accelerations
	low, high         [3]float64
	fullThrottle, off bool
}

// cut cuts one lap into phases.
func (l *Log) cut(lap span, t Tolerance) []Phase {
	samples := l.Samples[lap.first:lap.end]
	fwd, left := l.smooth(lap, t.Smoothing)
	var phases []Phase
	c := cutter{t: t}
	start := lap.from
	for i, s := range samples {
		dt := l.timeAt(lap.first+i+1) - s.Time
		if c.n > 0 && !c.fits(s, fwd[i], left[i], dt) {
			phases = append(phases, c.phase(start, s.Time))
			c, start = cutter{t: t}, s.Time
		}
		c.add(s, fwd[i], left[i], dt)
	}
	return append(phases, c.phase(start, lap.to))
}

func isFullThrottle(s Sample) bool { return s.Load >= FullThrottleLoad }

// fits tells whether the phase with one more sample keeps to the tolerance.
func (c *cutter) fits(s Sample, fwd, left, dt float64) bool {
	if isFullThrottle(s) != c.fullThrottle || s.EngineStopped != c.off {
		return false
	}
	total := c.duration + dt
	for k, v := range [3]struct{ sum, value, tolerance float64 }{
		{c.load, s.Load, c.t.Load}, {c.sfwd, fwd, c.t.Acceleration}, {c.sleft, left, c.t.Acceleration},
	} {
		mean := (v.sum + v.value*dt) / total
		if max(c.high[k], v.value)-mean > v.tolerance || mean-min(c.low[k], v.value) > v.tolerance {
			return false
		}
	}
	return true
}

func (c *cutter) add(s Sample, fwd, left, dt float64) {
	values := [3]float64{s.Load, fwd, left}
	if c.n == 0 {
		c.low, c.high = values, values
		c.fullThrottle, c.off = isFullThrottle(s), s.EngineStopped
	}
	for k, v := range values {
		c.low[k], c.high[k] = min(c.low[k], v), max(c.high[k], v)
	}
	c.n++
	c.duration += dt
	c.load += s.Load * dt
	c.fwd += s.Forward * dt
	c.left += s.Left * dt
	c.sfwd += fwd * dt
	c.sleft += left * dt
}

// phase gives what was built. Load is kept within what its samples hold, so
// that rounding doesn't take a phase across the line of full throttle.
func (c *cutter) phase(from, to float64) Phase {
	return Phase{
		Duration:      to - from,
		Load:          min(max(c.load/c.duration, c.low[0]), c.high[0]),
		Forward:       c.fwd / c.duration,
		Left:          c.left / c.duration,
		EngineStopped: c.off,
	}
}

// smooth gives the centred moving means of the accelerations of a lap.
func (l *Log) smooth(lap span, length float64) (fwd, left []float64) {
	samples := l.Samples[lap.first:lap.end]
	half := int(math.Round(length * l.Rate / 2))
	fwd, left = make([]float64, len(samples)), make([]float64, len(samples))
	for i, s := range samples {
		fwd[i], left[i] = s.Forward, s.Left
	}
	if half > 0 {
		fwd, left = movingMean(fwd, half), movingMean(left, half)
	}
	return fwd, left
}

// movingMean takes the mean of up to half values to either side; towards the
// ends the window narrows evenly.
func movingMean(x []float64, half int) []float64 {
	sum := make([]float64, len(x)+1)
	for i, v := range x {
		sum[i+1] = sum[i] + v
	}
	out := make([]float64, len(x))
	for i := range x {
		h := min(half, i, len(x)-1-i)
		out[i] = (sum[i+h+1] - sum[i-h]) / float64(2*h+1)
	}
	return out
}
