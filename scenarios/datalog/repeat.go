package datalog

import (
	"fmt"
	"math"
)

const (
	shortestLap = 15.0   // s that are tried as a lap time
	longestLap  = 900.0  // s
	repeatStep  = 0.2    // s between the points that are compared
	repeatSpan  = 3600.0 // s of the log in which the repeat is looked for
	goodMatch   = 0.7    // correlation from lap to lap from which the repeat is believed, prior
	someMatch   = 0.4    // the same over the whole log, which may hold more than laps, prior
)

// repeatedLaps finds the laps of a log without a lap column from its repeat:
// the lap time is the shortest shift of at most half the log under which the
// log correlates with itself nearly as well as under the best one (0.4 or
// more). Kept is the longest run of whole laps that correlate with 0.7 or more
// from each to the next, if it makes up half the log or more. Without one the
// whole log is one lap, with a warning.
func (l *Log) repeatedLaps(r *Report) []span {
	whole := []span{l.spanOf(0, len(l.Samples))}
	g := l.grid()
	lag, match := g.bestLag()
	var start, laps int
	if lag > 0 && match >= someMatch {
		start, laps, match = g.bestStart(lag)
	}
	if lag == 0 || match < goodMatch || 2*laps*lag < g.n {
		found := "it is shorter than two laps, or no two of its laps are alike"
		if lag > 0 {
			found = fmt.Sprintf("no repeat was found (best correlation %.2f at %.1f s, wanted %.2f over half the log or more)", match, float64(lag)*repeatStep, goodMatch)
		}
		r.Warnings = append(r.Warnings, "there is no lap column and the whole log is taken as one lap: "+found)
		return whole
	}
	lapTime := float64(lag) * repeatStep
	r.LapMatch = match
	r.Notes = append(r.Notes, fmt.Sprintf("there is no lap column: %d laps of %.1f s from %.1f s on, found from the repeat (correlation %.2f from lap to lap)",
		laps, lapTime, float64(start)*repeatStep, match))
	var kept []span
	first := l.sampleAt(float64(start) * repeatStep)
	for k := 1; k <= laps; k++ {
		end := l.sampleAt(float64(start+k*lag) * repeatStep)
		if end > first {
			kept = append(kept, l.spanOf(first, end))
		}
		first = end
	}
	return kept
}

// sampleAt gives the first sample at or after a time.
func (l *Log) sampleAt(time float64) int {
	low, high := 0, len(l.Samples)
	for low < high {
		mid := (low + high) / 2
		if l.Samples[mid].Time < time-0.5/l.Rate {
			low = mid + 1
		} else {
			high = mid
		}
	}
	return low
}

// grid holds what is compared, evenly spaced in time, each channel with mean 0
// and variance 1.
type grid struct {
	channels [][]float64
	n        int
}

func (l *Log) grid() grid {
	n := int(min(l.timeAt(len(l.Samples)), repeatSpan) / repeatStep)
	var g grid
	for _, value := range []func(Sample) float64{
		func(s Sample) float64 { return s.Load },
		func(s Sample) float64 { return s.Left },
		func(s Sample) float64 { return s.Forward },
		func(s Sample) float64 { return s.Speed },
	} {
		x := make([]float64, n)
		i := 0
		for k := range x {
			sum, count := 0.0, 0
			for ; i < len(l.Samples) && l.Samples[i].Time < float64(k+1)*repeatStep; i++ {
				sum, count = sum+value(l.Samples[i]), count+1
			}
			if count == 0 { // a step longer than the grid's
				sum, count = value(l.Samples[max(i-1, 0)]), 1
			}
			x[k] = sum / float64(count)
		}
		if standardize(x) {
			g.channels = append(g.channels, x)
		}
	}
	g.n = n
	return g
}

// standardize shifts and scales x to mean 0 and variance 1. It is false for a
// channel that doesn't vary or isn't known throughout.
func standardize(x []float64) bool {
	var mean, square float64
	for _, v := range x {
		mean += v / float64(len(x))
	}
	for _, v := range x {
		square += (v - mean) * (v - mean) / float64(len(x))
	}
	sd := math.Sqrt(square)
	if !(sd > 1e-6) {
		return false
	}
	for i := range x {
		x[i] = (x[i] - mean) / sd
	}
	return true
}

// match is the mean over the channels of the correlation between points
// from .. to-1 and the same lag later.
func (g grid) match(from, to, lag int) float64 {
	total := 0.0
	for _, x := range g.channels {
		var a, b, aa, bb, ab float64
		n := float64(to - from)
		for i := from; i < to; i++ {
			u, v := x[i], x[i+lag]
			a, b, aa, bb, ab = a+u, b+v, aa+u*u, bb+v*v, ab+u*v
		}
		if d := (aa - a*a/n) * (bb - b*b/n); d > 1e-12*n*n {
			total += (ab - a*b/n) / math.Sqrt(d)
		}
	}
	return total / float64(len(g.channels))
}

// bestLag gives the lap time in points and how well it matches; 0 if there is
// nothing to compare.
func (g grid) bestLag() (lag int, match float64) {
	low, high := int(shortestLap/repeatStep), min(g.n/2, int(longestLap/repeatStep))
	if len(g.channels) == 0 || low >= high {
		return 0, 0
	}
	matches := make([]float64, high+1)
	best := 0.0
	for k := low; k <= high; k++ {
		matches[k] = g.match(0, g.n-k, k)
		best = max(best, matches[k])
	}
	for k := low; k <= high; k++ {
		if matches[k] < 0.9*best || k > low && matches[k-1] > matches[k] || k < high && matches[k+1] > matches[k] {
			continue
		}
		return k, matches[k]
	}
	return 0, 0
}

// bestStart gives where the longest run of laps starts that all repeat well:
// the part of the log before and after it (out lap, in lap) is left out. match
// is the worst from one lap to the next in it.
func (g grid) bestStart(lag int) (start, laps int, match float64) {
	const stride = 5 // points between the starts that are tried
	for laps = g.n / lag; laps > 2; laps-- {
		start, match = g.scan(lag, laps, stride)
		if match >= goodMatch {
			return start, laps, match
		}
	}
	start, match = g.scan(lag, 2, stride)
	return start, 2, match
}

// scan gives the start of the best run of so many laps.
func (g grid) scan(lag, laps, stride int) (start int, match float64) {
	match = math.Inf(-1)
	for s := 0; s+laps*lag <= g.n; s += stride {
		worst := math.Inf(1)
		for k := 0; k < laps-1 && worst > match; k++ {
			worst = min(worst, g.match(s+k*lag, s+(k+1)*lag, lag))
		}
		if worst > match {
			start, match = s, worst
		}
	}
	return start, match
}
