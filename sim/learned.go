package sim

import (
	"slices"
	"sort"

	"sumpward/scenarios"
)

// Learned inputs take their values together, from one of several weighted draws.
// One coordinate picks the draw; it stands in [Model.Uncertain] under the path
// [scenarios.LearnedPath], after all others.

// jointly returns what is drawn together, or nil; a single draw is exact.
func jointly(s *scenarios.Scenario) *scenarios.Learned {
	if s.Learned == nil || s.Learned.Len() < 2 {
		return nil
	}
	return s.Learned
}

// takeDraw settles all values of the draw that was picked.
func (b *binding) takeDraw() {
	l := jointly(b.s)
	if l == nil {
		return
	}
	draw := l.Draw(b.v[l.Which.ID])
	for i, q := range l.Quantities {
		b.v[q.ID] = l.Values[i][draw]
	}
}

// Drawn returns the inputs that differ from realization to realization: those that
// are drawn on their own, in the order of [Model.Uncertain], then those that are
// drawn together.
func (m *Model) Drawn() []*scenarios.Quantity {
	l := jointly(m.scenario)
	if l == nil {
		return m.uncertain
	}
	list := slices.DeleteFunc(slices.Clone(m.uncertain), func(q *scenarios.Quantity) bool { return q == l.Which })
	for _, q := range l.Quantities {
		if !q.IsExact() {
			list = append(list, q)
		}
	}
	return list
}

// ValueOf returns the value of an input of the scenario as it was settled last, SI.
func (s *Single) ValueOf(q *scenarios.Quantity) float64 { return s.settler.binding.v[q.ID] }

// DrawnTogether returns the inputs that are drawn together.
func (m *Model) DrawnTogether() []*scenarios.Quantity {
	if l := jointly(m.scenario); l != nil {
		return l.Quantities
	}
	return nil
}

// Shares returns where an input that is drawn together with others lies in its own
// distribution, for places of the coordinate that picks the draw (see
// [Model.Coordinates]): the share of the weight of lesser values, and half that of
// equal ones. It is nil for another input.
func (m *Model) Shares(q *scenarios.Quantity, places []float64) []float64 {
	l := jointly(m.scenario)
	at := slices.Index(m.DrawnTogether(), q)
	if at < 0 {
		return nil
	}
	values := l.Values[at]
	order := make([]int, len(values))
	total := 0.0
	for i := range order {
		order[i] = i
		total += l.Weights[i]
	}
	sort.SliceStable(order, func(i, j int) bool { return values[order[i]] < values[order[j]] })
	below := make([]float64, len(values))
	sum := 0.0
	for from := 0; from < len(order); {
		until, same := from, 0.0
		for until < len(order) && values[order[until]] == values[order[from]] {
			same += l.Weights[order[until]]
			until++
		}
		for _, i := range order[from:until] {
			below[i] = (sum + same/2) / total
		}
		sum, from = sum+same, until
	}
	shares := make([]float64, len(places))
	for i, u := range places {
		shares[i] = below[l.Draw(u)]
	}
	return shares
}
