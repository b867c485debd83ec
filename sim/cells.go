package sim

import "math"

// Tolerance of a secant cell, in kg/s of the drain's flow or the inflow: a bias
// of this size over an hour is 0.7 g. Where the balance is far from even the
// mass moves fast, and a share of the net rate is allowed on top.
const (
	cellTolerance  = 2e-7
	cellRelative   = 4e-4
	thinnestCell   = 1e-7 // of the segment
	pressureInCell = 0.5  // Pa of crankcase pressure off its secant
	pressureShare  = 1e-5 // of the pressure, on top
)

// moveCell goes one secant cell: over it the drain's flow and the inflow are
// taken as linear in the mass, which the exponential solves exactly. The next
// cell's size follows from how far this one was off, which grows as its square.
func (k *Kernel) moveCell(s *segment, up bool, left float64) float64 {
	edge := s.low
	if up {
		edge = s.high
	}
	reach := edge - k.mass
	step := math.Copysign(min(math.Abs(reach), k.cell), reach)
	thin := thinnestCell * (s.high - s.low)
	start := k.here(s)
	end := k.ratesAt(k.mass+step, s)
	off := 0.0
	for {
		middle := k.ratesAt(k.mass+step/2, s)
		off = offSecant(start, middle, end)
		if k.err != nil || off <= 1 || math.Abs(step) <= thin {
			break
		}
		step, end = step/2, middle
	}
	k.cell = max(math.Abs(step)*min(0.9/math.Sqrt(max(off, 0.01)), 4), thin)
	st := &k.stretch
	*st = stretch{
		kind: exponential, mass: k.mass,
		in0: start.in, in1: (end.in - start.in) / step,
		out0: start.out, out1: (end.out - start.out) / step,
		crankcase: start.crankcase, crankcaseSlope: (end.crankcase - start.crankcase) / step,
	}
	to := k.mass + step
	if step == reach {
		to = edge
	}
	took := k.run(to, left)
	if k.mass == to {
		k.last = lastRates{s, to, end}
	}
	return took
}

// lastRates are the rates at the end of the last cell, for the start of the next.
type lastRates struct {
	segment *segment
	mass    float64
	rates   rates
}

// here is the balance at the present mass in a curved segment.
func (k *Kernel) here(s *segment) rates {
	if k.last.segment != s || k.last.mass != k.mass {
		k.last = lastRates{s, k.mass, k.ratesAt(k.mass, s)}
	}
	return k.last.rates
}

// offSecant is how far the middle of a cell lies off its secant, over what is
// allowed.
func offSecant(a, m, b rates) float64 {
	tolerance := cellTolerance
	if (a.out <= heldRate) == (b.out <= heldRate) { // else the moment that it is held from counts
		tolerance += cellRelative * (math.Abs(a.net()) + math.Abs(b.net()))
	}
	return max(
		math.Abs((a.out+b.out)/2-m.out)/tolerance,
		math.Abs((a.in+b.in)/2-m.in)/tolerance,
		math.Abs((a.crankcase+b.crankcase)/2-m.crankcase)/(pressureInCell+pressureShare*math.Abs(m.crankcase)))
}
