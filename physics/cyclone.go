package physics

import "math"

// Cyclone is one cyclone or several alike side by side, each with a rectangular
// inlet.
//
//	d50 = √(9 μ W / (2 π N V (ρ - ρ_g))),  η(d) = 1/(1 + (d50/d)²)
//	Δp = LossHeads ½ ρ_g V²,  V = Q/(n W H)
//
// From cyclones of some decimetres at inlets of 10 to 25 m/s; no range is
// checked, and small ones scatter by a factor of about 1.5 in d50 (prior). Slip
// is left out, as in the source: with it d50 would be 6 % smaller at 1.5 µm.
// Source: C. E. Lapple, Chem. Eng. 58, 1951, 144-151; the curve as fitted by L.
// Theodore & V. de Paola, J. Air Poll. Control Assoc. 30, 1980 (both from
// memory).
type Cyclone struct {
	InletWidth  float64 // W, m
	InletHeight float64 // H, m
	Count       float64 // n, cyclones side by side
	Turns       float64 // N, that the gas makes; 5 to 10, 6 usual
	LossHeads   float64 // pressure loss in velocity heads of the inlet; see ShepherdLapple
}

// ShepherdLapple returns the pressure loss of a cyclone in velocity heads of its
// inlet.
//
//	N_H = 16 W H / D_e²
//
// inletWidth is W, inletHeight H, outletBore D_e of the gas outlet tube, all m.
// Source: C. B. Shepherd & C. E. Lapple, Ind. Eng. Chem. 32, 1940 (from memory).
func ShepherdLapple(inletWidth, inletHeight, outletBore float64) float64 {
	return 16 * inletWidth * inletHeight / (outletBore * outletBore)
}

// InletVelocity returns V, m/s, at a gas flow in m3/s.
func (y Cyclone) InletVelocity(flow float64) float64 {
	return flow / (y.Count * y.InletWidth * y.InletHeight)
}

// CutDiameter returns d50, m; +∞ without flow.
func (y Cyclone) CutDiameter(c StageConditions) float64 {
	v := y.InletVelocity(c.Flow)
	return math.Sqrt(9 * c.Gas.Viscosity * y.InletWidth / (2 * math.Pi * y.Turns * v * (c.OilDensity - c.Gas.Density)))
}

// At returns how the cyclone catches under the conditions.
func (y Cyclone) At(c StageConditions) Cut { return sharpCut(y.CutDiameter(c), 1) }

// Loss returns the pressure lost, Pa.
func (y Cyclone) Loss(c StageConditions) float64 {
	return headLoss(y.LossHeads, y.InletVelocity(c.Flow), c.Gas.Density)
}

// CheckRange returns nil: no range is published for small cyclones.
func (y Cyclone) CheckRange(StageConditions) error { return nil }
