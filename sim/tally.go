package sim

import (
	"math"

	"sumpward/sim/stats"
)

// tally is what a number of realizations of one model add up to, in integers and in sums
// without rounding, so that neither their order nor the way in which they were shared out
// leaves a trace. Its size doesn't grow with their number.
type tally struct {
	N        int              `json:"n"` // realizations, without those that failed
	Failed   failures         `json:"failed"`
	Sessions []sessionTally   `json:"sessions"`
	Stints   []stintTally     `json:"stints,omitempty"`
	Balance  balanceSums      `json:"balance"`
	Pressure *stats.Quantiles `json:"pressure"`
	Margin   *stats.Quantiles `json:"margin"`
	Flood    *stats.Quantiles `json:"flood"`
	ToStand  *stats.Quantiles `json:"to_stand"`
	ToOver   *stats.Quantiles `json:"to_over"`

	RangeExits int64   `json:"range_exits"` // realizations with a viscosity outside its range
	StageExits int64   `json:"stage_exits"` // realizations with a stage of the separator outside its range
	Residual   float64 `json:"residual"`    // the largest of a balance
	Worst      Worst   `json:"worst"`
}

// sessionTally is tally of one session length.
type sessionTally struct {
	Events [eventCount]stats.Chance `json:"events"`
	Fill   *stats.FractionQuantiles `json:"fill"`
	Held   *stats.FractionQuantiles `json:"held"`
	Intake *stats.Quantiles         `json:"intake"`
	Sum    stats.Sum                `json:"intake_sum"` // m3
}

// balanceSums are the sums of a balance over realizations, m3 at 15 °C.
type balanceSums struct{ Carried, Drained, Uncaught, Over, Emptied, Held, Burnt stats.Sum }

func newTally(sessions int) *tally {
	t := &tally{
		Sessions: make([]sessionTally, sessions), Worst: Worst{Overflow: Never, PeakFill: -1},
		Pressure: &stats.Quantiles{}, Margin: &stats.Quantiles{}, Flood: &stats.Quantiles{}, ToStand: &stats.Quantiles{}, ToOver: &stats.Quantiles{},
	}
	for i := range t.Sessions {
		t.Sessions[i] = sessionTally{Fill: &stats.FractionQuantiles{}, Held: &stats.FractionQuantiles{}, Intake: &stats.Quantiles{}}
	}
	return t
}

// add takes in one realization of a car with an oil density at 15 °C, all but its events:
// these are counted by blocks.
func (t *tally) add(index uint64, o *Outcome, density float64) {
	t.N++
	t.Worst.take(Worst{index, o.Overflow, o.Sessions[len(o.Sessions)-1].PeakFill})
	for i := range o.Sessions {
		session, to := &o.Sessions[i], &t.Sessions[i]
		to.Fill.Add(session.PeakFill)
		to.Intake.Add(session.ToIntake / density)
		to.Sum.Add(session.ToIntake / density)
		if !math.IsNaN(session.HeldShare) {
			to.Held.Add(session.HeldShare)
		}
	}
	t.Balance.add(o.Balance.volumes(density))
	t.Pressure.Add(o.PeakPressure)
	if !math.IsNaN(o.DrainMargin) {
		t.Margin.Add(o.DrainMargin)
	}
	if !math.IsNaN(o.FloodShare) {
		t.Flood.Add(o.FloodShare)
	}
	if o.RangeExits > 0 {
		t.RangeExits++
	}
	if o.StageExits > 0 {
		t.StageExits++
	}
	t.Residual = max(t.Residual, math.Abs(o.Balance.Residual()))
}

// addBlock takes in the events of one block.
func (t *tally) addBlock(b *blockEvents) {
	for i := range b.sessions {
		for e, n := range b.sessions[i] {
			t.Sessions[i].Events[e].AddBlock(n, b.n)
		}
	}
	for i := range b.stints {
		t.stint(i).addBlock(&b.stints[i])
	}
}

// merge takes in all realizations of another tally of the same model.
func (t *tally) merge(o *tally) {
	t.N += o.N
	t.Failed.merge(&o.Failed)
	t.Worst.take(o.Worst)
	for i := range t.Sessions {
		to, from := &t.Sessions[i], &o.Sessions[i]
		for e := range eventCount {
			to.Events[e].Merge(from.Events[e])
		}
		to.Fill.Merge(from.Fill)
		to.Held.Merge(from.Held)
		to.Intake.Merge(from.Intake)
		to.Sum.Merge(from.Sum)
	}
	for i := range o.Stints {
		t.stint(i).merge(&o.Stints[i])
	}
	t.Balance.merge(&o.Balance)
	t.Pressure.Merge(o.Pressure)
	t.Margin.Merge(o.Margin)
	t.Flood.Merge(o.Flood)
	t.ToStand.Merge(o.ToStand)
	t.ToOver.Merge(o.ToOver)
	t.RangeExits += o.RangeExits
	t.StageExits += o.StageExits
	t.Residual = max(t.Residual, o.Residual)
}

// blockEvents counts, for one block of realizations, those in which something happened.
type blockEvents struct {
	n        int
	sessions [][eventCount]int // by session length
	stints   []stintEvents
}

// start makes it those of a new block.
func (b *blockEvents) start(sessions int) {
	if len(b.sessions) != sessions {
		b.sessions = make([][eventCount]int, sessions)
	}
	clear(b.sessions)
	b.n, b.stints = 0, b.stints[:0]
}

func (b *blockEvents) add(o *Outcome, lengths []float64) {
	b.n++
	firsts := o.Firsts()
	for i, length := range lengths {
		for e := range eventCount {
			if firsts.Of(e) <= length {
				b.sessions[i][e]++
			}
		}
	}
	b.addStints(o.Stints)
}

// BalanceVolumes is an oil balance in m3 at 15 °C.
type BalanceVolumes struct{ Carried, Drained, Uncaught, Over, Emptied, Held, Burnt float64 }

func (b Balance) volumes(density float64) BalanceVolumes {
	return BalanceVolumes{
		b.Carried / density, b.Drained / density, b.Uncaught / density,
		b.Over / density, b.Emptied / density, b.Held / density, b.Burnt / density,
	}
}

func (b *balanceSums) add(o BalanceVolumes) {
	b.Carried.Add(o.Carried)
	b.Drained.Add(o.Drained)
	b.Uncaught.Add(o.Uncaught)
	b.Over.Add(o.Over)
	b.Emptied.Add(o.Emptied)
	b.Held.Add(o.Held)
	b.Burnt.Add(o.Burnt)
}

func (b *balanceSums) merge(o *balanceSums) {
	b.Carried.Merge(o.Carried)
	b.Drained.Merge(o.Drained)
	b.Uncaught.Merge(o.Uncaught)
	b.Over.Merge(o.Over)
	b.Emptied.Merge(o.Emptied)
	b.Held.Merge(o.Held)
	b.Burnt.Merge(o.Burnt)
}

// mean returns the balance of the average of n realizations.
func (b *balanceSums) mean(n int) BalanceVolumes {
	of := func(s *stats.Sum) float64 { return s.Value() / float64(n) }
	return BalanceVolumes{of(&b.Carried), of(&b.Drained), of(&b.Uncaught), of(&b.Over), of(&b.Emptied), of(&b.Held), of(&b.Burnt)}
}
