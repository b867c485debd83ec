package sim

import "slices"

// lapShape is what follows from the phases of a lap alone, the same in all realizations
// of a scenario: worked out once and used as long as the phases stay the same.
type lapShape struct {
	lap     []Phase
	alike   []int              // by phase: the first one with the same load, engine running or stopped
	corner  []bool             // by phase: drives liquid oil over, see [Car.inCorner]
	running float64            // s of the nominal lap with the engine running
	first   map[[2]float64]int // phase by load and whether the engine is stopped

	flow []float64 // by phase: (Q/Q1)^n of the present car, 0 without flow
}

// of makes it the shape of a car's lap.
func (s *lapShape) of(car *Car) {
	if slices.Equal(s.lap, car.Lap) {
		return
	}
	s.lap = append(s.lap[:0], car.Lap...)
	s.alike, s.corner, s.running = s.alike[:0], s.corner[:0], 0
	if s.first == nil {
		s.first = map[[2]float64]int{}
	}
	clear(s.first)
	for i, p := range car.Lap {
		key := [2]float64{p.Load, 0}
		if p.Stopped {
			key[1] = 1
		}
		if _, known := s.first[key]; !known {
			s.first[key] = i
		}
		s.alike = append(s.alike, s.first[key])
		s.corner = append(s.corner, car.inCorner(i))
		if !p.Stopped {
			s.running += p.Duration
		}
	}
}

// means returns the means over the nominal lap, engine running, of (Q/Q1)^n and of the
// share of time in corners that drive oil over. It notes the flow's shape by phase.
func (s *lapShape) means(car *Car) (flow, corner float64) {
	s.flow = s.flow[:0]
	for i := range car.Lap {
		p := &car.Lap[i]
		shape := 0.0
		if first := s.alike[i]; first < i {
			shape = s.flow[first]
		} else {
			shape = car.flowShape(car.flow(p))
		}
		s.flow = append(s.flow, shape)
		if shape > 0 {
			flow += p.Duration * shape
			if s.corner[i] {
				corner += p.Duration
			}
		}
	}
	if s.running == 0 {
		return 0, 0
	}
	return flow / s.running, corner / s.running
}
