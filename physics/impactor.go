package physics

import "math"

// Cut numbers √Stk50 of impactors. Source: V. A. Marple & K. Willeke, Atmos.
// Environ. 10, 1976, 891-896; Hinds 1999, chapter 5 (from memory).
const (
	RoundCutNumber = 0.49
	SlotCutNumber  = 0.77
)

// Reynolds numbers of the jet between which the cut numbers hold. Source: the
// same.
const (
	impactorLeastReynolds = 500
	impactorMostReynolds  = 3000
)

// RoundImpactor is a plate with round holes, whose jets strike a plate close
// behind it.
//
//	d50 √Cc = √(9 μ W Stk50 / (ρ U)),  η(d) = 1/(1 + (d50/d)^2s)
//	Δp = LossHeads ½ ρ_g U²,  U = Q/(n π W²/4)
//
// Valid for Reynolds numbers ρ_g U W/μ of 500 to 3000 and a plate one W away or
// farther; carried on outside. The cut number is from Marple & Willeke 1976;
// that the curve around the cut is logistic in ln d is a prior. Bounce and
// blow-off are left out: oil wets the plate.
type RoundImpactor struct {
	Width     float64 // W, bore of a hole, m
	Jets      float64 // n, how many holes
	Sharpness float64 // s, above 0: 1 as a cyclone, 2 to 6 usual (prior), +∞ a step
	CutNumber float64 // √Stk50; 0 stands for RoundCutNumber
	LossHeads float64 // pressure loss in velocity heads of the jet; 1 to 2 (prior)
}

// SlotImpactor is a plate with slots, whose jets strike a plate close behind
// it: as RoundImpactor with U = Q/(n W L).
//
// Valid for Reynolds numbers 2 ρ_g U W/μ of 500 to 3000 and a plate 1.5 W away
// or farther; carried on outside.
type SlotImpactor struct {
	Width     float64 // W, m
	Length    float64 // L, m
	Slots     float64 // n, how many
	Sharpness float64 // s, as of RoundImpactor
	CutNumber float64 // √Stk50; 0 stands for SlotCutNumber
	LossHeads float64 // pressure loss in velocity heads of the jet; 1 to 2 (prior)
}

// JetVelocity returns U, m/s, at a gas flow in m3/s.
func (r RoundImpactor) JetVelocity(flow float64) float64 {
	return flow / (r.Jets * math.Pi / 4 * r.Width * r.Width)
}

// CutDiameter returns d50, m; +∞ without flow.
func (r RoundImpactor) CutDiameter(c StageConditions) float64 {
	return marpleWilleke(r.Width, r.JetVelocity(c.Flow), orElse(r.CutNumber, RoundCutNumber), c)
}

// At returns how the impactor catches under the conditions.
func (r RoundImpactor) At(c StageConditions) Cut {
	return sharpCut(r.CutDiameter(c), r.Sharpness)
}

// Loss returns the pressure lost, Pa.
func (r RoundImpactor) Loss(c StageConditions) float64 {
	return headLoss(r.LossHeads, r.JetVelocity(c.Flow), c.Gas.Density)
}

// CheckRange returns a *RangeError if the Reynolds number of the jets lies
// outside 500 to 3000.
func (r RoundImpactor) CheckRange(c StageConditions) error {
	return checkJet(r.Width, r.JetVelocity(c.Flow), c.Gas)
}

// JetVelocity returns U, m/s, at a gas flow in m3/s.
func (r SlotImpactor) JetVelocity(flow float64) float64 {
	return flow / (r.Slots * r.Width * r.Length)
}

// CutDiameter returns d50, m; +∞ without flow.
func (r SlotImpactor) CutDiameter(c StageConditions) float64 {
	return marpleWilleke(r.Width, r.JetVelocity(c.Flow), orElse(r.CutNumber, SlotCutNumber), c)
}

// At returns how the impactor catches under the conditions.
func (r SlotImpactor) At(c StageConditions) Cut {
	return sharpCut(r.CutDiameter(c), r.Sharpness)
}

// Loss returns the pressure lost, Pa.
func (r SlotImpactor) Loss(c StageConditions) float64 {
	return headLoss(r.LossHeads, r.JetVelocity(c.Flow), c.Gas.Density)
}

// CheckRange returns a *RangeError if the Reynolds number of the jets lies
// outside 500 to 3000.
func (r SlotImpactor) CheckRange(c StageConditions) error {
	return checkJet(2*r.Width, r.JetVelocity(c.Flow), c.Gas)
}

// marpleWilleke returns the diameter of which an impactor catches half, m.
func marpleWilleke(width, velocity, cutNumber float64, c StageConditions) float64 {
	corrected := cutNumber * math.Sqrt(9*c.Gas.Viscosity*width/(c.OilDensity*velocity))
	return diameterWithSlip(corrected, c.MeanFreePath)
}

// checkJet checks the Reynolds number of a jet of given hydraulic diameter, m.
func checkJet(width, velocity float64, gas Gas) error {
	re := gas.Density * math.Abs(velocity) * width / gas.Viscosity
	if re >= impactorLeastReynolds && re <= impactorMostReynolds {
		return nil
	}
	return RangeError{
		Quantity: "Reynolds number of an impactor's jet", Value: re,
		Low: impactorLeastReynolds, High: impactorMostReynolds, Unit: "",
		Source: "Marple & Willeke 1976",
	}.check()
}

// sharpCut returns the cut 1/(1 + (d50/d)^2s).
func sharpCut(d50, sharpness float64) Cut {
	return Cut{law: logisticCut, centre: math.Log(d50), width: 0.5 / sharpness}
}

// orElse returns x, or other where x is 0.
func orElse(x, other float64) float64 {
	if x == 0 {
		return other
	}
	return x
}
