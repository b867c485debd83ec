package sim

// Event is one of the ways to fail.
type Event int

// The events.
const (
	Overflow         Event = iota // oil went over the can
	DrainChoked                   // oil has stood in the can without a break: see [Limits.ChokeLevel]
	OverPressure                  // crankcase pressure was above its limit for a second
	OilLost                       // more oil is out of the sump than allowed
	OverflowOrChoked              // what a layout is sized by
	eventCount
)

// FirstTimes is when each event first happened in a realization, s; [Never] where it
// did not happen within the longest session.
type FirstTimes struct{ Overflow, DrainChoked, OverPressure, OilLost float64 }

// Of returns the first time of an event.
func (f FirstTimes) Of(e Event) float64 {
	switch e {
	case Overflow:
		return f.Overflow
	case DrainChoked:
		return f.DrainChoked
	case OverPressure:
		return f.OverPressure
	case OilLost:
		return f.OilLost
	default:
		return min(f.Overflow, f.DrainChoked)
	}
}

// Fails returns when the can first overflowed or its drain choked, s.
func (f FirstTimes) Fails() float64 { return f.Of(OverflowOrChoked) }

// Firsts returns the first times of the events.
func (o *Outcome) Firsts() FirstTimes {
	return FirstTimes{o.Overflow, o.DrainChoked, o.OverPressure, o.OilLost}
}

// Of returns the count of an event.
func (e Events) Of(event Event) int64 {
	switch event {
	case Overflow:
		return e.Overflow
	case DrainChoked:
		return e.DrainChoked
	case OverPressure:
		return e.OverPressure
	case OilLost:
		return e.OilLost
	default:
		return e.Fails
	}
}
