package sensitivity

import "sumpward/sim"

// Output is what is told of a realization.
type Output int

// The outputs. Events are 1 where they happened and 0 where not.
const (
	OverflowOrChoked Output = iota // what a layout is sized by; without a drain, no output
	Overflow
	DrainChoked   // without a drain, no output
	PeakFill      // highest fill, share of 1
	FirstOverflow // s; the session's length where there was none within it
	OilToIntake   // m3 at 15 °C that reached the intake or the air
)

// Outputs lists the outputs, what a layout is sized by first.
var Outputs = []Output{OverflowOrChoked, Overflow, DrainChoked, PeakFill, FirstOverflow, OilToIntake}

// outputsOf lists the outputs that a model has.
func outputsOf(m *sim.Model) []Output {
	if m.Nominal().Drain.Kind == sim.NoDrain {
		return []Output{Overflow, PeakFill, FirstOverflow, OilToIntake}
	}
	return Outputs
}

// event is the event that an output is.
func (o Output) event() sim.Event {
	return map[Output]sim.Event{OverflowOrChoked: sim.OverflowOrChoked, Overflow: sim.Overflow, DrainChoked: sim.DrainChoked}[o]
}

// counted is the output whose events are counted for this one: for the first overflow,
// which is cut at the session's length, overflow. None is -1.
func (o Output) counted() Output {
	switch {
	case o.Chance():
		return o
	case o == FirstOverflow:
		return Overflow
	}
	return -1
}

// Chance reports whether the output is an event, 1 or 0.
func (o Output) Chance() bool { return o == OverflowOrChoked || o == Overflow || o == DrainChoked }

// of returns the output of a realization of one session length.
func (o Output) of(out *sim.Outcome, length, density float64) float64 {
	switch o {
	case PeakFill:
		return out.Sessions[0].PeakFill
	case OilToIntake:
		return out.Sessions[0].ToIntake / density
	case FirstOverflow:
		return min(out.Overflow, length)
	}
	if out.Firsts().Of(o.event()) <= length {
		return 1
	}
	return 0
}
