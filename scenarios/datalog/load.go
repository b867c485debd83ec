package datalog

import (
	"fmt"
	"math"
	"slices"
)

const (
	snapOpen    = 0.95 // throttle from which the engine is taken to be at full load
	snapClosed  = 0.03 // throttle up to which it is taken to be at none
	stoppedRPM  = 200  // rev/min below which the engine is taken to be stopped
	lowestTop   = 0.85 // a sensor that tops lower isn't scaled
	highestIdle = 0.15 // a sensor that closes higher isn't scaled
)

// loadFromThrottle turns throttle (fraction) into load 0..1, in place.
//
// Load stands for how far the intake manifold is filled, which is what drives
// blow-by. It is taken as
//
//	θ = (throttle - closed)/(open - closed), kept within 0..1
//	load = 0 for θ ≤ 0.03,  1 for θ ≥ 0.95,  θ between
//
// closed and open are the log's own 0.5 % and 99.5 % quantiles, for sensors
// that don't read 0 and 100 % at their stops; they are used only if closed is
// at most 15 % and open at least 85 %, and a note says so. Otherwise throttle
// is taken as it stands, with a warning. Load equal to throttle, the two snaps
// and the limits of scaling are priors without a published source. Engine
// speed doesn't scale load: blow-by follows manifold pressure and hardly speed
// (derived: near-choked ring gaps), and part throttle is a small part of a lap
// on track.
func (l *Log) loadFromThrottle(throttle []float64) {
	sorted := slices.Clone(throttle)
	slices.Sort(sorted)
	closed, open := quantile(sorted, 0.005), quantile(sorted, 0.995)
	switch {
	case open < lowestTop:
		l.Warnings = append(l.Warnings, fmt.Sprintf("throttle: reads up to %.1f %% only and is taken as it stands: if that is full throttle, the column needs scaling", 100*open))
		closed, open = 0, 1
	case closed > highestIdle:
		l.Warnings = append(l.Warnings, fmt.Sprintf("throttle: never reads below %.1f %% and is taken as it stands: if that is closed throttle, the column needs scaling", 100*closed))
		closed, open = 0, 1
	case math.Abs(closed) > 5e-4 || math.Abs(open-1) > 5e-4:
		l.Notes = append(l.Notes, fmt.Sprintf("throttle: %.1f %% .. %.1f %% (0.5 %% and 99.5 %% quantiles of the log) are taken as closed and open", 100*closed, 100*open))
	}
	for i, v := range throttle {
		θ := (v - closed) / (open - closed)
		switch {
		case θ <= snapClosed:
			θ = 0
		case θ >= snapOpen:
			θ = 1
		}
		throttle[i] = θ
	}
}

// quantile of sorted values, the nearest below.
func quantile(sorted []float64, p float64) float64 {
	return sorted[int(p*float64(len(sorted)-1))]
}

// allowedRange is what a column may hold once in SI; beyond it, its unit or
// the sensor is wrong.
var allowedRange = map[string]struct {
	low, high, shown float64
	unit             string
}{
	Throttle:     {-0.2, 1.2, 100, "%"},
	Lateral:      {-20 * StandardGravity, 20 * StandardGravity, 1 / StandardGravity, "g"},
	Longitudinal: {-20 * StandardGravity, 20 * StandardGravity, 1 / StandardGravity, "g"},
	Speed:        {-10, 150, 3.6, "km/h"},
	RPM:          {-100, 25000, 1, "rev/min"},
}

// scale takes the columns to SI and to our axes, and checks their range.
func (l *Log) scale(w *raw, s Spec, p *problems) {
	for i, c := range w.columns {
		values := w.values[i]
		if c.key == Time || c.key == Lap {
			continue
		}
		factor := c.factor
		if factor == 0 {
			var highest float64
			if factor, highest = throttleFactor(values); factor == 0 {
				p.Add(0, c.key, fmt.Sprintf("unit not known (got none and values up to %.4g, allowed %%, 0..1)", highest), "say units: {throttle: %} or units: {throttle: 0..1}")
				continue
			}
			l.Notes = append(l.Notes, fmt.Sprintf("throttle: taken as %s, from values up to %.4g", map[float64]string{1: "0..1", 0.01: "%"}[factor], highest))
		}
		if _, axis := directions[c.key]; axis {
			factor *= s.sign(c.key)
		}
		for j := range values {
			values[j] *= factor
		}
		checkRange(c.key, values, w.lines, p)
		if _, axis := directions[c.key]; axis {
			l.checkSize(c.key, values, p)
		}
	}
}

// checkRange reports the first value out of range, and how many there are.
func checkRange(key string, values []float64, lines []int, p *problems) {
	a := allowedRange[key]
	count, first := 0, 0
	for i, v := range values {
		if v < a.low || v > a.high {
			if count++; count == 1 {
				first = i
			}
		}
	}
	if count == 0 {
		return
	}
	others := ""
	if count > 1 {
		others = fmt.Sprintf(", and in %d more rows", count-1)
	}
	p.Add(lines[first], key, fmt.Sprintf("out of range%s (got %.4g %s, allowed %.4g to %.4g %s)",
		others, values[first]*a.shown, a.unit, a.low*a.shown, a.high*a.shown, a.unit), "check its unit, or leave the cell empty if the reading is a fault")
}

// checkSize catches an acceleration in the wrong unit by the size of its
// values: a car doesn't hold 4 g for 5 % of the time, nor stay below 0.15 g.
func (l *Log) checkSize(key string, values []float64, p *problems) {
	sizes := make([]float64, 0, len(values))
	for _, v := range values {
		if !math.IsNaN(v) {
			sizes = append(sizes, math.Abs(v)/StandardGravity)
		}
	}
	if len(sizes) == 0 {
		return
	}
	slices.Sort(sizes)
	if q := quantile(sizes, 0.95); q > 4 {
		p.Add(0, key, fmt.Sprintf("too large for a car (got %.3g g or more in 5 %% of the rows, allowed up to 4 g)", q), fmt.Sprintf("check its unit, such as units: {%s: m/s2}", key))
	}
	if q := quantile(sizes, 0.99); q < 0.15 {
		l.Warnings = append(l.Warnings, fmt.Sprintf("%s: below %.2g g in 99 %% of the rows: check its unit, such as units: {%s: g}", key, q, key))
	}
}

// makeSamples fills l.Samples from columns in SI without gaps.
func (l *Log) makeSamples(w *raw) {
	l.Samples = make([]Sample, len(w.lines))
	throttle, left, forward := w.column(Throttle), w.column(Lateral), w.column(Longitudinal)
	speed, rpm, lap := w.column(Speed), w.column(RPM), w.column(Lap)
	l.loadFromThrottle(throttle)
	for i := range l.Samples {
		s := &l.Samples[i]
		s.Time, s.Load, s.Filled = w.values[0][i], throttle[i], w.filled[i]
		s.Speed, s.RPM = math.NaN(), math.NaN()
		if left != nil {
			s.Left = left[i]
		}
		if forward != nil {
			s.Forward = forward[i]
		}
		if speed != nil {
			s.Speed = speed[i]
		}
		if lap != nil {
			s.Lap = int(lap[i])
		}
		if rpm != nil {
			s.RPM = rpm[i]
			if s.EngineStopped = rpm[i] < stoppedRPM; s.EngineStopped {
				s.Load = 0
			}
		}
	}
	for _, key := range []string{Lateral, Longitudinal} {
		if !l.has(key) {
			l.Warnings = append(l.Warnings, fmt.Sprintf("no %s column: that acceleration is taken as none", key))
		}
	}
}
