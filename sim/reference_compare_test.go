package sim_test

import (
	"fmt"
	"math"

	"sumpward/physics"
	"sumpward/sim"
)

// What two integrations of one realization may differ by.
const (
	fillTolerance     = 0.005 // of usable volume
	flowTolerance     = 0.002 // of what went through the can: each lap adds its own error to a sum
	timeTolerance     = 0.2   // s; drain choked: one nominal lap
	pressureTolerance = 1.0   // Pa, and the head of a fill that differs by its tolerance
	heldTolerance     = 0.005 // of the time
)

// difference is one quantity of an outcome, by both.
type difference struct {
	quantity          string
	kernel, reference float64
	tolerance         float64
	excused           bool // a first time that depends on a quantity within tolerance of its threshold
}

// size returns the difference over its tolerance: above 1 is a disagreement.
func (d difference) size() float64 {
	if d.kernel == d.reference || math.IsNaN(d.kernel) && math.IsNaN(d.reference) {
		return 0
	}
	if d.excused {
		return 0
	}
	s := math.Abs(d.kernel-d.reference) / d.tolerance
	if math.IsNaN(s) {
		return math.Inf(1)
	}
	return s
}

func (d difference) String() string {
	return fmt.Sprintf("%s: kernel %.6g, reference %.6g, tolerance %.3g", d.quantity, d.kernel, d.reference, d.tolerance)
}

// differences compares every quantity of an outcome. An oil mass has the
// tolerance of the fill, in oil, and a share of what went through the can.
func differences(car *sim.Car, kernel *sim.Outcome, ref *answer) []difference {
	oil := oilTolerance(car, ref)
	var all []difference
	add := func(quantity string, kernel, reference, tolerance float64) {
		all = append(all, difference{quantity, kernel, reference, tolerance, false})
	}
	if len(kernel.Sessions) != len(ref.Sessions) {
		add("sessions", float64(len(kernel.Sessions)), float64(len(ref.Sessions)), 0.5)
		return all
	}
	for i, k := range kernel.Sessions {
		r := ref.Sessions[i]
		add("peak fill", k.PeakFill, r.PeakFill, fillTolerance)
		add("to intake", k.ToIntake, r.ToIntake, oil)
		held := r.HeldShare
		if !math.IsNaN(held) { // any share between the bounds is right
			held = min(max(k.HeldShare, ref.heldLow[i]), ref.heldHigh[i])
		}
		add("held share", k.HeldShare, held, heldTolerance)
	}
	k, r := kernel.Balance, ref.Balance
	add("carried", k.Carried, r.Carried, oil)
	add("drained", k.Drained, r.Drained, oil)
	add("uncaught", k.Uncaught, r.Uncaught, oil)
	add("over", k.Over, r.Over, oil)
	add("emptied", k.Emptied, r.Emptied, oil)
	add("held", k.Held, r.Held, oil)
	add("burnt", k.Burnt, r.Burnt, oil)
	add("peak pressure", kernel.PeakPressure, ref.PeakPressure, peakPressureTolerance(car))
	return append(all, firstTimes(car, kernel, ref)...)
}

func oilTolerance(car *sim.Car, ref *answer) float64 {
	through := ref.Balance.Carried + math.Abs(ref.Balance.Drained)
	return fillTolerance*car.Can.UsableVolume*car.Oil.Density15 + flowTolerance*through
}

func peakPressureTolerance(car *sim.Car) float64 {
	canFull := car.Oil.Density15 * physics.StandardGravity * car.Can.UsableVolume / car.Can.CrossSection
	return pressureTolerance + fillTolerance*canFull
}

// firstTimes compares the first times. One that differs by more than its
// tolerance is excused if the kernel's time lies between those of the reference
// for a threshold a tolerance easier and a tolerance harder to reach: then a
// quantity passed its threshold by less than its own tolerance.
func firstTimes(car *sim.Car, kernel *sim.Outcome, ref *answer) []difference {
	end := car.Sessions[len(car.Sessions)-1]
	w := &ref.watch
	var all []difference
	for _, e := range []struct {
		name          string
		kernel        float64
		first         float64
		easier        float64
		harder        float64
		timeTolerance float64
	}{
		{"overflow", kernel.Overflow, w.overflow, w.nearlyFull, w.muchOver, timeTolerance},
		{"drain choked", kernel.DrainChoked, w.choked.first, w.easier.choked.first, w.harder.choked.first, nominalLap(car)},
		{"over-pressure", kernel.OverPressure, w.pressed.first, w.easier.pressed.first, w.harder.pressed.first, timeTolerance},
		{"oil lost", kernel.OilLost, w.lost, w.easier.lost, w.harder.lost, timeTolerance},
	} {
		d := difference{quantity: e.name, kernel: e.kernel, reference: e.first, tolerance: e.timeTolerance}
		if d.size() > 1 {
			d.excused = beyond(e.kernel, e.easier-e.timeTolerance, end) && beyond(e.harder+e.timeTolerance, e.kernel, end)
		}
		all = append(all, d)
	}
	return all
}

// beyond tells whether the first time late is not before early, where all times
// after the end are alike.
func beyond(late, early, end float64) bool {
	return late >= early || late > end && early > end
}

// nominalLap returns the mean duration of a lap, s; of a burst and a rest for a
// pattern.
func nominalLap(car *sim.Car) float64 {
	total := 0.0
	for _, p := range car.Lap {
		total += p.Duration
	}
	return total / float64(len(car.Laps))
}
