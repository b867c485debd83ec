package track

import "math"

// manner is how a stretch is driven.
type manner uint8

const (
	fullPower manner = iota
	atGrip           // as much drive as the friction circle allows, less than full power
	coasting         // an upshift
	braking
	held // speed held at the top speed or at the cornering limit
)

// state is the car at one place.
type state struct {
	u     float64 // v², m2/s2
	gear  int     // upshifts done
	shift float64 // s left of an upshift
}

// mostChanges is how many stretches of a cell are looked at for a change between
// power and grip; only rounding gives so many.
const mostChanges = 100

// drive takes the car h metres through cell i as fast as grip, power and gears
// allow, without a thought of the next corner. It records samples if asked to.
func (s *Solver) drive(i int, at state, h float64, record bool) state {
	g := &s.grounds[i]
	next, given := fullPower, false
	for k := 0; h > 0 && at.u > standstill; k++ {
		if k > 10*mostChanges { // rounding holds the car at a point of its power curve
			if record {
				s.record(g, &stretchDriven{cell: i, manner: held, from: at.u, to: at.u, length: h})
			}
			break
		}
		if at.shift <= 0 && at.gear < len(s.shifts) && at.u >= s.shifts[at.gear] {
			at.gear, at.shift = at.gear+1, s.vehicle.ShiftTime
		}
		m := stretchDriven{cell: i, from: at.u, length: h}
		switch {
		case at.shift > 0:
			s.coast(g, &m, &at)
		case at.u >= g.cap && s.pull(g, g.cap) >= 0:
			m.manner, m.from, m.to = held, g.cap, g.cap
		default:
			if !given {
				next = fullPower
				if s.spare(g, at.u) > 0 {
					next = atGrip
				}
			}
			m.manner = next
			if given = s.push(g, &m, at.gear, k < mostChanges); given {
				next = fullPower + atGrip - next
			}
		}
		at.u = m.to
		for at.gear > 0 && at.u < s.shifts[at.gear-1]/s.vehicle.ShiftStep {
			at.gear--
		}
		h -= m.length
		if record && m.length > 0 {
			s.record(g, &m)
		}
	}
	return at
}

// spare is the power that the friction circle can't put down at u, W/kg;
// negative where power is the limit.
func (s *Solver) spare(g *ground, u float64) float64 {
	v := math.Sqrt(u)
	return s.vehicle.Power.At(v)/s.vehicle.Mass - v*g.hold(u)
}

// pull is the largest acceleration at u, m/s2.
func (s *Solver) pull(g *ground, u float64) float64 {
	v := math.Sqrt(u)
	return min(s.vehicle.Power.At(v)/(s.vehicle.Mass*v), g.hold(u)) - g.against(u)
}

// coast drives through an upshift, or as much of it as fits.
func (s *Solver) coast(g *ground, m *stretchDriven, at *state) {
	m.manner = coasting
	v := math.Sqrt(at.u)
	a := func(v float64) float64 { return -g.against(v * v) }
	t := at.shift
	k1 := a(v)
	k2 := a(v + t/2*k1)
	k3 := a(v + t/2*k2)
	k4 := a(v + t*k3)
	end := v + t/6*(k1+2*k2+2*k3+k4)
	if distance := t*(v+end)/2 + t*t*(k1-a(end))/12; end > 0 && distance <= m.length {
		m.length, m.to, at.shift = max(distance, 0), end*end, 0
	} else {
		m.to = max(linear{-g.gravity, g.drag}.advance(m.from, m.length), 0)
		at.shift = max(at.shift-m.timed(-g.against(m.from), -g.against(m.to)).duration, 0)
	}
	m.to = min(m.to, g.cap)
}

// push drives on power or grip to the end of the stretch or up to where
// something changes. It tells whether power and grip change places there, if
// told to look.
func (s *Solver) push(g *ground, m *stretchDriven, gear int, look bool) (changes bool) {
	if m.manner == atGrip {
		return s.pushAtGrip(g, m, gear, look)
	}
	p, low, high := s.propulsion(g, m.from)
	whole := span{m.from, p.advance(m.from, m.length), m.length}
	m.to = max(whole.to, 0)
	if whole.to > whole.from {
		m.to = min(min(whole.to, s.event(g, gear)), high)
	} else {
		m.to = max(whole.to, low)
	}
	if look && (g.shape != even || whole.to < whole.from) {
		if changes = s.spare(g, m.to) > 1e-12*p.constant; changes {
			m.to = s.change(g, m.from, m.to)
		}
	}
	if m.to != whole.to {
		m.length = s.within(m, p.distance(m.to, whole))
	}
	return changes
}

func (s *Solver) pushAtGrip(g *ground, m *stretchDriven, gear int, look bool) (changes bool) {
	if math.Abs(g.hold(m.from)-g.against(m.from))*m.length <= 1e-11*m.from { // balanced
		m.to = m.from
		return false
	}
	end := g.atTheLimit(m.from, m.length, 1)
	m.to = max(end, 0)
	if end > m.from {
		m.to = min(end, s.event(g, gear))
	}
	middle := (m.from + m.to) / 2
	switch {
	case !look:
	case s.spare(g, middle) < 0:
		m.to, changes = s.change(g, m.from, middle), true
	case s.spare(g, m.to) < 0 && m.to < g.limit:
		m.to, changes = s.change(g, middle, m.to), true
	}
	if m.to != end && end > 0 {
		m.length = s.within(m, g.distanceAtTheLimit(m.to, span{m.from, end, m.length}, 1))
	}
	return changes
}

// within keeps a length within the stretch.
func (s *Solver) within(m *stretchDriven, length float64) float64 {
	if m.to == m.from {
		return 0
	}
	return min(max(length, 0), m.length)
}

// event is the u, on the way up, at which the car shifts or can go no faster.
func (s *Solver) event(g *ground, gear int) float64 {
	if gear < len(s.shifts) {
		return min(g.cap, s.shifts[gear])
	}
	return g.cap
}

// propulsion is the full power at u, and the squares of speed between which it
// is on this stretch of the power curve.
func (s *Solver) propulsion(g *ground, u float64) (p propulsion, low, high float64) {
	v := math.Sqrt(u)
	c := s.vehicle.Power.stretch(v)
	make := func() propulsion {
		return propulsion{c.constant / s.vehicle.Mass, c.slope/s.vehicle.Mass - g.gravity, g.drag}
	}
	if p = make(); u <= c.low*(1+1e-14) && p.rate(u) < 0 {
		c = s.vehicle.Power.stretch(v * (1 - 1e-9))
		p = make()
	}
	return p, c.low, c.high
}

// change returns the u between two at which power and grip change places, by
// bisection, then regula falsi (Illinois). At the first of the two they may be
// even.
func (s *Solver) change(g *ground, from, to float64) float64 {
	low, high := from, to
	a, b := s.spare(g, low), s.spare(g, high)
	side := 0
	for k := 0; k < 80 && math.Abs(high-low) > 1e-14*high; k++ {
		x := (low + high) / 2
		if k > 2 && (a > 0) != (b > 0) {
			if f := (low*b - high*a) / (b - a); f > min(low, high) && f < max(low, high) {
				x = f
			}
		}
		f := s.spare(g, x)
		if (f > 0) == (b > 0) {
			high, b = x, f
			if side == 1 {
				a /= 2
			}
			side = 1
			continue
		}
		low, a = x, f
		if side == -1 {
			b /= 2
		}
		side = -1
	}
	return high
}
