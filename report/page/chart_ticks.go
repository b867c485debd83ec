package page

import (
	"math"
	"strconv"

	"sumpward/scenarios/units"
)

// roundStep is the smallest of 1, 2 and 5 times a power of ten that parts a span
// in no more than so many steps.
func roundStep(span float64, most int) float64 {
	if !(span > 0) {
		return 1
	}
	power := math.Pow(10, math.Floor(math.Log10(span/float64(most))))
	for _, f := range []float64{1, 2, 5} {
		if span/(f*power) <= float64(most)*(1+1e-9) {
			return f * power
		}
	}
	return 10 * power
}

// roundScale is an axis with round ticks that holds all from low to high.
func roundScale(low, high float64, title string) scale {
	step := roundStep(high-low, 5)
	s := scale{low: math.Floor(low/step+1e-9) * step, high: math.Ceil(high/step-1e-9) * step, title: title}
	if s.high <= s.low {
		s.high = s.low + step
	}
	decimals := max(0, -int(math.Floor(math.Log10(step)+1e-9)))
	for i := 0; ; i++ {
		at := s.low + float64(i)*step
		if at > s.high+step/2 {
			return s
		}
		text := strconv.FormatFloat(at, 'f', decimals, 64)
		if math.Abs(at) < step/2 {
			at, text = 0, "0"
		}
		s.ticks = append(s.ticks, tick{at, text})
	}
}

// timeSteps are what a time axis counts in.
var timeSteps = []struct {
	seconds, per float64
	unit         string
}{
	{1, 1, "s"}, {2, 1, "s"}, {5, 1, "s"}, {10, 1, "s"}, {20, 1, "s"}, {30, 1, "s"},
	{60, 60, "min"}, {120, 60, "min"}, {300, 60, "min"}, {600, 60, "min"}, {900, 60, "min"}, {1200, 60, "min"}, {1800, 60, "min"},
	{3600, 3600, "h"}, {7200, 3600, "h"}, {4 * 3600, 3600, "h"}, {6 * 3600, 3600, "h"}, {12 * 3600, 3600, "h"}, {24 * 3600, 3600, "h"}, {48 * 3600, 3600, "h"},
}

// timeScale is an axis of time in s from 0 to a length, which need not be round.
func timeScale(length float64, title string) scale {
	step := timeSteps[len(timeSteps)-1]
	for _, s := range timeSteps {
		if length/s.seconds <= 7 {
			step = s
			break
		}
	}
	axis := scale{high: length, title: title + ", " + step.unit}
	for i := 0; float64(i)*step.seconds <= length*(1+1e-9); i++ {
		at := float64(i) * step.seconds
		axis.ticks = append(axis.ticks, tick{at, strconv.FormatFloat(at/step.per, 'f', -1, 64)})
	}
	return axis
}

// percentScale is an axis of shares from 0 that reaches to a share of 1 at most.
func percentScale(high float64, title string) scale {
	s := roundScale(0, 100*min(high, 1), title+", %")
	s.low, s.high = 0, s.high/100
	for i := range s.ticks {
		s.ticks[i].at /= 100
	}
	return s
}

// pressureUnit is what pressures are drawn in.
func pressureUnit(u units.System) units.Unit { return units.DisplayUnit(units.Pressure, u) }
