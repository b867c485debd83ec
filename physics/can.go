package physics

import "math"

// leastUsableShare is the share of its upright usable volume that a can keeps
// at any acceleration; prior, no published source.
const leastUsableShare = 0.2

// CanUnderAcceleration is a can and the acceleration that tilts the oil in it.
type CanUnderAcceleration struct {
	Volume       float64 // usable when upright, up to where oil goes over, m3
	CrossSection float64 // m2; above 0
	OutletOffset float64 // of the gas outlet from the can's axis, m; 0: centred
	Acceleration float64 // magnitude in the plane, m/s2
}

// UsableVolume returns the usable volume of a can while its surface is tilted,
// m3.
//
//	V(a) = max(0.2 V, V - A r |a|/g)
//
// The surface turns about the can's axis; the gas outlet, r off the axis, is
// taken to lie on the side to which the oil goes. Derived; the floor of a fifth
// is a prior.
func UsableVolume(c CanUnderAcceleration) float64 {
	lost := c.CrossSection * c.OutletOffset * math.Abs(c.Acceleration) / StandardGravity
	return max(leastUsableShare*c.Volume, c.Volume-lost)
}

// Magnitude returns the magnitude of the acceleration, m/s2.
func (a Acceleration) Magnitude() float64 { return math.Sqrt(a.X*a.X + a.Y*a.Y) }

// FreeSurfaceTilt returns the angle by which a free surface tilts, rad.
//
//	atan(|a|/g)
//
// acceleration is in m/s2, in the plane.
func FreeSurfaceTilt(acceleration float64) float64 {
	return math.Atan(math.Abs(acceleration) / StandardGravity)
}
