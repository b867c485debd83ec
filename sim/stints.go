package sim

import "sumpward/sim/stats"

// toldByStint are the events that are told stint by stint.
var toldByStint = [...]Event{Overflow, DrainChoked, OverPressure, OverflowOrChoked}

// stintEvents is what one stint comes to over the realizations of a block.
type stintEvents struct {
	reached            int
	events             [eventCount]int
	start, end         stats.Sum // s
	startHeat, endHeat stats.Sum // K
}

// addStints takes in the stints of a realization.
func (b *blockEvents) addStints(stints []StintOutcome) {
	for i := range stints[:min(len(stints), mostStints)] {
		if i == len(b.stints) {
			b.stints = append(b.stints, stintEvents{})
		}
		s, sum := &stints[i], &b.stints[i]
		sum.reached++
		for _, e := range toldByStint {
			if s.Happened(e) {
				sum.events[e]++
			}
		}
		sum.start.Add(s.Start)
		sum.end.Add(s.End)
		sum.startHeat.Add(s.StartTemperature)
		sum.endHeat.Add(s.EndTemperature)
	}
}

// stintTally is tally of one stint.
type stintTally struct {
	Reached   int                      `json:"reached"`
	Events    [eventCount]stats.Chance `json:"events"`
	Start     stats.Sum                `json:"start"` // s
	End       stats.Sum                `json:"end"`
	StartHeat stats.Sum                `json:"start_heat"` // K
	EndHeat   stats.Sum                `json:"end_heat"`
}

func (t *stintTally) addBlock(s *stintEvents) {
	t.Reached += s.reached
	t.Start.Merge(s.start)
	t.End.Merge(s.end)
	t.StartHeat.Merge(s.startHeat)
	t.EndHeat.Merge(s.endHeat)
	for _, e := range toldByStint {
		t.Events[e].AddBlock(s.events[e], s.reached)
	}
}

func (t *stintTally) merge(o *stintTally) {
	t.Reached += o.Reached
	t.Start.Merge(o.Start)
	t.End.Merge(o.End)
	t.StartHeat.Merge(o.StartHeat)
	t.EndHeat.Merge(o.EndHeat)
	for _, e := range toldByStint {
		t.Events[e].Merge(o.Events[e])
	}
}

// mostStints is how many stints are told apart.
const mostStints = 400

// stint returns the tally of a stint, made where it isn't there yet.
func (t *tally) stint(i int) *stintTally {
	for len(t.Stints) <= i {
		t.Stints = append(t.Stints, stintTally{})
	}
	return &t.Stints[i]
}

// stintResults are the stints that at least half of the realizations came to:
// where stints vary in length, the last ones are few.
func (r *runner) stintResults() []StintResult {
	var list []StintResult
	for i := range r.total.Stints {
		t := &r.total.Stints[i]
		if 2*t.Reached < r.total.N {
			break
		}
		n := float64(t.Reached)
		estimate := func(e Event) stats.Estimate {
			if !r.can(e) {
				return stats.Estimate{}
			}
			return t.Events[e].Estimate(r.level, r.method)
		}
		list = append(list, StintResult{
			Start: t.Start.Value() / n, End: t.End.Value() / n,
			StartTemperature: t.StartHeat.Value() / n, EndTemperature: t.EndHeat.Value() / n,
			Reached: t.Reached, Overflow: estimate(Overflow), DrainChoked: estimate(DrainChoked),
			OverPressure: estimate(OverPressure), Fails: estimate(OverflowOrChoked),
			OverflowEvents: t.Events[Overflow].Events(), DrainChokedEvents: t.Events[DrainChoked].Events(),
			OverPressureEvents: t.Events[OverPressure].Events(), FailsEvents: t.Events[OverflowOrChoked].Events(),
		})
	}
	return list
}
