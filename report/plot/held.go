package plot

import "sumpward/sim"

// span is a stretch of an axis, in its unit.
type span struct{ from, to float64 }

// held returns the stretches of time, s, in which the drain does not run. A
// moment is noted wherever the duty or the regime changes, and one at the edge
// of two regimes counts as held: what lies between two moments is held where
// both are.
func held(points []sim.TracePoint) []span {
	var list []span
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		if !a.Held || !b.Held || !(b.Time > a.Time) {
			continue
		}
		if n := len(list); n > 0 && list[n-1].to == a.Time {
			list[n-1].to = b.Time
			continue
		}
		list = append(list, span{a.Time, b.Time})
	}
	return list
}
