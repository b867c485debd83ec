package decide

import "sumpward/scenarios/units"

// Axis is an input with the values that it is given.
type Axis struct {
	Path      string // "separator.usable_volume"; "sessions" for session lengths
	Dimension units.Dimension
	Values    []float64 // SI, ascending
}
