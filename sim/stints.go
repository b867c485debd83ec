package sim

import "sumpward/sim/stats"

// stintEvents are the events that are told stint by stint.
var stintEvents = [...]Event{Overflow, DrainChoked, OverPressure, OverflowOrChoked}

// stintSum is what one stint adds up to over the realizations of a block.
type stintSum struct {
	reached            int
	events             [eventCount]int
	start, end         float64 // s
	startHeat, endHeat float64 // K
}

// addStints takes in the stints of a realization.
func (b *blockSummary) addStints(stints []StintOutcome) {
	for len(b.stints) < len(stints) {
		b.stints = append(b.stints, stintSum{})
	}
	for i := range stints {
		s, sum := &stints[i], &b.stints[i]
		sum.reached++
		for _, e := range stintEvents {
			if s.Happened(e) {
				sum.events[e]++
			}
		}
		sum.start += s.Start
		sum.end += s.End
		sum.startHeat += s.StartTemperature
		sum.endHeat += s.EndTemperature
	}
}

// stintTotal is one stint over all blocks, in their order.
type stintTotal struct {
	stintSum
	chances [eventCount]stats.Chance
}

func (t *stintTotal) add(s *stintSum) {
	t.reached += s.reached
	t.start += s.start
	t.end += s.end
	t.startHeat += s.startHeat
	t.endHeat += s.endHeat
	for _, e := range stintEvents {
		t.chances[e].AddBlock(s.events[e], s.reached)
	}
}

// mostStints is how many stints are told apart.
const mostStints = 400

// takeStints puts a block's stints to the others.
func (r *runner) takeStints(stints []stintSum) {
	for i := range stints[:min(len(stints), mostStints)] {
		if i == len(r.stints) {
			r.stints = append(r.stints, stintTotal{})
		}
		r.stints[i].add(&stints[i])
	}
}

// stintResults are the stints that at least half of the realizations came to:
// where stints vary in length, the last ones are few.
func (r *runner) stintResults() []StintResult {
	var list []StintResult
	for i := range r.stints {
		t := &r.stints[i]
		if 2*t.reached < r.n {
			break
		}
		n := float64(t.reached)
		estimate := func(e Event) stats.Estimate {
			if !r.can(e) {
				return stats.Estimate{}
			}
			return t.chances[e].Estimate(Level, r.method)
		}
		list = append(list, StintResult{
			Start: t.start / n, End: t.end / n, StartTemperature: t.startHeat / n, EndTemperature: t.endHeat / n,
			Reached: t.reached, Overflow: estimate(Overflow), DrainChoked: estimate(DrainChoked),
			OverPressure: estimate(OverPressure), Fails: estimate(OverflowOrChoked),
			OverflowEvents: t.chances[Overflow].Events(), DrainChokedEvents: t.chances[DrainChoked].Events(),
			OverPressureEvents: t.chances[OverPressure].Events(), FailsEvents: t.chances[OverflowOrChoked].Events(),
		})
	}
	return list
}
