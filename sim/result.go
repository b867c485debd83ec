package sim

import (
	"encoding/json"

	"sumpward/scenarios"
	"sumpward/sim/stats"
)

// Result is what many realizations of a scenario came to. SI units; chances and
// fills are shares of 1.
type Result struct {
	Scenario     *scenarios.Scenario
	Seed         uint64
	Realizations int
	Sampling     string  // name of the sampling design
	Wanted       float64 // half-width of the intervals that was asked for; 0: a fixed number of realizations
	Reached      float64 // widest half-width
	Interrupted  bool
	Kind         DrainKind

	Sessions []SessionResult
	Stints   []StintResult  // of a schedule
	Balance  BalanceVolumes // mean over realizations at the longest session, m3
	Residual float64        // largest relative error of a realization's oil balance

	PeakPressure Spread // Pa, highest crankcase pressure of a realization
	DrainMargin  Spread // m of oil column at the worst phase; NaN without a sealed drain
	FloodShare   Spread // NaN without an unsealed drain
	ToStand      Spread // s of full throttle in hand before oil stands in the can
	ToOver       Spread // s of full throttle in hand before oil goes over
	HandFrom     int    // realizations that ToStand and ToOver rest on

	Worst Worst

	Kept []FirstTimes // of the first realizations, as many as were to be kept; NaN where one is missing or failed

	Missing []Gap // realizations that are not in it

	Warnings []string
}

// SessionResult is the outcome for one session length.
type SessionResult struct {
	Length       float64 // s
	Overflow     stats.Estimate
	DrainChoked  stats.Estimate
	OverPressure stats.Estimate
	OilLost      stats.Estimate
	Fails        stats.Estimate // overflow or a choked drain
	Events       Events
	PeakFill     Spread
	HeldShare    Spread // NaN without a drain
	OilToIntake  Spread // m3
}

// Estimate returns the chance of an event within a session length.
func (s *SessionResult) Estimate(e Event) stats.Estimate {
	switch e {
	case Overflow:
		return s.Overflow
	case DrainChoked:
		return s.DrainChoked
	case OverPressure:
		return s.OverPressure
	case OilLost:
		return s.OilLost
	default:
		return s.Fails
	}
}

// StintResult is the outcome of one stint of a schedule and of the stop after it,
// whatever happened before.
type StintResult struct {
	Start, End         float64 // s, means over the realizations that came to it
	StartTemperature   float64 // K, of the oil in the sump, mean
	EndTemperature     float64 // K, mean
	Reached            int     // realizations that came to it
	Overflow           stats.Estimate
	DrainChoked        stats.Estimate
	OverPressure       stats.Estimate
	Fails              stats.Estimate // overflow or a choked drain
	OverflowEvents     int64          // of the realizations that came to it
	DrainChokedEvents  int64
	OverPressureEvents int64
	FailsEvents        int64
}

// Worst is the realization that overflowed first, or that came nearest to it.
type Worst struct {
	Realization uint64
	Overflow    float64 // s; Never
	PeakFill    float64
}

// take keeps the worse of two; the earlier one when they are alike.
func (w *Worst) take(o Worst) {
	worse := o.Overflow < w.Overflow ||
		o.Overflow == w.Overflow && (o.PeakFill > w.PeakFill ||
			o.PeakFill == w.PeakFill && o.Realization < w.Realization)
	if worse {
		*w = o
	}
}

type worstJSON struct {
	Realization uint64   `json:"realization"`
	Overflow    *float64 `json:"overflow,omitempty"` // none: never
	PeakFill    float64  `json:"peak_fill"`
}

// MarshalJSON writes the realization.
func (w Worst) MarshalJSON() ([]byte, error) {
	out := worstJSON{Realization: w.Realization, PeakFill: w.PeakFill}
	if w.Overflow < Never {
		out.Overflow = &w.Overflow
	}
	return json.Marshal(out)
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (w *Worst) UnmarshalJSON(data []byte) error {
	var in worstJSON
	if err := json.Unmarshal(data, &in); err != nil {
		return err
	}
	*w = Worst{in.Realization, Never, in.PeakFill}
	if in.Overflow != nil {
		w.Overflow = *in.Overflow
	}
	return nil
}

// Events counts the realizations in which something happened.
type Events struct{ Overflow, DrainChoked, OverPressure, OilLost, Fails int64 }

// Spread is a distribution over realizations: mean (where it was summed) and
// quantiles. +Inf is never.
type Spread struct{ Mean, P05, P50, P95 float64 }

type quantiler interface{ Quantile(p float64) float64 }

func spreadOf(q quantiler) Spread {
	return Spread{P05: q.Quantile(0.05), P50: q.Quantile(0.5), P95: q.Quantile(0.95)}
}
