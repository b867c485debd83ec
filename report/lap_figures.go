package report

import (
	"math"
	"sort"

	"sumpward/scenarios/datalog"
	"sumpward/sim"
)

// What counts as a hard corner: the same limits as for the carry-over of
// liquid oil (priors, no published source).
const (
	hardCorner  = 0.8 * datalog.StandardGravity // m/s2, lateral
	longCorner  = 1.5                           // s without a break
	throttleAll = datalog.FullThrottleLoad
)

// lapFigures sums up what repeats, one lap or several: times are per lap.
type lapFigures struct {
	lapTime          float64   // s
	fullThrottle     float64   // share of the time
	meanLoad         float64   // 0..1, engine running
	bursts           []float64 // s of full throttle on end, ascending
	above, corners   float64   // s a lap above 0.8 g, and in corners that last 1.5 s
	stopped          float64   // s a lap with the engine stopped
	allFullThrottle  bool
	left, right      float64 // s a lap above 0.3 g to that side
	longestCorner    float64 // s
	accelerationPeak float64 // m/s2, largest of a phase
}

// figuresOf works out the figures of phases that repeat as a whole.
func figuresOf(car *sim.Car) lapFigures {
	var f lapFigures
	total, running := 0.0, 0.0
	for _, p := range car.Lap {
		total += p.Duration
		if p.Stopped {
			f.stopped += p.Duration
		} else {
			running += p.Duration
			f.meanLoad += p.Load * p.Duration
		}
		if math.Abs(p.Left) > hardCorner {
			f.above += p.Duration
		}
		switch turning := 0.3 * datalog.StandardGravity; {
		case p.Left > turning:
			f.left += p.Duration
		case p.Left < -turning:
			f.right += p.Duration
		}
		f.accelerationPeak = math.Max(f.accelerationPeak, math.Hypot(p.Forward, p.Left))
	}
	full := stretches(car.Lap, func(p sim.Phase) bool { return p.Load >= throttleAll && !p.Stopped })
	sort.Float64s(full)
	f.bursts = full
	for _, b := range full {
		f.fullThrottle += b
	}
	f.fullThrottle /= total
	f.allFullThrottle = len(full) == 1 && f.fullThrottle > 1-1e-12
	for _, c := range stretches(car.Lap, func(p sim.Phase) bool { return math.Abs(p.Left) > hardCorner }) {
		if c >= longCorner-1e-9 {
			f.corners += c
			f.longestCorner = math.Max(f.longestCorner, c)
		}
	}
	if running > 0 {
		f.meanLoad /= running
	}
	laps := float64(max(len(car.Laps), 1))
	f.lapTime = total / laps
	for _, x := range []*float64{&f.above, &f.corners, &f.stopped, &f.left, &f.right} {
		*x /= laps
	}
	return f
}

// stretches returns the durations of unbroken runs of phases that fit, joined
// over the end, where the phases begin anew.
func stretches(phases []sim.Phase, fits func(sim.Phase) bool) []float64 {
	first := 0
	for first < len(phases) && fits(phases[first]) {
		first++
	}
	var list []float64
	run := 0.0
	for i := range phases {
		p := phases[(first+i)%len(phases)]
		switch {
		case fits(p):
			run += p.Duration
		case run > 0:
			list = append(list, run)
			run = 0
		}
	}
	if run > 0 {
		list = append(list, run)
	}
	return list
}

// median of ascending values, NaN of none.
func median(v []float64) float64 {
	n := len(v)
	if n == 0 {
		return math.NaN()
	}
	return (v[(n-1)/2] + v[n/2]) / 2
}
