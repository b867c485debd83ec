package sim

import (
	"math"

	"sumpward/physics"
)

// How far the head may lie off its secant in a cell of a column below the oil:
// 6 µm of oil, and a share of the head that drives.
const (
	columnTolerance = 0.05 // Pa
	columnRelative  = 2e-4
)

// columnHead is the head in Pa that moves the column of a covered return:
// positive drives it down, negative draws sump oil up.
func (k *Kernel) columnHead(mass float64) float64 {
	op := k.piece.op
	down := op.descent.Down(op.toSurface + (mass+k.piece.slip)/(k.oil.sumpDensity*k.car.Drain.SumpArea))
	return k.head(mass, down.Fall, down.Rise) - op.against
}

// columnFlow is what that head drives, m3/s, down positive.
func (k *Kernel) columnFlow(head float64) float64 {
	if head < 0 && k.car.Drain.Valve {
		return 0
	}
	return physics.DrainFlow(k.oil.a, k.oil.b, head)
}

// moveColumn goes one stretch of a covered return below the oil: over a cell the
// head is taken as linear in the mass, which Lambert's W solves exactly, down
// as up. The sump's surface moves with what is in the hose, so that the head
// bends a little: a few cells span the hose.
func (k *Kernel) moveColumn(s *segment, up bool, left float64) float64 {
	edge := s.low
	if up {
		edge = s.high
	}
	reach := edge - k.mass
	step := math.Copysign(min(math.Abs(reach), k.cell), reach)
	start := k.columnHead(k.mass)
	thin := thinnestCell * (s.high - s.low)
	var end float64
	for {
		end = k.columnHead(k.mass + step)
		if start*end < 0 { // a cell runs one way only
			if zero := k.zeroOfColumn(step, start, end); math.Abs(zero) > thin {
				step, end = zero, 0
			} else {
				start = 0
			}
		}
		middle := k.columnHead(k.mass + step/2)
		if math.Abs(step) <= thin || math.Abs((start+end)/2-middle) <= columnTolerance+columnRelative*math.Abs(start+end) {
			break
		}
		step /= 2
	}
	k.cell = max(2*math.Abs(step), thin)
	to := k.mass + step
	if step == reach {
		to = edge
	}
	k.startColumn(start, end, step)
	return k.run(to, left)
}

// zeroOfColumn is the step in mass at which the column's head vanishes, between
// here, where it is start, and a step at which it is end.
func (k *Kernel) zeroOfColumn(step, start, end float64) float64 {
	near, far := 0.0, step
	zero := far * start / (start - end)
	for range 40 {
		head := k.columnHead(k.mass + zero)
		if math.Abs(head) < 1e-9 {
			break
		}
		if head*start > 0 {
			near, start = zero, head
			end /= 2 // Illinois: the other end must move too
		} else {
			far, end = zero, head
			start /= 2
		}
		zero = near + (far-near)*start/(start-end)
	}
	return zero
}

// startColumn prepares the stretch of a cell whose head goes from start to end
// over a step in mass.
func (k *Kernel) startColumn(start, end, step float64) {
	st := &k.stretch
	*st = stretch{mass: k.mass, in: k.piece.caught, crankcase: k.piece.op.gas.crankcase}
	if start+end <= 0 && k.car.Drain.Valve {
		st.heldShare = 1
		return
	}
	st.kind = quadratic
	st.upward = start+end < 0
	st.n1 = (end - start) / step
	st.n0 = start - st.n1*k.mass
	st.a, st.b, st.density = k.oil.a, k.oil.b, k.oil.hoseDensity
	st.startQuadratic()
}
