package sim

import (
	"fmt"

	"sumpward/physics"
)

// Most stretches that one piece may take. A piece takes a handful; a curved
// balance some hundred. More means that the walk hangs at a regime's edge.
const mostStretches = 20000

// advance lets the piece run for dt seconds, or less where the sump's surface
// falls too far meanwhile.
func (k *Kernel) advance(dt float64) error {
	left := dt
	for n := 0; left > 0; n++ {
		if n > mostStretches {
			return fmt.Errorf("oil balance hangs at %.6g kg after %g s (%d steps in %g s)", k.mass, k.now, n, dt)
		}
		s, up := k.heading()
		if k.err != nil {
			return k.err
		}
		if s == nil {
			k.rest(left)
			return k.err
		}
		took := k.move(s, up, left)
		if !(took >= 0) {
			return fmt.Errorf("oil balance loses its way at %.6g kg after %g s", s.low, k.now)
		}
		left -= took
	}
	return k.err
}

// heading finds the segment that the mass moves into, and which way; nil where
// it rests: at an equilibrium, or at an edge that both sides push towards.
func (k *Kernel) heading() (s *segment, up bool) {
	p := &k.piece
	i := p.n - 1
	for i > 0 && k.mass < p.segments[i].low {
		i--
	}
	s = &p.segments[i]
	if k.mass < s.high {
		if net := k.net(s); net > 0 {
			return s, true
		} else if net < 0 && k.mass > s.low {
			return s, false
		} else if net == 0 && k.mass > s.low {
			return nil, false
		}
		if i == 0 {
			return nil, false
		}
		s = &p.segments[i-1]
	}
	if k.net(s) < 0 {
		return s, false
	}
	return nil, false
}

// net is the balance in kg/s at the present mass, as segment s has it.
func (k *Kernel) net(s *segment) float64 {
	switch s.regime {
	case held:
		return k.piece.caught
	case running:
		return k.piece.caught - k.oil.hoseDensity*physics.DrainFlow(k.oil.a, k.oil.b, s.n0+s.n1*k.mass)
	case flooded:
		return k.piece.caught - s.out
	case swaying:
		return k.piece.caught - k.oil.hoseDensity*k.columnFlow(k.columnHead(k.mass))
	default:
		return k.here(s).net()
	}
}

// move goes one stretch up or down within a segment, for at most left seconds;
// it returns the time it took.
func (k *Kernel) move(s *segment, up bool, left float64) float64 {
	switch s.regime {
	case curved:
		return k.moveCell(s, up, left)
	case swaying:
		return k.moveColumn(s, up, left)
	}
	st := &k.stretch
	*st = stretch{mass: k.mass, in: k.piece.caught, crankcase: k.crankcase(), crankcaseSlope: k.piece.weighs}
	if s.regime == running {
		st.kind = quadratic
		st.n0, st.n1, st.density = s.n0, s.n1, k.oil.hoseDensity
		st.a, st.b = k.oil.a, k.oil.b
		st.startQuadratic()
	} else { // held, or flooded
		st.out = s.out
		if s.out <= heldRate {
			st.heldShare = 1
		}
	}
	edge := s.low
	if up {
		edge = s.high
	}
	return k.run(edge, left)
}

// run lets the prepared stretch go until it reaches an edge or time is up.
func (k *Kernel) run(edge, left float64) float64 {
	st := &k.stretch
	st.duration = st.timeTo(edge)
	var mass, drained float64
	early := st.duration >= left
	if early {
		st.duration = left
		mass, drained = st.at(left)
		early = mass == edge || mass < edge == (st.mass < edge)
	}
	if !early { // also where nothing but rounding carries the mass over the edge
		mass, drained = edge, st.arrive(edge, left)
	}
	k.book(mass, drained)
	return st.duration
}

// rest stands still for dt seconds: at a floor, an equilibrium, an edge, or at
// the brim with the rest going over. What goes over lowers the sump's surface,
// so that below the oil it stands for a step of the surface at most.
func (k *Kernel) rest(dt float64) {
	p, s := &k.piece, k.segmentAt(k.mass)
	st := &k.stretch
	*st = stretch{mass: k.mass, duration: dt}
	var capacity float64
	st.in, capacity, st.crankcase = k.balanceAt(s)
	if capacity <= heldRate {
		st.heldShare = 1
	}
	if above := k.segmentAbove(s); above != nil {
		k.switchOver(above, st.in-capacity)
	}
	st.out = st.in
	if k.mass >= p.full {
		st.out = min(capacity, st.in)
		st.over = st.in - st.out
	}
	if st.over > 0 && k.car.Drain.Kind == BelowOil {
		st.duration = min(dt, k.steadySump(p.op, st.over))
	}
	_, drained := st.at(st.duration)
	k.book(k.mass, drained)
}

// balanceAt is what the can catches and what the drain would carry, kg/s, and
// the crankcase's pressure in Pa, at the present mass as segment s has it.
func (k *Kernel) balanceAt(s *segment) (in, out, crankcase float64) {
	p := &k.piece
	in, crankcase = p.caught, k.crankcase()
	switch s.regime {
	case running:
		out = k.oil.hoseDensity * physics.DrainFlow(k.oil.a, k.oil.b, s.n0+s.n1*k.mass)
	case swaying:
		out = k.oil.hoseDensity * k.columnFlow(k.columnHead(k.mass))
	case flooded:
		out = s.out
	case curved:
		r := k.here(s)
		in, out, crankcase = r.in, r.out, r.crankcase
	}
	return in, out, crankcase
}

// crankcase is the crankcase's pressure in Pa at the present mass, where nothing bends.
func (k *Kernel) crankcase() float64 {
	p := &k.piece
	return p.op.gas.crankcase + p.weighs*max(0, k.mass-p.bottom)
}

// segmentAbove is the segment that begins where the mass stands at the end of
// segment s; nil where there is none.
func (k *Kernel) segmentAbove(s *segment) *segment {
	p := &k.piece
	for i := range p.n - 1 {
		if s == &p.segments[i] && k.mass >= s.high {
			return &p.segments[i+1]
		}
	}
	return nil
}

// switchOver mixes the rest at an edge that both sides push towards, up kg/s
// from below: the drain switches between the two, so often on average that the
// mass stays.
func (k *Kernel) switchOver(above *segment, up float64) {
	in, out, crankcase := k.balanceAt(above)
	down := out - in
	if up <= 0 || down <= 0 {
		return
	}
	st := &k.stretch
	share := up / (up + down)
	st.in += share * (in - st.in)
	st.crankcase += share * (crankcase - st.crankcase)
	st.heldShare *= 1 - share
	if out <= heldRate {
		st.heldShare += share
	}
}
