package page

import (
	"math"

	"sumpward/scenarios/units"
	"sumpward/sim"
)

// spot is a place in the plane of the drawing, m: x to the right, z up.
type spot struct{ x, z float64 }

// plane is the plane that a side view shows.
type plane int

const (
	fromTheRight plane = iota // x forward is to the right
	fromBehind                // the car's right is to the right
	heightsOnly               // sideways means nothing
)

// sideView is what is drawn, in metres, before any of it is on paper.
type sideView struct {
	model *sim.Model
	check *sim.DrainCheck
	units units.System
	kind  sim.DrainKind

	plane  plane
	across float64 // m that the route runs along the line of sight

	floor             spot // of the can: its drain outlet, in the middle
	wide, high, choke float64

	hose   []spot // from the can to the return
	inHose []spot // the part of it in which oil stands at full throttle
	bore   float64
	low    []int // of the hose's points, one for each low point of the check

	base         float64 // z that fall and column are measured from: return, or oil surface
	fall, column float64 // m; NaN where there is none
	port         *spot
	surface      *[2]float64 // left and right end of what is drawn of the sump's surface
}

func newSideView(m *sim.Model, check *sim.DrainCheck, u units.System) *sideView {
	car := m.Nominal()
	v := &sideView{model: m, check: check, units: u, kind: check.Kind, fall: math.NaN(), column: math.NaN()}
	v.high = car.Can.UsableVolume / car.Can.CrossSection
	v.wide = math.Sqrt(4 / math.Pi * car.Can.CrossSection)
	v.choke = car.Limits.ChokeLevel * v.high
	if v.kind == sim.NoDrain {
		v.plane = heightsOnly
		return v
	}
	v.bore = car.Drain.Hose.Bore
	v.way(car)
	v.floor = v.hose[0]
	v.fall, v.column = check.FullThrottle.Fall, check.FullThrottle.Column
	v.end(car)
	if check.FullThrottle.Held && v.kind != sim.Unsealed {
		v.inHose = along(v.hose, car.Drain.Route.Lengths, car.Drain.HeldLength)
	}
	return v
}

// way lays the hose into the plane that shows more of it.
func (v *sideView) way(car *sim.Car) {
	points := car.Drain.Route.Points
	for _, l := range car.Drain.Route.LowPoints(v.bore) {
		v.low = append(v.low, l.Index)
	}
	if v.model.Scenario().Drain.Route == nil {
		v.plane = heightsOnly
		v.stepAside(car)
		return
	}
	var x, y [2]float64 // lowest and highest
	for i, p := range points {
		if i == 0 {
			x, y = [2]float64{p.X, p.X}, [2]float64{p.Y, p.Y}
		}
		x = [2]float64{min(x[0], p.X), max(x[1], p.X)}
		y = [2]float64{min(y[0], p.Y), max(y[1], p.Y)}
	}
	v.across = y[1] - y[0]
	if y[1]-y[0] > x[1]-x[0] {
		v.plane, v.across = fromBehind, x[1]-x[0]
	}
	for _, p := range points {
		v.hose = append(v.hose, v.seen(p.X, p.Y, p.Z))
	}
}

// seen is where a point of the car is seen.
func (v *sideView) seen(x, y, z float64) spot {
	if v.plane == fromBehind {
		return spot{-y, z}
	}
	return spot{x, z}
}

// stepAside lays out a hose of which heights alone are known: straight down,
// and beside itself where it dips.
func (v *sideView) stepAside(car *sim.Car) {
	points := car.Drain.Route.Points
	x, step := 0.0, 0.0
	for i, p := range points {
		if i > 0 && p.Z > points[i-1].Z {
			step = max(1.5*v.bore, (p.Z-points[i-1].Z)/2)
		}
	}
	for i, p := range points {
		inDip := len(points) > 2 && (i == 2 || i == 3)
		if inDip {
			x += step
		}
		v.hose = append(v.hose, spot{x, p.Z})
	}
}

// end says where the hose ends, and what heights are measured from.
func (v *sideView) end(car *sim.Car) {
	last := v.hose[len(v.hose)-1]
	v.base = last.z
	if v.kind != sim.BelowOil {
		v.port = &last
		return
	}
	reach := max(2*v.bore, v.wide/3)
	v.surface = &[2]float64{last.x - reach, last.x + reach}
	if s := car.Drain.Surface; s != nil {
		middle := v.seen(s.X, s.Y, s.Z)
		v.base, v.port = middle.z, &last
		*v.surface = [2]float64{min(middle.x, last.x) - reach, max(middle.x, last.x) + reach}
	}
}

// along cuts a way off after a length of hose; lengths are those between its
// points.
func along(way []spot, lengths []float64, length float64) []spot {
	part := way[:1:1]
	for i, l := range lengths {
		if length >= l*(1-1e-9) {
			part = append(part, way[i+1])
			length -= l
			continue
		}
		if length > 0 {
			t := length / l
			a, b := way[i], way[i+1]
			part = append(part, spot{a.x + t*(b.x-a.x), a.z + t*(b.z-a.z)})
		}
		break
	}
	return part
}

// extent is what the drawing spans without the measures beside it, m.
func (v *sideView) extent() (left, right, bottom, top float64) {
	left, right = v.floor.x-v.wide/2, v.floor.x+v.wide/2
	bottom, top = v.floor.z, v.floor.z+v.high
	for _, p := range v.hose {
		left, right = min(left, p.x-v.bore), max(right, p.x+v.bore)
		bottom, top = min(bottom, p.z-v.bore/2), max(top, p.z+v.bore/2)
	}
	if v.surface != nil {
		left, right = min(left, v.surface[0]), max(right, v.surface[1])
	}
	bottom = min(bottom, v.base)
	for _, measure := range []float64{v.fall, v.column} {
		if !math.IsNaN(measure) {
			bottom, top = min(bottom, v.base+measure), max(top, v.base+measure)
		}
	}
	return left, right, bottom, top
}
