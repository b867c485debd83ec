package sim

// Outcome is what one realization came to.
type Outcome struct {
	// First times in s; Never where it did not happen within the longest session.
	Overflow, DrainChoked, OverPressure, OilLost float64

	Sessions []SessionOutcome // by session length
	Stints   []StintOutcome   // those that were begun; none without a schedule
	Balance  Balance

	PeakPressure float64 // Pa, highest crankcase pressure
	DrainMargin  float64 // m of oil column in hand at the worst phase of the lap, can empty, oil settled; NaN without a sealed drain
	FloodShare   float64 // gas flow up the drain over the one that holds all oil up, at the worst phase; NaN without an unsealed drain

	RangeExits int // evaluations of viscosity outside its range
	StageExits int // stages of the separator outside their range at full throttle: 1, or 0
}

// StintOutcome is what happened in one stint of a schedule, and in the stop after it.
type StintOutcome struct {
	Start, End       float64 // s of the driving; End is that of the longest session where it is cut short
	StartTemperature float64 // K, of the oil in the sump
	EndTemperature   float64 // K
	happened         [eventCount]bool
}

// Happened reports whether overflow, a choked drain or over-pressure happened in
// the stint: for the first time or not.
func (s *StintOutcome) Happened(e Event) bool {
	if e == OverflowOrChoked {
		return s.happened[Overflow] || s.happened[DrainChoked]
	}
	return s.happened[e]
}

// SessionOutcome is where a realization stands at the end of a session length.
type SessionOutcome struct {
	PeakFill  float64 // highest fill so far, 0..1
	ToIntake  float64 // kg that reached the intake or the air
	OutOfSump float64 // kg missing from the sump, less what was topped up
	Held      float64 // kg in hose and can
	InCan     float64 // kg of that in the can
	Emptied   float64 // kg taken out by hand so far
	HeldShare float64 // share of the time in which the drain did not run; NaN without a drain
}

// Balance is the oil balance of a realization, kg.
type Balance struct {
	Carried  float64 // left the crankcase with the gas
	Drained  float64 // ran back through the drain; negative where sump oil rose
	Uncaught float64 // passed the separator, or went past it
	Over     float64 // went over a full can
	Emptied  float64 // taken out by hand during the session
	Held     float64 // stands in hose and can
	Burnt    float64 // passed rings and guides
}

// Residual returns carried - drained - uncaught - over - emptied - held over
// what was carried; over 1 g, or a hundredth of what came up the drain, where that is
// more: many sums of so much are rounded.
func (b Balance) Residual() float64 {
	r := b.Carried - b.Drained - b.Uncaught - b.Over - b.Emptied - b.Held
	return r / max(b.Carried, 1e-3, -1e-2*b.Drained)
}

// OutOfSump returns the oil missing from the sump, kg. What was emptied by
// hand is missing too.
func (b Balance) OutOfSump() float64 {
	return b.Held + b.Uncaught + b.Over + b.Emptied + b.Burnt
}
