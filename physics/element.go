package physics

import "math"

// closedPath is the open share of a gas path that stands for a closed one. It
// lets the loss rise steeply but without a jump as the flow passes 0; at flows
// above about a millionth of the rated flow the loss doesn't depend on it.
const closedPath = 1e-6

// Element is what a separator puts in the way of the gas, with its gas path
// that the collected oil may close.
type Element struct {
	Loss       float64 // pressure loss at Flow, Pa; 0 for no loss
	Flow       float64 // at which Loss was measured, m3/s; above 0
	Density    float64 // of the gas at which Loss was measured, kg/m3 (1.20 unless measured hot)
	ClosesFrom float64 // fill from which the gas path begins to close, 0 to 1; 1 or more: never
	ClosedAt   float64 // fill at which the gas path is closed, above ClosesFrom; 0 stands for 1, above 1: never quite
}

// PressureLoss returns the pressure lost across the element, Pa, with the sign
// of the flow.
//
//	Δp = min(Δp_dry/φ², Δp_dry + passageHead · max(0, x - x_n))
//	Δp_dry = Loss (Q/Flow)² ρ/Density
//
// φ is the open share of the gas path: 1 up to the fill x_n = ClosesFrom, then
// falling linearly to 0 at x = ClosedAt. Gas pushes oil aside, so that the loss
// is never more than the head of oil over the passage.
//
// flow is in m3/s; fill is x, clamped to 0..1; passageHead is the pressure of a
// whole fill of oil, ρ_oil g V/A_can, Pa. Derived; Δp_dry by the quadratic law
// of an orifice.
func (e Element) PressureLoss(flow float64, gas Gas, fill, passageHead float64) float64 {
	loss, _ := e.resist(gas, fill, passageHead, 1).loss(flow)
	return loss
}

// elementResistance is an element with one gas and one fill in it.
type elementResistance struct {
	dry  float64 // Pa per (m3/s)²
	open float64 // φ²
	head float64 // of oil over the passage, Pa
}

func (e Element) resist(gas Gas, fill, passageHead, lossFactor float64) elementResistance {
	if e.Loss == 0 {
		return elementResistance{open: 1}
	}
	r := elementResistance{dry: lossFactor * e.Loss * gas.Density / (e.Flow * e.Flow * e.Density), open: 1}
	over := math.Min(fill, 1) - e.ClosesFrom
	if over > 0 {
		phi := math.Max(closedPath, 1-over/math.Max(0, e.closedAt()-e.ClosesFrom))
		r.open = phi * phi
		r.head = passageHead * over
	}
	return r
}

// closedAt returns the fill at which the gas path is closed.
func (e Element) closedAt() float64 {
	if e.ClosedAt == 0 {
		return 1
	}
	return e.ClosedAt
}

// loss returns the pressure loss at a flow, and its slope in Pa per m3/s.
func (r elementResistance) loss(flow float64) (loss, slope float64) {
	q := math.Abs(flow)
	dry, slope := r.dry*q*q, 2*r.dry*q
	if dry+r.head <= dry/r.open {
		return math.Copysign(dry+r.head, flow), slope
	}
	return math.Copysign(dry/r.open, flow), slope / r.open
}
