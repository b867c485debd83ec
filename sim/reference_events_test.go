package sim_test

import (
	"math"

	"sumpward/sim"
)

// watch looks out for first times.
type watch struct {
	thresholds
	easier, harder thresholds // a tolerance easier and harder to reach

	overflow     float64 // s
	nearlyFull   float64 // s, first time a tolerance below full
	muchOver     float64 // s, first time that a tolerance has gone over
	tolerance    float64 // kg
	peakFill     float64
	peakPressure float64 // Pa
}

// thresholds finds first times for one set of limits.
type thresholds struct {
	limits   sim.Limits
	oil      float64 // kg
	canChoke bool
	choked   timer
	pressed  timer
	lost     float64 // s
}

// timer finds the first time that something has lasted for a while.
type timer struct {
	needs  float64 // s without a break
	lasted float64 // s
	first  float64 // s
}

func newWatch(car *sim.Car) watch {
	at := func(fill, pressure, oil float64) thresholds {
		l := car.Limits
		l.ChokeLevel += fill
		l.Pressure += pressure
		return thresholds{
			limits:   l,
			oil:      l.OilLost*car.Oil.Density15 + oil,
			canChoke: car.Drain.Kind != sim.NoDrain,
			choked:   timer{needs: l.ChokeTime, first: math.Inf(1)},
			pressed:  timer{needs: 1, first: math.Inf(1)},
			lost:     math.Inf(1),
		}
	}
	oil := fillTolerance * car.Can.UsableVolume * car.Oil.Density15
	return watch{
		thresholds:   at(0, 0, 0),
		easier:       at(-fillTolerance, -pressureTolerance, -oil),
		harder:       at(fillTolerance, pressureTolerance, oil),
		overflow:     math.Inf(1),
		nearlyFull:   math.Inf(1),
		muchOver:     math.Inf(1),
		tolerance:    oil,
		peakPressure: math.Inf(-1),
	}
}

// look takes in a step of h seconds that ends at the present time.
func (w *watch) look(r *reference, h float64) {
	x := r.oil.fill(r.mass)
	w.fillNow(x, r.time)
	crankcase := r.gas.flows.Crankcase
	w.peakPressure = max(w.peakPressure, crankcase)
	if r.balance.Over > w.tolerance {
		w.muchOver = min(w.muchOver, r.time)
	}
	out := r.balance.OutOfSump() - r.toppedUp
	for _, t := range []*thresholds{&w.thresholds, &w.easier, &w.harder} {
		t.choked.run(t.canChoke && x >= t.limits.ChokeLevel, r.time, h)
		t.pressed.run(crankcase > t.limits.Pressure, r.time, h)
		if out > t.oil {
			t.lost = min(t.lost, r.time)
		}
	}
}

// fillNow takes in a fill.
func (w *watch) fillNow(x, time float64) {
	w.peakFill = max(w.peakFill, min(1, x))
	if x >= 1-fillTolerance {
		w.nearlyFull = min(w.nearlyFull, time)
	}
}

// goesOver takes in that oil goes over.
func (w *watch) goesOver(time float64) { w.overflow = min(w.overflow, time) }

func (t *timer) run(is bool, time, h float64) {
	if !is {
		t.lasted = 0
		return
	}
	t.lasted += h
	if t.lasted >= t.needs-h/2 {
		t.first = min(t.first, time)
	}
}
