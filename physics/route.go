package physics

import "math"

// climbTolerance lets a climb that is meant to be one bore count as one,
// whatever the rounding of its heights.
const climbTolerance = 1e-9

// Point is a place in vehicle axes (ISO 8855), m: x forward, y left, z up.
type Point struct{ X, Y, Z float64 }

// Acceleration is the acceleration of the vehicle's body in its plane, m/s2:
// X forward, Y to the left. A left-hand corner has Y > 0.
type Acceleration struct{ X, Y float64 }

// PotentialHeight returns the height of a point in the tilted field of gravity
// and body acceleration, m. Oil at rest stands at one potential height.
//
//	ζ = z + (a_x x + a_y y)/g
//
// Derived: the potential of the specific force in body axes, over g.
func PotentialHeight(p Point, a Acceleration) float64 {
	return p.Z + (a.X*p.X+a.Y*p.Y)/StandardGravity
}

// Route is where a drain hose runs, from the can's drain outlet to the return.
type Route struct {
	Points  []Point
	Lengths []float64 // of hose from each point to the next, m; one fewer than Points
}

// StraightRoute returns a route known only by its fall and its length, both m:
// two points one above the other, so that body acceleration doesn't act on it.
// A negative fall is a climb.
func StraightRoute(fall, length float64) (r Route) {
	r.LayStraight(fall, length)
	return r
}

// LayStraight makes it [StraightRoute], in the memory that it has.
func (r *Route) LayStraight(fall, length float64) { r.lay(length, fall, 0) }

// DippedRoute returns a route known only by its fall, a dip and its length, m:
// half the fall down, the dip down, the dip up, the other half down. The length
// is shared in proportion to the heights.
func DippedRoute(fall, dip, length float64) (r Route) {
	r.LayDipped(fall, dip, length)
	return r
}

// LayDipped makes it [DippedRoute], in the memory that it has.
func (r *Route) LayDipped(fall, dip, length float64) {
	r.lay(length, fall, fall/2, fall/2-dip, fall/2, 0)
}

// lay shares a length over points one above another in proportion to the
// difference of their heights.
func (r *Route) lay(length float64, heights ...float64) {
	r.Points, r.Lengths = r.Points[:0], r.Lengths[:0]
	total := 0.0
	for i, z := range heights {
		r.Points = append(r.Points, Point{Z: z})
		if i > 0 {
			climb := math.Abs(z - heights[i-1])
			r.Lengths = append(r.Lengths, climb)
			total += climb
		}
	}
	for i := range r.Lengths {
		if total == 0 {
			r.Lengths[i] = length / float64(len(r.Lengths))
		} else {
			r.Lengths[i] *= length / total
		}
	}
}

// Upright reports whether the points stand one above another, so that body acceleration
// doesn't act on the route.
func (r Route) Upright() bool {
	for _, p := range r.Points {
		if p.X != 0 || p.Y != 0 {
			return false
		}
	}
	return true
}

// PointsRoute returns the route through the points given, with straight hose
// between them.
func PointsRoute(points []Point) Route {
	r := Route{Points: points}
	r.measure()
	return r
}

// LayPoints makes it [PointsRoute] through so many points, in the memory that it has.
func (r *Route) LayPoints(count int, point func(i int) Point) {
	r.Points = r.Points[:0]
	for i := range count {
		r.Points = append(r.Points, point(i))
	}
	r.measure()
}

// measure works out the lengths of straight hose between the points.
func (r *Route) measure() {
	r.Lengths = r.Lengths[:0]
	for i := 1; i < len(r.Points); i++ {
		p, q := r.Points[i-1], r.Points[i]
		r.Lengths = append(r.Lengths, math.Hypot(math.Hypot(q.X-p.X, q.Y-p.Y), q.Z-p.Z))
	}
}

// Length returns the length of hose, m.
func (r Route) Length() float64 {
	total := 0.0
	for _, l := range r.Lengths {
		total += l
	}
	return total
}

