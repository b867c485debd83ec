package datalog

import (
	"fmt"
	"math"
)

// cornering is the lateral acceleration in m/s² above which oil is taken to
// stand against one side of the engine, and lasting is for how long in s
// (mechanism published in patents on head drains, the numbers are priors).
const (
	cornering = 0.8 * StandardGravity
	lasting   = 1.5
	turning   = 0.3 * StandardGravity // from which the log counts as turning

	shortPhases = 0.25 // s, mean length below which the report warns
)

// Report says what the cutting into phases kept and what it lost. Times are
// totals over all laps that are kept; "OfLog" is the same figure from the
// samples themselves.
type Report struct {
	Samples int // in the laps that are kept
	Phases  int
	Laps    int
	// LapStarts holds, for each lap, the index of its first phase.
	LapStarts []int
	LapTime   float64 // s, mean
	Duration  float64 // s, of all laps
	Rate      float64 // Hz

	FullThrottleShare, FullThrottleShareOfLog float64 // of time, 0..1
	MeanLoad, MeanLoadOfLog                   float64 // time mean, 0..1
	TimeAbove08g, TimeAbove08gOfLog           float64 // s with |lateral| above 0.8 g
	// LongCorners is the time in s of stretches above 0.8 g lateral that last
	// 1.5 s or more without a break.
	LongCorners, LongCornersOfLog float64
	TimeLeft, TimeRight           float64 // s with lateral above 0.3 g to that side, samples

	MissingFilled int // samples in which a value was filled in
	// LapMatch is the correlation of the log with itself one lap later, where
	// laps were found from the repeat; 0 where a lap column gave them.
	LapMatch float64
	Notes    []string
	Warnings []string
}

// stretch adds up time above 0.8 g, and of that the stretches that last.
type stretch struct{ above, long, current float64 }

func (s *stretch) add(left, dt float64) {
	if math.Abs(left) > cornering {
		s.above += dt
		s.current += dt
		return
	}
	s.end()
}

func (s *stretch) end() {
	if s.current >= lasting-1e-9 {
		s.long += s.current
	}
	s.current = 0
}

// describeLog fills in what the samples of the kept laps hold.
func (r *Report) describeLog(l *Log, laps []span) {
	r.Laps = len(laps)
	var corners stretch
	for _, lap := range laps {
		r.Duration += lap.duration()
		r.Samples += lap.end - lap.first
		for i := lap.first; i < lap.end; i++ {
			s, dt := l.Samples[i], l.timeAt(i+1)-l.timeAt(i)
			if isFullThrottle(s) {
				r.FullThrottleShareOfLog += dt
			}
			r.MeanLoadOfLog += s.Load * dt
			corners.add(s.Left, dt)
			if s.Left > turning {
				r.TimeLeft += dt
			} else if s.Left < -turning {
				r.TimeRight += dt
			}
			if s.Filled {
				r.MissingFilled++
			}
		}
	}
	corners.end()
	r.LapTime = r.Duration / float64(r.Laps)
	r.FullThrottleShareOfLog /= r.Duration
	r.MeanLoadOfLog /= r.Duration
	r.TimeAbove08gOfLog, r.LongCornersOfLog = corners.above, corners.long
	if r.FullThrottleShareOfLog == 0 {
		r.Warnings = append(r.Warnings, "the log holds no full throttle")
	}
	if l.has(Lateral) {
		r.Notes = append(r.Notes, fmt.Sprintf("turns left for %.1f s and right for %.1f s (above 0.3 g): if the track goes the other way round, the sign of lateral is reversed", r.TimeLeft, r.TimeRight))
	}
}

// describePhases fills in what the phases hold.
func (r *Report) describePhases(phases []Phase) {
	r.Phases = len(phases)
	var corners stretch
	total := 0.0
	for _, p := range phases {
		total += p.Duration
		if p.Load >= FullThrottleLoad {
			r.FullThrottleShare += p.Duration
		}
		r.MeanLoad += p.Load * p.Duration
		corners.add(p.Left, p.Duration)
	}
	corners.end()
	r.FullThrottleShare /= total
	r.MeanLoad /= total
	r.TimeAbove08g, r.LongCorners = corners.above, corners.long
	if mean := total / float64(len(phases)); mean < shortPhases {
		r.Warnings = append(r.Warnings, fmt.Sprintf("phases last %.2g s on average, which makes the simulation slow: the signals are noisy for this tolerance, raise it or the smoothing", mean))
	}
}
