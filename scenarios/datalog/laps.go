package datalog

import (
	"fmt"
	"math"
	"slices"
)

// lapOff is how far a lap may differ from the median lap, as a share of it, to
// count as a whole lap at speed. A prior without a published source.
const lapOff = 0.15

// holdLaps holds the lap number where it is missing, checks that it is a whole
// number, and turns a marker (0, with short runs of 1 at the line) into one.
func (l *Log) holdLaps(laps []float64, lines []int, p *problems) {
	if laps == nil {
		return
	}
	last := math.NaN()
	for i, v := range laps {
		switch {
		case math.IsNaN(v):
			laps[i] = last
			continue
		case v != math.Trunc(v) || math.Abs(v) > 1e6:
			p.Add(lines[i], Lap, fmt.Sprintf("not a whole number (got %g)", v), "leave the lap column out with columns: {lap: none}")
			return
		}
		last = v
	}
	first := slices.IndexFunc(laps, func(v float64) bool { return !math.IsNaN(v) })
	if first < 0 {
		first, laps[len(laps)-1] = len(laps)-1, 0
	}
	for i := range first {
		laps[i] = laps[first]
	}
	if isMarker(laps) {
		l.Notes = append(l.Notes, "lap: read as a marker at the line, each rise of it starts a lap")
		countMarks(laps)
	}
}

// isMarker tells a column of 0 with at least one run of 1 that ends again.
func isMarker(laps []float64) bool {
	falls := 0
	for i, v := range laps {
		if v != 0 && v != 1 {
			return false
		}
		if i > 0 && v < laps[i-1] {
			falls++
		}
	}
	return falls > 0
}

func countMarks(laps []float64) {
	n, was := 0.0, 0.0
	for i, v := range laps {
		if v == 1 && was == 0 {
			n++
		}
		was = v
		laps[i] = n
	}
}

// span is a lap as a range of samples, with its times.
type span struct {
	first, end int     // samples first .. end-1
	from, to   float64 // s
	inner      bool    // starts and ends at the line, within the log
}

func (s span) duration() float64 { return s.to - s.from }

// spanOf gives the samples first .. end-1 as a span.
func (l *Log) spanOf(first, end int) span {
	return span{first: first, end: end, from: l.timeAt(first), to: l.timeAt(end)}
}

// timeAt gives the time at which sample i starts; the last sample holds for a
// median step.
func (l *Log) timeAt(i int) float64 {
	if i < len(l.Samples) {
		return l.Samples[i].Time
	}
	return l.Samples[len(l.Samples)-1].Time + 1/l.Rate
}

// wholeLaps gives the laps that are kept, in order.
func (l *Log) wholeLaps(r *Report) []span {
	if l.has(Lap) {
		return l.numberedLaps(r)
	}
	return l.repeatedLaps(r)
}

// numberedLaps cuts the log where the lap number changes and drops what is no
// whole lap at speed: laps that differ by more than 15 % from the median of
// those that start and end at the line (from the longest, if the log crosses
// the line only once).
func (l *Log) numberedLaps(r *Report) []span {
	var all []span
	first := 0
	for i := 1; i <= len(l.Samples); i++ {
		if i == len(l.Samples) || l.Samples[i].Lap != l.Samples[first].Lap {
			s := l.spanOf(first, i)
			s.inner = first > 0 && i < len(l.Samples)
			all = append(all, s)
			first = i
		}
	}
	if len(all) == 1 {
		r.Warnings = append(r.Warnings, "the lap number never changes: the whole log is taken as one lap")
		return all
	}
	usual := usualLap(all)
	var kept []span
	var out leftOut
	for _, s := range all {
		if off := s.duration()/usual - 1; math.Abs(off) > lapOff {
			out.note(fmt.Sprintf("lap %d is left out: %.1f s, against %.1f s of the usual lap (in lap, out lap, or cut off)", l.Samples[s.first].Lap, s.duration(), usual))
			continue
		}
		if !s.inner && l.shortOfDistance(s, all) {
			out.note(fmt.Sprintf("lap %d is left out: by its speed it is cut off by the end of the log", l.Samples[s.first].Lap))
			continue
		}
		kept = append(kept, s)
	}
	r.Notes = append(r.Notes, out.notes()...)
	return kept
}

// leftOut are the laps that are left out: the first few are named, the rest is
// counted.
type leftOut struct {
	named []string
	more  int
}

const maxLeftOut = 20

func (o *leftOut) note(text string) {
	if len(o.named) < maxLeftOut {
		o.named = append(o.named, text)
	} else {
		o.more++
	}
}

func (o *leftOut) notes() []string {
	if o.more == 0 {
		return o.named
	}
	return append(o.named, fmt.Sprintf("so are %d more laps", o.more))
}

// usualLap is the (lower) median duration of the inner laps, or of the longest
// lap if there is none.
func usualLap(all []span) float64 {
	var inner, every []float64
	for _, s := range all {
		every = append(every, s.duration())
		if s.inner {
			inner = append(inner, s.duration())
		}
	}
	if len(inner) == 0 {
		return slices.Max(every)
	}
	slices.Sort(inner)
	return inner[(len(inner)-1)/2]
}

// shortOfDistance tells, where speed is known throughout, whether a lap at an
// end of the log is more than 2 % shorter than the first inner lap.
func (l *Log) shortOfDistance(s span, all []span) bool {
	i := slices.IndexFunc(all, func(s span) bool { return s.inner })
	if i < 0 {
		return false
	}
	return l.distance(s) < 0.98*l.distance(all[i]) // false for NaN
}

// distance driven in a span in m; NaN where speed isn't known throughout.
func (l *Log) distance(s span) (m float64) {
	for i := s.first; i < s.end; i++ {
		m += l.Samples[i].Speed * (l.timeAt(i+1) - l.timeAt(i))
	}
	return m
}
