package sim

import (
	"fmt"
	"math"

	"sumpward/physics"
	"sumpward/physics/track"
	"sumpward/scenarios"
)

// duty settles what the engine does.
func (b *binding) duty(c *Car) error {
	d := &b.s.Duty
	c.Lap, c.Laps, c.Pattern = c.Lap[:0], append(c.Laps[:0], 0), nil
	c.Spread = b.of(d.LapVariation)
	b.schedule(c)
	switch {
	case d.Pattern != nil:
		p := d.Pattern
		share, burst := b.of(p.FullThrottle), b.of(p.Burst)
		share = min(max(share, 1e-3), 1-1e-3)
		rest := burst * (1 - share) / share
		c.Pattern = &Pattern{Burst: burst, Rest: rest, Spread: b.of(p.BurstSpread)}
		c.Lap = append(c.Lap, Phase{Duration: burst, Load: 1}, Phase{Duration: rest, Load: b.of(p.LoadOtherwise)})
	case d.Log != nil:
		for _, p := range d.Log.Phases {
			c.Lap = append(c.Lap, Phase{Duration: p.Duration, Load: p.Load, Forward: p.Forward, Left: p.Left, Stopped: p.EngineStopped})
		}
		c.Laps = append(c.Laps[:0], d.Log.Report.LapStarts...)
	case d.Circuit != nil:
		return b.driven(c)
	default:
		for _, p := range d.Lap {
			c.Lap = append(c.Lap, Phase{
				Duration: b.of(p.For), Load: b.of(p.Load),
				Forward: b.of(p.Forward), Left: b.of(p.Left), Stopped: p.Stopped,
			})
		}
	}
	return nil
}

// schedule settles stints and stops. A stop that takes no time and at which
// nothing is done is none: the stints before and after it are one.
func (b *binding) schedule(c *Car) {
	d := &b.s.Duty
	c.Schedule = nil
	if len(d.Schedule) == 0 && d.SlowLaps == nil {
		return
	}
	s := &b.plan
	c.Schedule = s
	*s = Schedule{Items: s.Items[:0]}
	if e := b.s.Drain.Emptied; e.AtStops {
		s.EmptyNth = max(e.Nth, 1)
	}
	for _, i := range d.Schedule {
		item := ScheduleItem{
			Duration: b.of(i.Stop), Stop: true, EngineRuns: i.EngineRuns,
			StopActions: StopActions{Emptied: i.Emptied, ToppedUp: i.ToppedUp},
		}
		if i.Drive != nil {
			item = ScheduleItem{Duration: b.of(i.Drive)}
		}
		n := len(s.Items)
		switch {
		case item.Stop && item.Duration == 0 && !item.any() && s.EmptyNth == 0:
		case !item.Stop && n > 0 && !s.Items[n-1].Stop:
			s.Items[n-1].Duration += item.Duration
		default:
			s.Items = append(s.Items, item)
		}
	}
	if len(s.Items) == 0 {
		s.Items = append(s.Items, ScheduleItem{Duration: math.Inf(1)})
	}
	if l := d.SlowLaps; l != nil {
		s.Slow = SlowLaps{Chance: b.of(l.Chance), Mean: b.of(l.For), Spread: b.of(l.Spread), Load: b.of(l.Load)}
	}
}

// circuitBinding is a circuit made ready to be driven.
type circuitBinding struct {
	path   *track.Path // the same for all; not changed
	fit    track.Fit   // of a centre line
	solver *track.Solver
	lap    track.Lap
	phases []track.Phase
	curve  track.PowerCurve
	exact  bool // every realization drives the same lap
	driven bool // the lap has been driven
}

func (c circuitBinding) copy() circuitBinding {
	return circuitBinding{path: c.path, fit: c.fit, exact: c.exact}
}

