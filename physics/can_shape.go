package physics

import "math"

// CanShape is a round can with its tubes. Points are in the can's axes: from
// the centre of the floor, x forward, y left, z up, m.
//
// Tubes and the wall of an inner can are taken as thin: they take no volume.
type CanShape struct {
	Diameter      float64 // inside, m; above 0
	Height        float64 // from the floor to the lid, inside, m; above 0
	Outlet        Point   // mouth of the gas outlet tube: oil that reaches it goes over
	Inlet         *Point  // mouth of the gas inlet tube; nil: oil never reaches it before the outlet
	InnerDiameter float64 // of an inner can, a tube that hangs in the outer one, open below, m; 0: none
	InnerRim      float64 // height of its lower rim over the floor, m; above 0
}

// Cylinder returns the can without its tubes.
func (c CanShape) Cylinder() Cylinder { return Cylinder{Diameter: c.Diameter, Height: c.Height} }

// UsableVolume returns the volume of oil at which the free surface reaches the
// mouth of the outlet, m3, under an acceleration of the body: at rest the
// cross-section times the height of the mouth. It is exact, and the direction
// of the acceleration counts: a mouth on the side that the oil leaves stays
// clear for longer than at rest.
//
// It is never below 0. It is 0 for a mouth in the floor at rest, or at the
// floor's edge on the side to which the oil goes: such a can holds nothing. All
// that is in it and all that comes goes over at once, and a fill, which has no
// value, is to be taken as 1.
func (c CanShape) UsableVolume(a Acceleration) float64 {
	return c.Cylinder().VolumeBelow(SurfaceThrough(c.Outlet, a))
}

// ReachesInlet returns the volume of oil at which the free surface reaches the
// mouth of the inlet, m3, under an acceleration of the body. It is never more
// than UsableVolume, at which oil goes over first; without an Inlet it is that.
func (c CanShape) ReachesInlet(a Acceleration) float64 {
	usable := c.UsableVolume(a)
	if c.Inlet == nil {
		return usable
	}
	return math.Min(usable, c.Cylinder().VolumeBelow(SurfaceThrough(*c.Inlet, a)))
}

// PathCloses returns the volumes of oil, m3, upright, at which the path of the
// gas under the rim of the inner can begins to close, and at which it is
// closed; +Inf and +Inf without an inner can.
//
//	from = A max(0, rim - d/4),  at = A rim
//
// The gap between oil and rim has the area π d (rim - level); it begins to
// restrict where that is less than the bore of the inner can, π d²/4. Below,
// the open share of the path is 4 (rim - level)/d, linear in the volume, which
// is what Element has between ClosesFrom and ClosedAt.
//
// The oil stands at one level inside and outside of the inner can, and A is the
// cross-section of the outer one. Where the rim is less than d/4 over the
// floor, the gap is narrower than the bore in an empty can already, and from is
// 0: a loss measured on that can has the gap in it. A rim above the outlet's
// mouth gives volumes above the usable one. Derived.
func (c CanShape) PathCloses() (from, at float64) {
	if c.InnerDiameter == 0 {
		return math.Inf(1), math.Inf(1)
	}
	area := c.Cylinder().Area()
	return area * math.Max(0, c.InnerRim-c.InnerDiameter/4), area * c.InnerRim
}

// Check returns a *RangeError that names the first measure that can't be, or
// nil. The other functions don't check.
func (c CanShape) Check() error {
	for _, e := range c.ranges() {
		if err := e.check(); err != nil {
			return err
		}
	}
	return nil
}

// Check lets measures of a can pass from smallest to largest, m: above 0, and
// no slip of a unit.
const smallest, largest = 1e-4, 10.0

// ranges returns what Check checks, in its order.
func (c CanShape) ranges() []RangeError {
	const source = "measures of the can itself"
	wall := c.Diameter / 2 * (1 + 1e-9) // a mouth at the wall may be rounded
	ranges := []RangeError{
		{"inside diameter of the can", c.Diameter, smallest, largest, "m", source},
		{"inside height of the can", c.Height, smallest, largest, "m", source},
		{"distance of the outlet's mouth from the can's axis", math.Hypot(c.Outlet.X, c.Outlet.Y), 0, wall, "m", source},
		{"height of the outlet's mouth over the can's floor", c.Outlet.Z, 0, c.Height, "m", source},
	}
	if c.Inlet != nil {
		ranges = append(ranges,
			RangeError{"distance of the inlet's mouth from the can's axis", math.Hypot(c.Inlet.X, c.Inlet.Y), 0, wall, "m", source},
			RangeError{"height of the inlet's mouth over the can's floor", c.Inlet.Z, 0, c.Height, "m", source})
	}
	if c.InnerDiameter != 0 {
		ranges = append(ranges,
			RangeError{"diameter of the inner can", c.InnerDiameter, smallest, c.Diameter, "m", source},
			RangeError{"height of the inner can's rim over the floor", c.InnerRim, smallest, c.Height, "m", source})
	}
	return ranges
}
