package report

import (
	"fmt"
	"math"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// place is where on a circuit a phase begins, m from the start, and how fast the
// car is in it on average, m/s.
type place struct{ at, speed float64 }

// places returns the places of the phases of a circuit's lap; nil for another duty.
func (r Lap) places() []place {
	if r.Circuit == nil {
		return nil
	}
	list := make([]place, len(r.Car.Lap))
	time, from := 0.0, 0.0
	for i, p := range r.Car.Lap {
		time += p.Duration
		to := distanceAt(r.Circuit, time)
		list[i] = place{at: from, speed: math.NaN()}
		if p.Duration > 0 {
			list[i].speed = (to - from) / p.Duration
		}
		from = to
	}
	return list
}

// distanceAt returns how far the car has come at a time of the lap, m: within a
// sample at its mean speed.
func distanceAt(lap *sim.CircuitLap, time float64) float64 {
	low, high := 0, len(lap.Samples) // the last sample that begins by then is below high
	for high-low > 1 {
		if mid := (low + high) / 2; lap.Samples[mid].Time <= time {
			low = mid
		} else {
			high = mid
		}
	}
	if len(lap.Samples) == 0 {
		return math.NaN()
	}
	s := lap.Samples[low]
	return min(s.Distance+s.Speed*min(time-s.Time, s.Duration), lap.Length)
}

// leastGap is the gap between the end of a circuit and its start that is told, m;
// our choice.
const leastGap = 1.0

// circuit says what circuit it is.
func (r Lap) circuit() string {
	return fmt.Sprintf("%s, once round in %s", CircuitName(r.Scenario, r.Circuit, r.Units), howMany("phase", len(r.Car.Lap)))
}

// CircuitName names a circuit and its length: "Circuit larkmoor-long of 4,582 m".
func CircuitName(s *scenarios.Scenario, lap *sim.CircuitLap, u units.System) string {
	name := "Circuit"
	switch c := s.Duty.Circuit; {
	case c == nil:
	case c.Layout != "":
		name += " " + c.Layout
	case c.CentreLine != nil:
		name += " by the centre line " + c.CentreLine.File
	}
	return name + " of " + trackLength(lap.Length, u)
}

// trackLength writes a length along the ground in whole metres or feet.
func trackLength(si float64, u units.System) string {
	unit := words.ColumnOf(units.TrackLength, u).Unit
	return unit.Attach(words.Grouped(int64(math.Round(unit.FromSI(si)))))
}

// leastTurn is what a circuit turns in all for it to turn to one side, rad.
const leastTurn = math.Pi / 180

// circuitFacts are the facts that only a circuit has.
func (r Lap) circuitFacts() facts {
	c := r.Circuit
	if c == nil {
		return nil
	}
	var f facts
	speed := words.ColumnOf(units.RoadSpeed, r.Units)
	f.add("speed", speed.Text(c.Least)+" to "+speed.WithUnit(c.TopSpeed))
	f.add("once round", r.turning())
	if c.Fit == nil && math.Abs(c.Gap) >= leastGap { // of a centre line it is a step between points
		f.add("gap", fmt.Sprintf("it does not close as laid out: its end is %s from its start", words.ShowIn(c.Gap, words.ColumnOf(units.TrackLength, r.Units).Unit)))
	}
	if fit := c.Fit; fit != nil {
		f.add("centre line", fmt.Sprintf("%s points, smoothed: the line passes them by up to %s; its curvature is off by %s (standard error)",
			words.Grouped(int64(fit.Points)), words.Show(fit.LargestOffset, units.Length, r.Units), r.curvature(fit.CurvatureError)))
	}
	return f
}

// curvature writes an error of curvature in 1/m, and from which radius of a corner
// it is a tenth of the curvature.
func (r Lap) curvature(e float64) string {
	length := words.ColumnOf(units.TrackLength, r.Units).Unit
	text := fmt.Sprintf("%.2g 1/%s", e*length.Factor, length.Symbol)
	if e > 0 {
		text += fmt.Sprintf(", a tenth of that of a corner of %s", words.ShowIn(0.1/e, length))
	}
	return text
}

// turning says how far the circuit turns, and to which side.
func (r Lap) turning() string {
	degrees := func(rad float64) string { return fmt.Sprintf("%.0f°", math.Abs(rad)*180/math.Pi) }
	text := "turns as far to the left as to the right"
	switch t := r.Circuit.Turning; {
	case t > leastTurn:
		text = "turns " + degrees(t) + " to the left"
	case t < -leastTurn:
		text = "turns " + degrees(t) + " to the right"
	}
	circuit := r.Scenario.Duty.Circuit
	if circuit == nil || len(circuit.Segments) == 0 {
		return text + " in all"
	}
	var left, right float64
	var lefts, rights int
	for _, s := range circuit.Segments {
		switch {
		case s.Radius <= 0:
		case s.Right:
			right, rights = right+s.Angle, rights+1
		default:
			left, lefts = left+s.Angle, lefts+1
		}
	}
	if lefts == 0 || rights == 0 {
		return text + fmt.Sprintf(", always to that side, in %s", howMany("corner", lefts+rights))
	}
	return text + fmt.Sprintf(" in all: %s to the left (%s), %d to the right (%s)", howMany("corner", lefts), degrees(left), rights, degrees(right))
}

// spreadOfTime and spreadOfShare say how the lap time and the share of full
// throttle spread with what is not known; empty where they don't.
func (r Lap) spreadOfTime() string {
	if r.Circuit == nil || r.Follows == nil || !spreads(r.Follows.LapTime) {
		return ""
	}
	u := units.SensibleUnit(r.Follows.LapTime.P50, units.Time, r.Units)
	return " at nominal values; " + interval(r.Follows.LapTime, u) + " " + overRealizations(r.Follows)
}

func (r Lap) spreadOfShare() string {
	if r.Circuit == nil || r.Follows == nil || !spreads(r.Follows.FullThrottleShare) {
		return ""
	}
	u := words.ColumnOf(units.Fraction, r.Units).Unit
	return "; " + interval(r.Follows.FullThrottleShare, u) + " " + overRealizations(r.Follows)
}

func overRealizations(f *sim.Follows) string {
	return fmt.Sprintf("in 90 %% of %s realizations", words.Grouped(int64(f.Realizations)))
}
