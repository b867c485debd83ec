package exact

import "math"

// ConstantRate is a vessel that fills at a constant rate drawn once from a log-normal
// distribution and drains at a constant rate.
type ConstantRate struct {
	Median float64 // median of the inflow, m³/s
	LogSD  float64 // standard deviation of its logarithm, the log of the geometric standard deviation
	Drain  float64 // drain rate while there is oil, m³/s
	Volume float64 // usable volume, m³
}

// OverflowBy returns the chance that the vessel, empty at time 0, has overflowed by
// time t in s,
//
//	1 - Φ((ln(d + V/t) - ln median) / s).
//
// Derived: the net rate times t must reach the volume.
func (c ConstantRate) OverflowBy(t float64) float64 {
	return normalCDF((math.Log(c.Median) - math.Log(c.Drain+c.Volume/t)) / c.LogSD)
}
