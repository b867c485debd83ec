package decide

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/stats"
)

// TrackCarryOver is how the answer to a question moves with the carry-over on track,
// where the scenario has none but a reading over a road interval: a reading of a few
// per cent of full throttle without hard corners, which says little of a lap.
type TrackCarryOver struct {
	From, To     float64        // kg/s of liquid oil at full throttle, what was tried
	AtFrom, AtTo stats.Estimate // the chance there
	Tipping      TippingValue   // kg/s: kept below it; its value is NaN where the chance is above the limit at From, or not above it at To; Low 0: kept for sure by none
}

// What is tried, kg/s of liquid oil at full throttle: from next to nothing to more
// than an engine survives. Our choice.
const (
	leastTrackCarryOver = 0.005e-3
	mostTrackCarryOver  = 20e-3
	nearTrackCarryOver  = 0.01 // of the logarithm
)

const fullThrottlePath = "carry_over.full_throttle"

// TrackUnread reports whether a scenario's carry-over on track rests on a road
// interval alone. On roads such a reading stands for itself: there the engine runs
// in bursts without corners, at full throttle no more than over the interval.
func TrackUnread(s *scenarios.Scenario) bool {
	road := s.CarryOver.Road
	if road == nil {
		return false
	}
	if p := s.Duty.Pattern; p != nil {
		_, most := road.FullThrottle.Distribution.Range()
		return p.FullThrottle.Nominal() > most
	}
	return true
}

// Keeps reports whether the limit is kept for sure whatever the carry-over on track,
// and Breaks whether it is broken.
func (t *TrackCarryOver) Keeps(limit float64) bool { return t.AtTo.High <= limit }

// Breaks: see Keeps.
func (t *TrackCarryOver) Breaks(limit float64) bool { return t.AtFrom.Low > limit }

// track finds at which carry-over on track the chance comes to the limit, on the same
// draws, everything else drawn.
func (w *weigher) track() error {
	if !TrackUnread(w.d.Scenario) {
		return nil
	}
	base, err := atFullThrottle(w.short)
	if err != nil {
		return err
	}
	t := &TrackCarryOver{From: leastTrackCarryOver, To: mostTrackCarryOver}
	w.d.Track = t
	n := w.options.Realizations * timesMore
	if w.long() {
		n = w.options.Realizations
	}
	l := &ladder{event: w.d.Event, ctx: w.ctx, options: w.options, n: n, at: func(less float64) (*sim.Model, error) {
		s, err := Changed(base, fullThrottlePath, math.Exp(-less))
		if err != nil {
			return nil, err
		}
		return sim.NewModel(s)
	}}
	s := search{path: fullThrottlePath, from: -math.Log(t.To), to: -math.Log(t.From), risk: w.d.Limit,
		nearness: func(float64) float64 { return nearTrackCarryOver }, rounded: func(v float64) float64 { return v }}
	if t.AtTo, err = l.chance(s.from, w.d.Length); err != nil {
		return err
	}
	if t.AtFrom, err = l.chance(s.to, w.d.Length); err != nil {
		return err
	}
	t.Tipping = TippingValue{Value: math.NaN(), Low: 0, High: math.NaN(), KeptBelow: true, Realizations: l.n}
	if t.Keeps(w.d.Limit) || t.Breaks(w.d.Limit) {
		return nil
	}
	found, err := l.threshold(s, w.d.Length)
	if err != nil || !found.Found {
		return err
	}
	t.Tipping.Low = math.Exp(-found.High)
	if found.Least {
		return nil
	}
	t.Tipping.Value, t.Tipping.High = math.Exp(-found.Value), math.Exp(-found.Low)
	t.Tipping.Contrary, err = l.contradictions(found.Value, w.d.Length)
	return err
}

// atFullThrottle is a scenario whose carry-over is given at full throttle, by itself
// as yet, with what else it has of the oil carried over.
func atFullThrottle(s *scenarios.Scenario) (*scenarios.Scenario, error) {
	changes := []scenarios.Change{{Path: "carry_over", Value: "{full_throttle: 1 g/s}"}}
	c := s.CarryOver
	for _, q := range []*scenarios.Quantity{c.Mist, c.FlowExponent, c.CornerShare} {
		if q != nil {
			changes = append(changes, scenarios.Change{Path: q.Path, Value: q.Distribution})
		}
	}
	return s.With(append(changes, withoutReading(s)...)...)
}

// withoutReading takes out the correlations of what a reading consists of.
func withoutReading(s *scenarios.Scenario) []scenarios.Change {
	if len(s.Correlations) == 0 {
		return nil
	}
	read := func(q *scenarios.Quantity) bool {
		return q.Path == readingPath || q.Path == "carry_over.through_breathers" || q.Path == "carry_over.separator_lost" ||
			strings.HasPrefix(q.Path, "carry_over.during")
	}
	var list []string
	for _, c := range s.Correlations {
		if !slices.ContainsFunc(c.Between[:], read) {
			list = append(list, fmt.Sprintf("{between: [%s, %s], rank: %s}", c.Between[0].Path, c.Between[1].Path, strconv.FormatFloat(c.Rank, 'g', -1, 64)))
		}
	}
	if len(list) == 0 {
		return []scenarios.Change{{Path: "correlations"}}
	}
	return []scenarios.Change{{Path: "correlations", Value: "[" + strings.Join(list, ", ") + "]"}}
}
