package decide

import (
	"sumpward/scenarios"
	"sumpward/sim"
)

// Variation is one input, or two, over a range.
type Variation struct {
	Scenario *scenarios.Scenario
	Seed     uint64
	Sampling string
	Axes     []Axis        // one or two
	Points   []VariedPoint // in the order of the first axis, within it of the second
}

// VariedPoint is the scenario with its inputs at one place of the axes, exact there.
type VariedPoint struct {
	At      []float64       // SI, by axis
	Result  *sim.Result     // nil where there is a Problem
	Nominal *sim.PhaseCheck // full throttle on a straight, at nominal values; nil where there is a Problem
	Problem string          // why there can be no such layout; empty: there is
}
