package physics

import "math"

// MeshCarryExponent is a usual Mesh.CarryExponent; 1 to 6. Prior, no published
// source.
const MeshCarryExponent = 3.0

// Mesh is a pad of knitted wire across the gas, wet with oil.
//
//	η(d) = k [1 - exp(-(2/3) (4 α/D) h E/π)]
//	E = Stk³/(Stk³ + 0.77 Stk² + 0.22),  Stk = ρ d² Cc U/(18 μ D),  U = Q/(A (1-α))
//	k = min(1, (V_max/V)^m),  V_max = K √((ρ - ρ_g)/ρ_g),  V = Q/A
//	Δp = LossHeads ½ ρ_g V²
//
// E is what a wire catches of droplets that come at it (impaction; interception
// and diffusion are left out, so that it errs low below 0.3 µm and for droplets
// as thick as the wire). E holds for Reynolds numbers of the wire near 10 and is
// carried on elsewhere. Above V_max the gas carries caught oil on; that the
// share k falls as a power is a prior, of every size alike.
//
// Source: E by H. D. Landahl & R. G. Herrmann, J. Colloid Sci. 4, 1949; the pad
// by C. L. Carpenter & D. F. Othmer, AIChE J. 1, 1955; V_max by M. Souders & G.
// G. Brown, Ind. Eng. Chem. 26, 1934 (all from memory).
type Mesh struct {
	Area          float64 // A, across the gas, m2
	Wire          float64 // D, diameter of a wire, m
	Thickness     float64 // h, along the gas, m
	PackedShare   float64 // α, share of the volume that is wire, above 0, below 1; 0.01 to 0.03 usual
	SoudersBrown  float64 // K, m/s; 0.107 usual (from memory), for vessels metres tall
	CarryExponent float64 // m, 0: nothing is carried on; see MeshCarryExponent
	LossHeads     float64 // pressure loss in velocity heads of V (prior)
}

// SoudersBrown returns the gas velocity above which oil is carried on, m/s.
//
//	V = K √((ρ - ρ_g)/ρ_g)
//
// k is K, m/s; oilDensity above gasDensity, kg/m3. Source: Souders & Brown 1934.
func SoudersBrown(k, oilDensity, gasDensity float64) float64 {
	return k * math.Sqrt((oilDensity-gasDensity)/gasDensity)
}

// SoudersBrownOfDroplet returns the K of SoudersBrown at which a droplet just
// hangs in rising gas, m/s.
//
//	K = √(4 g d / (3 C_D))
//
// diameter is d, m; drag is its drag coefficient C_D. Exact.
func SoudersBrownOfDroplet(diameter, drag float64) float64 {
	return math.Sqrt(4 * StandardGravity * diameter / (3 * drag))
}

// LandahlHerrmann returns the share of the droplets coming at a wire that strike
// it, from their Stokes number ρ d² Cc U/(18 μ D), 0 or more. Source: Landahl &
// Herrmann 1949, for Reynolds numbers near 10 (from memory).
func LandahlHerrmann(stokes float64) float64 {
	cube := stokes * stokes * stokes
	if math.IsInf(cube, 1) {
		return 1
	}
	return cube / (cube + 0.77*stokes*stokes + 0.22)
}

// At returns how the mesh catches under the conditions.
func (m Mesh) At(c StageConditions) Cut {
	v := c.Flow / m.Area
	cut := Cut{
		law:      meshCut,
		freePath: c.MeanFreePath,
		factor:   c.OilDensity * v / (1 - m.PackedShare) / (18 * c.Gas.Viscosity * m.Wire),
		reach:    8 * m.PackedShare * m.Thickness / (3 * math.Pi * m.Wire),
		kept:     1,
		width:    1.0 / 8, // E begins as d⁶; 1 - exp turns faster than a logistic curve of 1/6
	}
	if most := SoudersBrown(m.SoudersBrown, c.OilDensity, c.Gas.Density); v > most {
		cut.kept = math.Pow(most/v, m.CarryExponent)
	}
	// near where half of what a whole wire would catch, or half of all, is caught
	half := math.Min(0.5, math.Ln2/cut.reach)
	stokes := math.Cbrt(0.22 * half / (1 - half))
	cut.centre = math.Log(diameterWithSlip(math.Sqrt(stokes/cut.factor), c.MeanFreePath))
	return cut
}

// meshed returns the share of droplets of a size that the mesh keeps.
func (c *Cut) meshed(s *dropletSize) float64 {
	s.workOut(c.freePath)
	return c.kept * (1 - math.Exp(-c.reach*LandahlHerrmann(c.factor*s.corrected)))
}

// Loss returns the pressure lost, Pa.
func (m Mesh) Loss(c StageConditions) float64 {
	return headLoss(m.LossHeads, c.Flow/m.Area, c.Gas.Density)
}

// CheckRange returns nil: beyond the limit of Souders & Brown what is kept
// falls, so that the limit is part of the equation.
func (m Mesh) CheckRange(StageConditions) error { return nil }
