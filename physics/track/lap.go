package track

import (
	"fmt"
	"math"
)

// Lap is a flying lap: it ends at the speed at which it began.
type Lap struct {
	Time         float64 // s
	Length       float64 // m
	FullThrottle float64 // s at a load of FullThrottleLoad and more
	Samples      []Sample
}

// FullThrottleLoad is the load from which a sample counts as full throttle.
const FullThrottleLoad = 0.99

// Solver drives laps and reuses its memory. It is not safe for concurrent use.
type Solver struct {
	path     *Path
	vehicle  *Vehicle
	copied   Vehicle
	grounds  []ground
	approach []approach
	shifts   []float64 // squares of the upshift speeds, m2/s2
	driven   []Sample
	at       float64 // m driven, from the start of the path
}

// approach is the fastest at which a cell may be driven for the sake of what
// comes: at the cap, then on the brakes for the last arc metres.
type approach struct {
	start, end float64 // v², m2/s2
	arc        float64 // m
}

// NewSolver returns a solver.
func NewSolver() *Solver { return &Solver{} }

// mostLaps is how many laps the speed may take to settle.
const mostLaps = 1000

// Lap drives a flying lap. out is overwritten; its samples keep their memory.
// Errors say what is impossible, of the vehicle or of which cell.
func (s *Solver) Lap(p *Path, v Vehicle, out *Lap) error {
	if p == nil || len(p.Cells) == 0 || len(p.surfaces) != len(p.Cells) {
		return fmt.Errorf("the path is empty: make it with FromPieces or FromCentreLine")
	}
	s.copied = v
	s.path, s.vehicle = p, &s.copied
	if err := s.vehicle.check(); err != nil {
		return err
	}
	s.shifts = v.shiftSpeeds(s.shifts[:0])
	slowest, err := s.lay()
	if err != nil {
		return err
	}
	s.brakeBack(slowest)
	if err := s.driveRound(slowest); err != nil {
		return err
	}
	s.deliver(slowest, out)
	return nil
}

// lay works out the ground of every cell and returns the slowest cell.
func (s *Solver) lay() (slowest int, err error) {
	n := len(s.path.Cells)
	if cap(s.grounds) < n {
		s.grounds, s.approach = make([]ground, n), make([]approach, n)
	}
	s.grounds, s.approach = s.grounds[:n], s.approach[:n]
	v := s.vehicle
	drag := v.AirDensity * v.DragArea / (2 * v.Mass)
	for i := range s.grounds {
		g, from := &s.grounds[i], &s.path.surfaces[i]
		if err := g.set(from, v.Grip, drag, v.TopSpeed*v.TopSpeed); err != nil {
			return 0, fmt.Errorf("cell %d, %.0f m from the start: %w", i+1, from.start, err)
		}
		if g.cap < s.grounds[slowest].cap {
			slowest = i
		}
	}
	return slowest, nil
}

// brakeBack goes round backward from the end of a cell and finds how fast each
// cell may be driven so that the brakes suffice for the next ones.
func (s *Solver) brakeBack(from int) {
	n := len(s.grounds)
	for i := range s.approach {
		s.approach[i].end = math.NaN()
	}
	u := s.grounds[from].cap
	for k := range n * mostLaps {
		i := from - k%n
		if i < 0 {
			i += n
		}
		g, a := &s.grounds[i], &s.approach[i]
		u = min(u, g.cap)
		if math.Abs(a.end-u) <= 1e-13*u {
			return
		}
		a.end = u
		u = a.set(g, s.path.Cells[i].Length)
	}
}

// set works an approach out from its end and returns its start.
func (a *approach) set(g *ground, h float64) float64 {
	a.arc, a.start = h, g.cap
	if a.end >= g.cap && g.hold(g.cap)+g.against(g.cap) >= 0 {
		a.arc = 0
		return a.start
	}
	if u := g.atTheLimit(a.end, h, -1); u < g.cap {
		a.start = u
	} else {
		a.arc = min(g.distanceAtTheLimit(g.cap, span{a.end, u, h}, -1), h)
	}
	return a.start
}

