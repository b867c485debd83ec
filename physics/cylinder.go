package physics

import "math"

// Cylinder is an upright circular cylinder. Its axes start at the centre of
// the floor: x forward, y left, z up.
type Cylinder struct {
	Diameter float64 // inside, m; above 0
	Height   float64 // from the floor to the lid, inside, m; above 0
}

// Surface is a plane free surface, z = Height + SlopeX x + SlopeY y.
type Surface struct {
	Height float64 // at the axis x = y = 0, m; below the floor or above the lid is allowed
	SlopeX float64 // rise per metre forward, m/m; finite
	SlopeY float64 // rise per metre to the left, m/m; finite
}

// SurfaceThrough returns the free surface that passes through a point under an
// acceleration of the body.
//
//	z + (a_x x + a_y y)/g = const
func SurfaceThrough(p Point, a Acceleration) Surface {
	return Surface{
		Height: PotentialHeight(p, a),
		SlopeX: -a.X / StandardGravity,
		SlopeY: -a.Y / StandardGravity,
	}
}

// At returns the height of the surface at x forward and y left of the axis, m.
func (s Surface) At(x, y float64) float64 { return s.Height + s.SlopeX*x + s.SlopeY*y }

// Tilt returns the angle between the surface and the horizontal, rad.
func (s Surface) Tilt() float64 { return math.Atan(s.slope()) }

// slope returns the steepest slope of the surface, m/m.
func (s Surface) slope() float64 { return math.Hypot(s.SlopeX, s.SlopeY) }

// Area returns the cross-section of the cylinder, m2.
func (c Cylinder) Area() float64 { return math.Pi / 4 * c.Diameter * c.Diameter }

// Volume returns the volume of the whole cylinder, m3.
func (c Cylinder) Volume() float64 { return c.Area() * c.Height }

// VolumeBelow returns the volume of the cylinder below a surface, between the
// floor and the lid, m3. It is exact.
//
//	V = W(h) - W(h - H)
//	W(h) = ∫ 2 √(R² - u²) max(0, h + s u) du,  -R to R
//
// h is the height of the surface at the axis, H that of the lid, s the steepest
// slope. W is πR²h where the surface meets the wall all round, else the wedge
// (ungula) that wedge gives. The relative error is about 2e-15 max(1, s R/H),
// however small the tilt.
//
// Derived.
func (c Cylinder) VolumeBelow(s Surface) float64 {
	slope, radius := s.slope(), c.Diameter/2
	volume, _ := c.below(s.Height, math.FMA(slope, radius, s.Height), slope*radius)
	return volume
}

// WettedHeights returns the heights to which oil wets the wall where the
// surface is lowest and where it is highest, m, within floor and lid.
func (c Cylinder) WettedHeights(s Surface) (lowest, highest float64) {
	rise := s.slope() * c.Diameter / 2
	within := func(z float64) float64 { return math.Max(0, math.Min(c.Height, z)) }
	return within(s.Height - rise), within(s.Height + rise)
}

// SurfaceOf returns the free surface of a volume of oil under an acceleration
// of the body: the inverse of VolumeBelow.
//
// volume is in m3; 0 or less gives the surface that only touches the edge of
// the floor, the volume of the cylinder or more the one that only touches the
// edge of the lid. Newton's method within a bracket; the volume below the
// surface is met as closely as the numbers can say its height.
func (c Cylinder) SurfaceOf(volume float64, a Acceleration) Surface {
	s := SurfaceThrough(Point{}, a)
	rise := s.slope() * c.Diameter / 2
	level := volume / c.Area()
	switch {
	case volume <= 0:
		s.Height = -rise
	case volume >= c.Volume():
		s.Height = c.Height + rise
	case level >= rise && level <= c.Height-rise:
		s.Height = level
	default:
		s.Height = c.highest(volume, rise) - rise
	}
	return s
}

// highest returns the height of a surface at the wall where it is highest, m,
// for a volume between 0 and that of the cylinder.
func (c Cylinder) highest(volume, rise float64) float64 {
	low, high := 0.0, c.Height+2*rise
	x, last := volume/c.Area()+rise, math.Inf(1)
	for range 200 {
		below, area := c.below(x-rise, x, rise)
		off := below - volume
		if off == 0 {
			return x
		}
		if off > 0 {
			high = x
		} else {
			low = x
		}
		next := x - off/area
		if !(next > low && next < high) || math.Abs(off) > 0.5*last {
			next = low + 0.5*(high-low)
		}
		if next == low || next == high {
			return x
		}
		x, last = next, math.Abs(off)
	}
	return x
}

// below returns the volume below a surface, m3, and how it grows with the
// height of the surface, m2. The surface is given by its height at the axis, by
// its height at the wall where it is highest, and by the rise from one to the
// other, so that none is lost in a difference of the others.
func (c Cylinder) below(axis, highest, rise float64) (volume, area float64) {
	if axis-rise >= c.Height {
		return c.Volume(), 0
	}
	overFloor, floor := c.wedge(axis, highest, rise)
	overLid, lid := c.wedge(axis-c.Height, highest-c.Height, rise)
	return math.Max(0, overFloor-overLid), floor - lid
}

// wedge returns the volume between a surface and a floor below it, and the area
// of the floor that is under the surface, in a cylinder without a lid.
//
//	W = R² b K(θ),  K = sin θ - sin³θ/3 - θ cos θ
//	A = R² (θ - sin θ cos θ)
//
// b is the rise of the surface from the axis to the wall, θ half the angle of
// the wetted arc of the floor's edge: cos θ = -h/b. Derived.
func (c Cylinder) wedge(axis, highest, rise float64) (volume, area float64) {
	if highest <= 0 {
		return 0, 0
	}
	if axis >= rise {
		return c.Area() * axis, c.Area()
	}
	q := math.Min(2, highest/rise) // 1 - cos θ
	sin, cos := math.Sqrt(q*(2-q)), 1-q
	square := c.Diameter * c.Diameter / 4
	theta := math.Atan2(sin, cos)
	if theta < 1 {
		k, a := thinWedge(theta)
		return square * rise * k, square * a
	}
	return square * rise * (sin - sin*sin*sin/3 - theta*cos), square * (theta - sin*cos)
}

// thinWedge returns K and θ - sin θ cos θ of wedge for θ from 0 to 1, where the
// terms of the closed forms nearly cancel, by their power series.
//
//	K = Σ (-1)^k (9^k - 8k - 1)/4 θ^(2k+1)/(2k+1)!,  k = 2, 3, …
//	θ - sin θ cos θ = Σ (-1)^(k+1) 4^k θ^(2k+1)/(2k+1)!,  k = 1, 2, …
func thinWedge(theta float64) (k, area float64) {
	square := theta * theta
	term := -theta * square / 6 // (-1)^k θ^(2k+1)/(2k+1)!
	nine, four := 9.0, 4.0
	for n := 1.0; n < 16; n++ {
		k += term * (nine - 8*n - 1) / 4
		area -= term * four
		term *= -square / ((2*n + 2) * (2*n + 3))
		nine, four = 9*nine, 4*four
	}
	return k, area
}