// Heights returns the potential height of each point of the route under a body
// acceleration, m, in the storage of dst if it is large enough.
func (r Route) Heights(a Acceleration, dst []float64) []float64 {
	dst = dst[:0]
	for _, p := range r.Points {
		dst = append(dst, PotentialHeight(p, a))
	}
	return dst
}

// WeightedFall returns what of a route drives its drain and what resists, m:
// fall is the sum of its drops, each weighted with the share of the column that
// trapped air has left, rise the sum of its climbs.
//
//	w = 1, c = F = R = 0
//	each drop d:  if c > 0: w = w (1 - min(c/D, 1)), c = 0;  F = F + w d
//	each climb r: R = R + r, c = c + r
//
// heights are potential heights from the can to the return; bore is D, m, above
// 0. A climb well under one bore traps no air; behind one of a bore or more air
// stays, and what falls after it no longer helps. A level piece neither drops
// nor climbs. Prior, no published source.
func WeightedFall(heights []float64, bore float64) (fall, rise float64) {
	d := Descend(heights, bore)
	return d.Fall, d.Rise
}

// Descent is [WeightedFall] on its way along a route.
type Descent struct {
	Fall, Rise    float64 // m
	bore          float64 // m
	weight, climb float64
}

// Descend goes along the potential heights in m of a route of a bore in m.
func Descend(heights []float64, bore float64) Descent {
	d := Descent{bore: bore, weight: 1}
	for i := 1; i < len(heights); i++ {
		d.down(heights[i-1] - heights[i])
	}
	return d
}

// Down goes on by a drop in m; a negative one is a climb.
func (d Descent) Down(drop float64) Descent {
	d.down(drop)
	return d
}

func (d *Descent) down(drop float64) {
	switch {
	case drop > 0:
		if d.climb > 0 {
			d.weight *= 1 - min(d.climb/d.bore, 1)
			d.climb = 0
		}
		d.Fall += d.weight * drop
	case drop < 0:
		d.Rise -= drop
		d.climb -= drop
	}
}

// HeldLength returns the length of hose that oil fills when it stands, m: up to
// the crest of the first climb of a bore or more, judged at rest, or all of the
// hose if there is none. trap says whether there is such a climb, which seals
// the drain.
//
// bore is in m. A climb is a whole run of rising segments; a level piece doesn't
// break it.
func (r Route) HeldLength(bore float64) (length float64, trap bool) {
	for _, p := range r.LowPoints(bore) {
		if !p.Trap {
			continue
		}
		for _, l := range r.Lengths[:p.Crest] {
			length += l
		}
		return length, true
	}
	return r.Length(), false
}

// LowPoint is a place where a route at rest begins to climb.
type LowPoint struct {
	Index      int     // of the point from which it climbs
	Crest      int     // index of the point at which the climb ends
	Point      Point   // from which it climbs
	Climb      float64 // m
	WeightLost float64 // share of all further fall that no longer helps, 0 to 1, see WeightedFall
	Trap       bool    // the climb is a bore or more: oil stands in it and seals
}

// LowPoints returns every low point of the route at rest, from the can on. bore
// is in m.
func (r Route) LowPoints(bore float64) []LowPoint {
	var found []LowPoint
	climbing := false
	for i := 1; i < len(r.Points); i++ {
		rise := r.Points[i].Z - r.Points[i-1].Z
		switch {
		case rise < 0:
			climbing = false
		case rise > 0:
			if !climbing {
				found = append(found, LowPoint{Index: i - 1, Point: r.Points[i-1]})
				climbing = true
			}
			low := &found[len(found)-1]
			low.Crest = i
			low.Climb += rise
		}
	}
	for i := range found {
		found[i].WeightLost = min(found[i].Climb/bore, 1)
		found[i].Trap = found[i].Climb >= bore*(1-climbTolerance)
	}
	return found
}
