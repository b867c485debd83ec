package physics

import "math"

// leastUsableShare is the share of its upright usable volume that a can keeps
// at any acceleration; prior, no published source.
const leastUsableShare = 0.2

// Can is a separator's can, as far as it holds oil.
type Can struct {
	UsableVolume float64 // upright, up to where oil goes over, m3
	CrossSection float64 // m2; above 0
	OutletOffset float64 // of the gas outlet from the can's axis, m; 0: centred
}

// VolumeAt returns the usable volume while the surface is tilted, m3.
//
//	V(a) = max(0.2 V, V - A r |a|/g)
//
// acceleration is the magnitude of the body acceleration in the plane, m/s2.
// The surface turns about the can's axis and reaches the outlet first, which is
// taken to lie on the side to which the oil goes. Derived; the floor of a fifth
// is a prior.
func (c Can) VolumeAt(acceleration float64) float64 {
	lost := c.CrossSection * c.OutletOffset * math.Abs(acceleration) / StandardGravity
	return math.Max(leastUsableShare*c.UsableVolume, c.UsableVolume-lost)
}

// Head returns the height of a volume of oil standing in the can, m. volume is
// in m3.
func (c Can) Head(volume float64) float64 { return volume / c.CrossSection }

// Magnitude returns the magnitude of the acceleration, m/s2.
func (a Acceleration) Magnitude() float64 { return math.Hypot(a.X, a.Y) }

// FreeSurfaceTilt returns the angle by which a free surface tilts, rad.
//
//	atan(|a|/g)
//
// acceleration is in m/s2, in the plane.
func FreeSurfaceTilt(acceleration float64) float64 {
	return math.Atan(math.Abs(acceleration) / StandardGravity)
}
