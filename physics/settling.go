package physics

import "math"

// SettlingCan is a plain space in which droplets settle while the gas goes
// through.
//
//	η(d) = 1 - exp(-v(d) A/Q)
//
// v is the settling velocity with slip and the drag of Schiller & Naumann, which
// is that of Stokes for small droplets. The gas is taken as mixed across but not
// along its way (the form of Deutsch). Gas without any mixing would catch
// min(1, v A/Q), gas mixed throughout v A/(v A + Q): they differ from
// this by 0.37 and 0.21 at most. It loses no pressure of note; hoses that end in it are counted
// with the hoses. Source: N. A. Fuchs, The Mechanics of Aerosols, 1964; Hinds
// 1999, chapter 3 (from memory).
type SettlingCan struct {
	Area float64 // A, horizontal, m2
}

// At returns how the can catches under the conditions: everything without flow.
func (s SettlingCan) At(c StageConditions) Cut {
	cut := Cut{
		law:      settlingCut,
		freePath: c.MeanFreePath,
		factor:   (c.OilDensity - c.Gas.Density) * StandardGravity / (18 * c.Gas.Viscosity),
		reynolds: c.Gas.Density / c.Gas.Viscosity,
		reach:    s.Area / c.Flow,
		width:    0.29, // v goes as d²; 1 - exp turns faster than a logistic curve of 0.5
	}
	cut.centre = math.Log(1/(cut.factor*cut.reach)) / 2 // where v A = Q, by Stokes
	return cut
}

// settled returns the share of droplets of a size that settle.
func (c *Cut) settled(s *dropletSize) float64 {
	s.workOut(c.freePath)
	v := c.factor * s.corrected
	v *= quickSlowing(c.reynolds * v * s.diameter)
	return 1 - math.Exp(-v*c.reach)
}

// Loss returns 0.
func (s SettlingCan) Loss(StageConditions) float64 { return 0 }

// CheckRange returns nil: the drag holds for all droplets that don't settle at
// once.
func (s SettlingCan) CheckRange(StageConditions) error { return nil }
