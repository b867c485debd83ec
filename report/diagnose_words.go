package report

import (
	"fmt"
	"math"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim/diagnose"
)

// diagnoseSeen say one thing that was seen.
type diagnoseSeen struct {
	o scenarios.Observation
	u units.System
}

// dimension is that of the observation's value.
func (w diagnoseSeen) dimension() units.Dimension {
	switch w.o.Kind {
	case scenarios.Drained, scenarios.ToppedUp:
		return units.Volume
	case scenarios.Crankcase:
		return units.Pressure
	case scenarios.UTube:
		return units.Length
	case scenarios.Poured:
		return units.Time
	}
	return units.Fraction
}

// short names what was seen in a word or two.
func (w diagnoseSeen) short() string {
	return map[scenarios.ObservationKind]string{
		scenarios.Drained: "drained", scenarios.ToppedUp: "topped up", scenarios.Crankcase: "crankcase pressure",
		scenarios.UTube: "U-tube", scenarios.VentHose: "vent hose", scenarios.Poured: "pour", scenarios.Overflew: "overflow",
	}[w.o.Kind]
}

// name says what was seen, and of what.
func (w diagnoseSeen) name() string {
	switch w.o.Kind {
	case scenarios.Drained:
		return "drained from the can after " + w.lengths()
	case scenarios.ToppedUp:
		return "topped up after " + w.lengths()
	case scenarios.Crankcase:
		return "crankcase pressure " + w.load()
	case scenarios.UTube:
		return "U-tube between crankcase and can " + w.load() + ", " + w.o.Fluid
	case scenarios.VentHose:
		return "vent hose after " + w.lengths()
	case scenarios.Poured:
		return fmt.Sprintf("pour of %s at %s ran away in", words.Show(w.o.Volume, units.Volume, w.u), words.Show(w.o.Temperature, units.Temperature, w.u))
	}
	return "overflowed within " + w.lengths()
}

func (w diagnoseSeen) load() string {
	switch w.o.Load {
	case 1:
		return "at full throttle"
	case 0:
		return "at closed throttle"
	}
	return "at a load of " + words.Show(w.o.Load, units.Fraction, w.u)
}

// lengths lists the sessions over which it was seen.
func (w diagnoseSeen) lengths() string {
	over := w.o.Over
	if len(over) == 0 {
		return "a session"
	}
	for _, length := range over {
		if length != over[0] {
			var list []string
			for _, l := range over {
				list = append(list, words.Length(l, w.u))
			}
			return words.Joined(list, "and")
		}
	}
	if len(over) > 1 {
		return fmt.Sprintf("%d sessions of %s", len(over), words.Length(over[0], w.u))
	}
	return words.Length(over[0], w.u)
}

// value writes what was read, or could be.
func (w diagnoseSeen) value(v float64) string {
	switch {
	case w.o.Kind == scenarios.VentHose && v > 0.5:
		return "wet"
	case w.o.Kind == scenarios.VentHose:
		return "dry"
	case w.o.Kind == scenarios.Overflew && v > 0.5:
		return "yes"
	case w.o.Kind == scenarios.Overflew:
		return "no"
	case math.IsInf(v, 1):
		return "never"
	}
	return words.Show(v, w.dimension(), w.u)
}

// error writes the standard error of the reading.
func (w diagnoseSeen) error() string {
	if w.o.Whether() {
		return "wrong in " + points(w.o.Error)
	}
	return "± " + words.Show(w.o.Error, w.dimension(), w.u)
}

// would says what a fault would have shown, against what was seen.
func (w diagnoseSeen) would(s diagnose.Shown) string {
	seen := w.value(w.o.Value)
	if w.o.Whether() {
		chance := s.P50
		if w.o.Value < 0.5 {
			chance = 1 - chance
		}
		return fmt.Sprintf("%s in %s", seen, points(chance))
	}
	if s.Never > 0.5 {
		return fmt.Sprintf("never ends in %s", points(s.Never))
	}
	low, high := w.value(s.P05), w.value(s.P95)
	if low == high {
		return fmt.Sprintf("%s expected", low)
	}
	return fmt.Sprintf("%s to %s expected", low, high)
}
