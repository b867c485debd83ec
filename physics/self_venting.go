package physics

import "math"

// SelfVentingFroude is the Froude number below which a pipe runs part full and
// gas passes freely beside the liquid. Source: P. D. Hills, "Designing piping
// for gravity flow", Chem. Eng., 5 September 1983, 111-114.
const SelfVentingFroude = 0.3

// SelfVentingSlope is the least slope, fall over length, that is common for a
// drain line of lubricating oil: 1 in 25 (API 614, from memory).
const SelfVentingSlope = 1.0 / 25

// FroudeNumber returns the Froude number of a flow in a full pipe.
//
//	Fr = 4 q / (π D² √(g D))
//
// flow is in m3/s, bore in m. Source: Hills 1983.
func FroudeNumber(flow, bore float64) float64 {
	return 4 * flow / (math.Pi * bore * bore * math.Sqrt(StandardGravity*bore))
}

// SelfVentingFlow returns the largest flow at which a drain of this bore vents
// itself, m3/s: that of Fr = 0.3. bore is in m. Source: Hills 1983, for pipes
// of 50 mm and more; smaller ones are an extrapolation.
func SelfVentingFlow(bore float64) float64 {
	return SelfVentingFroude * math.Pi / 4 * bore * bore * math.Sqrt(StandardGravity*bore)
}
