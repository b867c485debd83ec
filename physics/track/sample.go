package track

import "math"

// Sample is one cell as it is driven, or a part of one: a cell is cut where the
// car goes from one limit to another (drive to brakes, grip to power, an
// upshift, the top speed).
type Sample struct {
	Distance float64 // at its start, m
	Time     float64 // at its start, s
	Duration float64 // s
	Speed    float64 // time mean, m/s
	// Load is the share of the full power at that speed that is used, 0 to 1. It
	// is 1 at full throttle, and also at top speed, where the driver keeps it flat
	// against the limiter (unless the slope alone would push the car faster: 0). It
	// is 0 when braking, coasting or shifting.
	Load float64
	// Forward and Left are the time means of the specific force felt in vehicle
	// axes, m/s2: acceleration plus gravity's part by slope and banking. On the
	// level they are dv/dt and v²κ.
	Forward float64
	Left    float64
}

// stretchDriven is what drive has done with a part of a cell.
type stretchDriven struct {
	cell     int
	manner   manner
	from, to float64 // v², m2/s2
	length   float64 // m
}

// timed is a stretch in time.
type timed struct {
	duration float64 // s
	middle   float64 // speed at half the time, m/s
	fall     float64 // how much the acceleration falls from start to end, m/s2
}

// timed puts a stretch into time, from the accelerations at its ends: exact at
// constant acceleration, of order 4 else (cubic Hermite interpolation of speed
// in time, kept monotone by the condition of Fritsch & Carlson 1980, from
// memory).
func (m *stretchDriven) timed(a0, a1 float64) timed {
	v0, v1 := math.Sqrt(m.from), math.Sqrt(m.to)
	mean := (v0 + v1) / 2
	most := 3 * (v1 - v0) * mean / m.length
	if most >= 0 {
		a0, a1 = min(max(a0, 0), most), min(max(a1, 0), most)
	} else {
		a0, a1 = max(min(a0, 0), most), max(min(a1, 0), most)
	}
	t := 2 * m.length / (mean + math.Sqrt(max(mean*mean+m.length*(a0-a1)/3, 0)))
	return timed{t, mean + t*(a0-a1)/8, a0 - a1}
}

// squares is ∫v² ds over a stretch, m3/s2; fall is how much the acceleration
// falls from start to end.
func (m *stretchDriven) squares(fall float64) float64 {
	return m.length * ((m.from+m.to)/2 + m.length*fall/6)
}

// timed puts a stretch into time. On the level and at constant power its
// duration comes from the work, without drag exactly:
//
//	t = (m (v1² - v0²)/2 + k ∫v² ds)/P
func (s *Solver) timed(g *ground, m *stretchDriven) timed {
	x := m.timed(s.acceleration(g, m.manner, m.from), s.acceleration(g, m.manner, m.to))
	if m.manner == fullPower && g.gravity == 0 && len(s.vehicle.Power) == 1 {
		x.duration = s.vehicle.Mass * ((m.to-m.from)/2 + g.drag*m.squares(x.fall)) / s.vehicle.Power[0].Power
	}
	return x
}

// record adds the sample of what was driven.
func (s *Solver) record(g *ground, m *stretchDriven) {
	x := s.timed(g, m)
	squared := (m.from + m.to + 4*x.middle*x.middle) / 6 // time mean of v²
	s.driven = append(s.driven, Sample{
		Distance: s.at, Duration: x.duration, Speed: m.length / x.duration,
		Load:    s.load(g, m, x),
		Forward: (math.Sqrt(m.to)-math.Sqrt(m.from))/x.duration + g.gravity,
		Left:    s.path.surfaces[m.cell].side * (g.p*squared - g.q),
	})
	s.at += m.length
}

// acceleration is dv/dt in some manner at u, m/s2.
func (s *Solver) acceleration(g *ground, how manner, u float64) float64 {
	switch how {
	case fullPower:
		v := math.Sqrt(u)
		return s.vehicle.Power.At(v)/(s.vehicle.Mass*v) - g.against(u)
	case atGrip:
		return g.hold(u) - g.against(u)
	case coasting:
		return -g.against(u)
	case braking:
		return -g.hold(u) - g.against(u)
	default:
		return 0
	}
}

// load is the share of the full power that is used: the work done against
// inertia, drag and slope over what full power would do in that time.
func (s *Solver) load(g *ground, m *stretchDriven, x timed) float64 {
	switch m.manner {
	case fullPower:
		return 1
	case coasting, braking:
		return 0
	case held:
		switch {
		case g.against(m.to) < 0:
			return 0
		case m.to < g.limit:
			return 1
		}
	}
	work := (m.to-m.from)/2 + g.drag*m.squares(x.fall) + g.gravity*m.length
	return min(max(work*s.vehicle.Mass/(s.vehicle.Power.At(m.length/x.duration)*x.duration), 0), 1)
}
