package decide

import (
	"math"

	"sumpward/sim"
	"sumpward/sim/stats"
)

// compared are the events whose chances are compared.
var compared = [...]sim.Event{sim.Overflow, sim.DrainChoked, sim.OverPressure, sim.OilLost, sim.OverflowOrChoked}

// tally counts block by block what sets each two layouts apart.
type tally struct {
	sessions [][]float64 // by layout, s
	pairs    []*pairTally
	happened [][]bool // by layout: did it happen in a realization? reused
}

type pairTally struct {
	a, b     int
	sessions []sessionTally
	pressure stats.PairedMean
}

type sessionTally struct {
	events [len(compared)]stats.PairedChance // by sim.Event
	intake stats.PairedMean
}

func newTally(models []*sim.Model) *tally {
	t := &tally{happened: make([][]bool, len(models))}
	for _, m := range models {
		t.sessions = append(t.sessions, m.Scenario().Sessions)
	}
	for a := range models {
		for b := a + 1; b < len(models); b++ {
			t.pairs = append(t.pairs, &pairTally{a: a, b: b, sessions: make([]sessionTally, len(t.sessions[0]))})
		}
	}
	return t
}

// take takes in a block. Sums of rounded numbers need the blocks in their order.
func (t *tally) take(marks [][]sim.Mark) {
	for s := range t.sessions[0] {
		for _, e := range compared {
			for l := range marks {
				t.happened[l] = t.happened[l][:0]
				for i := range marks[l] {
					t.happened[l] = append(t.happened[l], marks[l][i].Of(e) <= t.sessions[l][s])
				}
			}
			for _, p := range t.pairs {
				onlyA, onlyB := apart(t.happened[p.a], t.happened[p.b])
				p.sessions[s].events[e].AddBlock(onlyA, onlyB, len(marks[0]))
			}
		}
		for _, p := range t.pairs {
			p.sessions[s].intake.AddBlock(more(marks[p.a], marks[p.b], func(m *sim.Mark) float64 { return m.ToIntake[s] }), len(marks[0]))
		}
	}
	for _, p := range t.pairs {
		p.pressure.AddBlock(more(marks[p.a], marks[p.b], func(m *sim.Mark) float64 { return m.PeakPressure }), len(marks[0]))
	}
}

// apart counts the realizations in which it happened in one of the two alone.
func apart(a, b []bool) (onlyA, onlyB int) {
	for i := range a {
		switch {
		case a[i] && !b[i]:
			onlyA++
		case b[i] && !a[i]:
			onlyB++
		}
	}
	return onlyA, onlyB
}

// rounding is the relative difference within which two numbers of a realization are
// alike: a realization's oil balance closes to it.
const rounding = 1e-9

// more adds up how much more b has than a, realization by realization, so that what is
// alike in both leaves nothing.
func more(a, b []sim.Mark, of func(*sim.Mark) float64) float64 {
	sum := 0.0
	for i := range a {
		x, y := of(&a[i]), of(&b[i])
		if math.Abs(y-x) > rounding*max(math.Abs(x), math.Abs(y)) {
			sum += y - x
		}
	}
	return sum
}
