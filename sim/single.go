package sim

import (
	"fmt"

	"sumpward/physics"
)

// Single runs single realizations at stated places in the unit cube. It reuses
// its memory and is not safe for concurrent use.
type Single struct {
	model   *Model
	settler *settler
	kernel  *Kernel
	u       []float64
	column  [][]float64 // u, one a row
	car     *Car
	out     Outcome
}

// Single returns a runner of single realizations.
func (m *Model) Single() *Single {
	s := &Single{model: m, settler: m.settler(), kernel: NewKernel(), u: make([]float64, len(m.uncertain))}
	for i := range s.u {
		s.column = append(s.column, s.u[i:i+1])
	}
	return s
}

// Settle settles a car at a place in the open unit cube, one coordinate for each
// uncertain input in the order of [Model.Uncertain], before rank correlations
// are laid over them. The car is valid until the next call.
func (s *Single) Settle(u []float64) (*Car, error) {
	if len(u) != len(s.u) {
		return nil, fmt.Errorf("a place of %d coordinates for %d uncertain inputs", len(u), len(s.u))
	}
	copy(s.u, u)
	s.model.copula.ApplyPoint(s.u)
	var err error
	s.car, err = s.settler.settle(s.column, 0)
	return s.car, err
}

// Value returns the value of an uncertain input as it was settled last, SI.
func (s *Single) Value(input int) float64 {
	return s.settler.binding.v[s.model.uncertain[input].ID]
}

// Realize drives the settled car for sessions of these lengths in s, ascending
// (nil: the scenario's), with the luck of laps and stints that goes with (seed,
// luck). The outcome is valid until the next call.
func (s *Single) Realize(seed, luck uint64, sessions []float64) (*Outcome, error) {
	stated := s.car.Sessions
	if sessions != nil {
		s.car.Sessions = sessions
	}
	err := s.kernel.Realize(s.car, seed, luck, &s.out)
	s.car.Sessions = stated
	return &s.out, err
}

// Pressure is what gauges would read in one moment, can empty and oil settled.
type Pressure struct {
	Crankcase float64 // Pa gauge
	Can       float64 // Pa gauge, on the side that the drain sees
	Outlet    float64 // Pa gauge, where the outlet ends
	GasUp     float64 // m3/s up an unsealed drain
	Column    float64 // m of oil that the difference between crankcase and can holds up in the hose
}

// Pressure returns what gauges would read on the settled car at a load of 0..1 on
// a straight.
func (s *Single) Pressure(load float64) (Pressure, error) {
	k := s.kernel
	if err := k.prepare(s.car, &s.out); err != nil {
		return Pressure{}, err
	}
	k.oilAt(s.car.Oil.Settled)
	if err := k.operatingPoint(&k.hand, Phase{Load: load}, oilRate{}, nil); err != nil {
		return Pressure{}, err
	}
	g := k.hand.gas
	return Pressure{
		Crankcase: g.crankcase, Can: g.crankcase - g.drive, Outlet: k.hand.outletPressure, GasUp: g.upDrain,
		Column: physics.ColumnHeight(g.drive, k.oil.hoseDensity),
	}, nil
}

// PourHorizon is the longest time that a pour is watched, s.
const PourHorizon = 1800

// Pour returns how many seconds it takes until the can stands empty after a
// volume in m3 of oil free of gas, at a temperature in K, was poured into it with
// the engine off and the car level, the hose empty before; [Never] when it has
// not run away within [PourHorizon], or there is no drain. More than the can holds
// is taken for what it holds. A return below the oil is taken to end in air.
func (s *Single) Pour(volume, temperature float64) (float64, error) {
	if s.car.Drain.Kind == NoDrain {
		return Never, nil
	}
	k, car := s.kernel, *s.car
	car.Oil.Aeration = 0
	car.Oil.Ambient, car.Oil.Start, car.Oil.Settled = temperature, temperature, temperature
	car.Lap, car.Laps, car.Pattern, car.Schedule = []Phase{{Duration: PourHorizon, Stopped: true}}, []int{0}, nil, nil
	car.Sessions = []float64{PourHorizon}
	if car.Drain.Kind == BelowOil {
		car.Drain.Kind, car.Drain.Surface = Sealed, nil
	}
	if err := k.prepare(&car, &s.out); err != nil {
		return 0, err
	}
	k.enter(&k.points[0])
	k.layOut(&k.points[0])
	k.mass = min(volume*k.oil.sumpDensity, k.piece.full)
	return k.runsEmpty(k.piece.bottom + leastPoured)
}

// runsEmpty goes on until a mass in kg is left in hose and can, in steps that grow
// while it lasts and shrink again where it is passed.
func (k *Kernel) runsEmpty(empty float64) (float64, error) {
	for step := pourStep; k.mass > empty; {
		before, mass := k.now, k.mass
		if err := k.runPiece(min(k.nextCut(PourHorizon, PourHorizon), k.now+step)); err != nil {
			return 0, err
		}
		switch {
		case k.mass <= empty && step <= pourStep:
			return before + (k.now-before)*(mass-empty)/(mass-k.mass), nil
		case k.mass <= empty:
			k.now, k.mass = before, mass
			step = max(step/8, pourStep)
		case k.mass == mass || k.now >= PourHorizon: // held, or too slow
			return Never, nil
		default:
			step *= 1.5
		}
	}
	return k.now, nil
}

// When a can counts as run empty, and the first steps in which that is looked for.
const (
	leastPoured = 1e-3 // kg
	pourStep    = 0.1  // s
)

// Density15 returns the settled car's oil density at 15 °C, kg/m3.
func (s *Single) Density15() float64 { return s.car.Oil.Density15 }

// OilDensity returns the settled car's oil density at a temperature in K, kg/m3.
func (s *Single) OilDensity(temperature float64) float64 {
	return physics.OilDensity(s.car.Oil.Density15, temperature)
}

// Drains reports whether caught oil runs back by itself.
func (s *Single) Drains() bool { return s.car.Drain.Kind != NoDrain }

// StandardGravity is g, m/s2.
const StandardGravity = physics.StandardGravity