// driveRound drives from the start of a cell until a lap ends as it began. The
// samples are those of the last lap.
func (s *Solver) driveRound(from int) error {
	at := state{u: s.approach[from].start}
	for at.gear < len(s.shifts) && s.shifts[at.gear] <= at.u*s.vehicle.ShiftStep {
		at.gear++
	}
	n := len(s.grounds)
	for range mostLaps {
		begin := at
		s.driven = s.driven[:0]
		for k := range n {
			i := from + k
			if i >= n {
				i -= n
			}
			s.at = s.path.surfaces[i].start
			at = s.driveCell(i, at)
			if err := s.possible(i, at); err != nil {
				return err
			}
		}
		if at.gear == begin.gear && math.Abs(at.u-begin.u) <= 1e-10*at.u && math.Abs(at.shift-begin.shift) < 1e-6 {
			return nil
		}
	}
	return fmt.Errorf("the speed doesn't settle within %d laps: give the vehicle a drag area or a top speed, or the circuit a corner", mostLaps)
}

func (s *Solver) possible(i int, at state) error {
	switch {
	case !(at.u > standstill):
		return fmt.Errorf("cell %d, %.0f m from the start: the car can't climb a slope of %.3g %% there: give more power, or a gentler slope",
			i+1, s.path.surfaces[i].start, 100*s.path.Cells[i].Slope)
	case at.u >= fastestEver:
		return fmt.Errorf("cell %d, %.0f m from the start: the car passes %.0f m/s: give it a drag area or a top speed, or the circuit a corner",
			i+1, s.path.surfaces[i].start, math.Sqrt(fastestEver))
	}
	return nil
}

// driveCell drives one cell: on power until the approach to what comes is met,
// then on the brakes. Once met, it is kept to, as brakes outdo drive.
func (s *Solver) driveCell(i int, at state) state {
	a, h := &s.approach[i], s.path.Cells[i].Length
	at.u = min(at.u, a.start)
	if a.arc >= h && at.u >= a.start*(1-1e-13) {
		return s.brake(i, at, a, h)
	}
	mark, begin := len(s.driven), s.at
	end := s.drive(i, at, h, true)
	if a.arc == 0 || end.u <= a.end*(1+1e-13) {
		end.u = min(end.u, a.end)
		return end
	}
	s.driven, s.at = s.driven[:mark], begin
	x := s.meet(i, at, end.u)
	at = s.drive(i, at, x, true)
	at.u = max(at.u, a.end)
	return s.brake(i, at, a, h-x)
}

// brake drives the last h metres of a cell on the brakes.
func (s *Solver) brake(i int, at state, a *approach, h float64) state {
	if h > 0 {
		s.record(&s.grounds[i], &stretchDriven{cell: i, manner: braking, from: at.u, to: a.end, length: h})
	}
	at.u, at.shift = a.end, 0
	for at.gear > 0 && at.u < s.shifts[at.gear-1]/s.vehicle.ShiftStep {
		at.gear--
	}
	return at
}

// meet returns how far into a cell drive meets the approach, m, by Newton's
// method, bracketed. end is where drive alone would be at the end of the cell.
func (s *Solver) meet(i int, at state, end float64) float64 {
	g, a, h := &s.grounds[i], &s.approach[i], s.path.Cells[i].Length
	low, high := h-a.arc, h
	x, u := h, end
	for range 50 {
		late := x - low // drive is at u here; how far after the approach is
		if u < g.cap {
			late = x - h + g.distanceAtTheLimit(max(u, a.end), span{a.end, a.start, h}, -1)
		}
		if late > 0 {
			high = min(high, x)
		} else {
			low = max(low, x)
		}
		gain := 0.0 // of drive
		if u < g.cap {
			gain = s.pull(g, u)
		}
		next := x - late/(1+gain/(g.hold(u)+g.against(u)))
		if !(next >= low && next <= high) {
			next = (low + high) / 2
		}
		step := math.Abs(next - x)
		x = next
		if step <= 1e-7*h {
			break
		}
		u = s.drive(i, at, x, false).u
	}
	return x
}

// deliver turns the samples round so that the first is the first of the path.
func (s *Solver) deliver(from int, out *Lap) {
	first := 0
	if from > 0 {
		for first < len(s.driven) && s.driven[first].Distance >= s.path.surfaces[from].start {
			first++
		}
	}
	out.Samples = append(append(out.Samples[:0], s.driven[first:]...), s.driven[:first]...)
	out.Length, out.Time, out.FullThrottle = s.path.Length, 0, 0
	for i := range out.Samples {
		x := &out.Samples[i]
		x.Time = out.Time
		out.Time += x.Duration
		if x.Load >= FullThrottleLoad {
			out.FullThrottle += x.Duration
		}
	}
}
