package sim

import (
	"math"

	"sumpward/sim/stats"
)

// sketches gathers the distributions of a run in integers, so that the order of
// realizations leaves no trace. Its size doesn't grow with their number.
type sketches struct {
	sessions                []sessionSketches
	pressure, margin, flood stats.Quantiles
	toStand, toOver         stats.Quantiles
	withRangeExits          int64
	withStageExits          int64
	worstResidual           float64
	worst                   Worst
}

type sessionSketches struct {
	fill, held stats.FractionQuantiles
	intake     stats.Quantiles
}

func newSketches(sessions int) *sketches {
	return &sketches{sessions: make([]sessionSketches, sessions), worst: Worst{Overflow: Never, PeakFill: -1}}
}

// add takes in one realization of a car with an oil density at 15 °C.
func (s *sketches) add(index uint64, o *Outcome, density float64) {
	s.worst.take(Worst{index, o.Overflow, o.Sessions[len(o.Sessions)-1].PeakFill})
	for i, session := range o.Sessions {
		s.sessions[i].fill.Add(session.PeakFill)
		s.sessions[i].intake.Add(session.ToIntake / density)
		if !math.IsNaN(session.HeldShare) {
			s.sessions[i].held.Add(session.HeldShare)
		}
	}
	s.pressure.Add(o.PeakPressure)
	if !math.IsNaN(o.DrainMargin) {
		s.margin.Add(o.DrainMargin)
	}
	if !math.IsNaN(o.FloodShare) {
		s.flood.Add(o.FloodShare)
	}
	if o.RangeExits > 0 {
		s.withRangeExits++
	}
	if o.StageExits > 0 {
		s.withStageExits++
	}
	s.worstResidual = max(s.worstResidual, math.Abs(o.Balance.Residual()))
}

func (s *sketches) merge(o *sketches) {
	s.worst.take(o.worst)
	for i := range s.sessions {
		s.sessions[i].fill.Merge(&o.sessions[i].fill)
		s.sessions[i].held.Merge(&o.sessions[i].held)
		s.sessions[i].intake.Merge(&o.sessions[i].intake)
	}
	s.pressure.Merge(&o.pressure)
	s.margin.Merge(&o.margin)
	s.flood.Merge(&o.flood)
	s.toStand.Merge(&o.toStand)
	s.toOver.Merge(&o.toOver)
	s.withRangeExits += o.withRangeExits
	s.withStageExits += o.withStageExits
	s.worstResidual = max(s.worstResidual, o.worstResidual)
}

// blockSummary is what one block of realizations adds up to; sums of rounded
// numbers, so blocks are put together in the order of their indices.
type blockSummary struct {
	n       int
	events  [][eventCount]int // by session
	intake  []float64         // sums over realizations, m3
	balance BalanceVolumes    // sums over realizations, m3
	stints  []stintSum
	err     error
}

func newBlockSummary(sessions int) blockSummary {
	return blockSummary{events: make([][eventCount]int, sessions), intake: make([]float64, sessions)}
}

func (b *blockSummary) add(o *Outcome, lengths []float64, density float64) {
	b.n++
	firsts := o.Firsts()
	for i, length := range lengths {
		for e := range eventCount {
			if firsts.Of(e) <= length {
				b.events[i][e]++
			}
		}
		b.intake[i] += o.Sessions[i].ToIntake / density
	}
	b.balance.add(o.Balance.volumes(density))
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

func (b *BalanceVolumes) add(o BalanceVolumes) {
	b.Carried += o.Carried
	b.Drained += o.Drained
	b.Uncaught += o.Uncaught
	b.Over += o.Over
	b.Emptied += o.Emptied
	b.Held += o.Held
	b.Burnt += o.Burnt
}

func (b BalanceVolumes) scaled(f float64) BalanceVolumes {
	return BalanceVolumes{b.Carried * f, b.Drained * f, b.Uncaught * f, b.Over * f, b.Emptied * f, b.Held * f, b.Burnt * f}
}