// layCircuit makes the path of a circuit.
func (b *binding) layCircuit() error {
	d := b.s.Duty.Circuit
	if d == nil {
		return nil
	}
	b.circuit.exact = b.circuitIsExact()
	var err error
	if d.CentreLine != nil {
		points := make([]track.Centre, len(d.CentreLine.Points))
		for i, p := range d.CentreLine.Points {
			points[i] = track.Centre{X: p[0], Y: p[1], Z: p[2]}
		}
		b.circuit.path, b.circuit.fit, err = track.FromCentreLine(points, track.Smoothing{Error: surveyError(d.CentreLine)}, track.DefaultStep)
		if err != nil {
			return fmt.Errorf("duty.circuit.centre_line: %w", err)
		}
		return nil
	}
	pieces := make([]track.Piece, len(d.Segments))
	for i, s := range d.Segments {
		pieces[i] = track.Piece{Length: s.Length, Slope: s.Gradient, Banking: s.Banking}
		if s.Radius > 0 {
			pieces[i].Curvature = 1 / s.Radius
			if s.Right {
				pieces[i].Curvature = -1 / s.Radius
			}
		}
	}
	if b.circuit.path, err = track.FromPieces(pieces, track.DefaultStep); err != nil {
		return fmt.Errorf("duty.circuit.segments: %w", err)
	}
	return nil
}

// surveyError is how far a point may be off, m, or that it isn't known.
func surveyError(line *scenarios.CentreLine) float64 {
	if line.SurveyError < 0 {
		return track.ErrorUnknown
	}
	return line.SurveyError
}

// lowestShift is the speed in m/s below which a gearbox is left in its lowest
// gear; common practice, no source.
const lowestShift = 30 / 3.6

// vehicle settles the car as a point mass.
func (b *binding) vehicle() track.Vehicle {
	t := &b.s.Duty.Circuit.Car
	c := &b.circuit
	c.curve = c.curve[:0]
	if t.Power != nil {
		c.curve = append(c.curve, track.PowerPoint{Power: b.of(t.Power)})
	}
	for _, p := range t.Curve {
		c.curve = append(c.curve, track.PowerPoint{Speed: b.of(p.Speed), Power: b.of(p.Power)})
	}
	return track.Vehicle{
		Mass: b.of(t.Mass), Power: c.curve, Grip: b.of(t.Grip) * b.of(t.Driver),
		DragArea: b.of(t.DragArea), AirDensity: physics.AirDensity(physics.StandardPressure, b.of(b.s.Oil.Ambient)),
		TopSpeed: b.or(t.TopSpeed, math.Inf(1)), ShiftTime: b.of(t.ShiftTime), ShiftStep: b.of(t.ShiftStep),
		LowestShift: lowestShift,
	}
}

// driven drives the circuit and cuts the lap into phases.
func (b *binding) driven(c *Car) error {
	t := &b.circuit
	if !t.driven || !t.exact {
		if err := b.drive(); err != nil {
			return err
		}
		t.phases = t.lap.Phases(track.Tolerance{}, t.phases[:0])
		t.driven = true
	}
	for _, p := range t.phases {
		c.Lap = append(c.Lap, Phase{Duration: p.Duration, Load: p.Load, Forward: p.Forward, Left: p.Left})
	}
	return nil
}

// drive drives one lap of the circuit with the car as it is settled.
func (b *binding) drive() error {
	t := &b.circuit
	if t.solver == nil {
		t.solver = track.NewSolver()
	}
	if err := t.solver.Lap(t.path, b.vehicle(), &t.lap); err != nil {
		return fmt.Errorf("duty.circuit: %w", err)
	}
	return nil
}

// circuitIsExact reports whether nothing that the lap follows from is uncertain.
func (b *binding) circuitIsExact() bool {
	t := &b.s.Duty.Circuit.Car
	list := []*scenarios.Quantity{
		t.Mass, t.Power, t.Grip, t.Driver, t.DragArea, t.TopSpeed, t.ShiftTime, t.ShiftStep, b.s.Oil.Ambient,
	}
	for _, p := range t.Curve {
		list = append(list, p.Speed, p.Power)
	}
	for _, q := range list {
		if !q.IsExact() {
			return false
		}
	}
	return true
}
