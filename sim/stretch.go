package sim

import (
	"math"

	"sumpward/physics"
)

// stretch is a part of a piece with one closed form: mass and what was drained
// are known at any time within it.
type stretch struct {
	kind      stretchKind
	mass      float64 // kg at its start
	in        float64 // kg/s caught, constant (straight, quadratic)
	out       float64 // kg/s drained (straight)
	over      float64 // kg/s over the top (straight)
	heldShare float64 // of the time, for which the drain does not run (straight)
	duration  float64 // s

	// quadratic: N = n0 + n1 M = a q + b q²
	n0, n1, a, b, density float64
	upward                bool    // the drain runs backwards: N = a q - b q²
	inflow                float64 // m3/s
	q0, y0                float64 // m3/s at the start: the flow, and its excess over the inflow
	c, s                  float64 // Pa·s/m3, Pa/m3
	perN1                 float64 // kg/Pa

	// exponential: in = in0 + in1 m, out = out0 + out1 m, m from the start
	in0, in1, out0, out1 float64

	crankcase, crankcaseSlope float64 // Pa, Pa/kg
}

type stretchKind uint8

const (
	straight stretchKind = iota
	quadratic
	exponential
)

// startQuadratic prepares the exact solution of a drain with laminar and
// quadratic loss under a head that is linear in the mass. With y the drain flow
// minus the inflow, c = a + 2 b inflow and s = dN/dV:
//
//	t = [c ln(y0/y1) + 2 b (y0 - y1)]/s
//
// (derived: dN/dt = -s y; inverted by Lambert's W). Where the drain runs
// backwards the loss is a q - b q², and b changes its sign.
func (st *stretch) startQuadratic() {
	st.q0 = physics.DrainFlow(st.a, st.b, st.n0+st.n1*st.mass)
	st.inflow = st.in / st.density
	st.y0 = st.q0 - st.inflow
	if st.upward {
		st.b = -st.b
	}
	st.c = st.a + 2*st.b*st.inflow
	st.s = st.density * st.n1
	st.perN1 = 1 / st.n1
}

// flowAt is the drain's flow in m3/s at a mass.
func (st *stretch) flowAt(mass float64) float64 {
	return physics.DrainFlow(st.a, math.Abs(st.b), st.n0+st.n1*mass)
}

// timeTo is the time in s until a mass in kg is reached, +Inf if never.
func (st *stretch) timeTo(mass float64) float64 {
	switch st.kind {
	case straight:
		return reach(mass-st.mass, st.in-st.out-st.over)
	case quadratic:
		return st.quadraticTimeTo(mass)
	default:
		net, slope := st.in0-st.out0, st.in1-st.out1
		return net0Time(mass-st.mass, net, slope)
	}
}

// arrive sets the last digits of the duration, of the seconds left at the most, so that
// the mass is at an edge then, and returns what was drained, kg. Where the time is the
// difference of two large ones it has lost them. What the mass is off still, if no more
// than digits that a flow can't tell, was drained.
func (st *stretch) arrive(edge, left float64) (drained float64) {
	mass, drained := st.at(st.duration)
	for range 2 {
		late := (mass - edge) / (st.rateIn(edge) - st.drainRate(edge) - st.over)
		if math.Abs(mass-edge) <= 1e-15*math.Abs(edge) || !(math.Abs(late) <= 1e-3*st.duration) || st.duration-late > left {
			break
		}
		st.duration -= late
		mass, drained = st.at(st.duration)
	}
	if off := mass - edge; math.Abs(off) <= 1e-11*math.Abs(edge) {
		drained += off
	}
	return drained
}

// rateIn is what the can catches in kg/s when the stretch is at a mass.
func (st *stretch) rateIn(mass float64) float64 {
	if st.kind == exponential {
		return st.in0 + st.in1*(mass-st.mass)
	}
	return st.in
}

// nearlySteady is the relative change of the excess flow over a stretch below
// which logarithms lose digits, and a series serves.
const nearlySteady = 1e-4

func (st *stretch) quadraticTimeTo(mass float64) float64 {
	y := st.flowAt(mass) - st.in/st.density
	if y*st.y0 <= 0 { // the equilibrium lies before it
		return Never
	}
	if math.Abs(y-st.y0) < nearlySteady*math.Abs(st.y0) {
		// Simpson's rule on dt = -dV/y
		middle := st.flowAt((mass+st.mass)/2) - st.in/st.density
		return positive((st.mass - mass) / st.density * (1/st.y0 + 4/middle + 1/y) / 6)
	}
	return positive((st.c*math.Log(st.y0/y) + 2*st.b*(st.y0-y)) / st.s)
}

// positive is a time that lies ahead; what lies behind never comes.
func positive(t float64) float64 {
	if t >= 0 {
		return t
	}
	return Never
}

// reach is the time to cover a distance at a speed.
func reach(distance, speed float64) float64 {
	if distance == 0 {
		return 0
	}
	if t := distance / speed; t > 0 {
		return t
	}
	return Never
}

// net0Time solves m(t) = distance for m' = net + slope m, m(0) = 0.
func net0Time(distance, net, slope float64) float64 {
	if math.Abs(slope*distance) < 1e-12*math.Abs(net) {
		return reach(distance, net)
	}
	x := slope * distance / net
	if x <= -1 {
		return Never
	}
	if t := math.Log1p(x) / slope; t >= 0 {
		return t
	}
	return Never
}

// at returns the mass in kg and the oil drained since the start in kg, after t
// seconds. The two are integrated apart from each other.
func (st *stretch) at(t float64) (mass, drained float64) {
	switch st.kind {
	case straight:
		return st.mass + (st.in-st.out-st.over)*t, st.out * t
	case quadratic:
		mass, drained, _ = st.quadraticAt(t)
		return mass, drained
	default:
		m, _, drained := st.exponentialAt(t)
		return st.mass + m, drained
	}
}

// exponentialAt returns what has come to hose and can after t seconds of an exponential
// stretch, and what was caught and drained meanwhile, kg. Long after it has settled both
// go on at the rate at which they are equal: as the sum of two large numbers that would
// lose digits.
func (st *stretch) exponentialAt(t float64) (m, caught, drained float64) {
	slope, net := st.in1-st.out1, st.in0-st.out0
	x := slope * t
	m = net * t * expm1Over(x)
	if math.Abs(x) > 1 {
		settled := (st.out0*st.in1 - st.out1*st.in0) / slope * t
		return m, settled + st.in1/slope*m, settled + st.out1/slope*m
	}
	area := net * t * t * expm1Over2(x)
	return m, st.in0*t + st.in1*area, st.out0*t + st.out1*area
}

// quadraticAt returns the mass in kg, what was drained in kg, and the drain's flow in m3/s,
// after t seconds of a quadratic stretch.
func (st *stretch) quadraticAt(t float64) (mass, drained, flow float64) {
	if st.y0 == 0 { // balanced, also where it would run away from that
		return st.mass, st.in * t, st.q0
	}
	d := st.a + 2*st.b*st.q0
	if math.Abs(st.s*t)*max(math.Abs(d), math.Abs(st.c)) < nearlySteady*d*d {
		e := st.s * t / d
		v := st.y0 * t * (1 - e/2*(1-e*st.c/(3*d)))
		return st.mass - st.density*v, st.density * (st.inflow*t + v), st.inflow + st.y0*(1-e*(1-e*st.c/(2*d)))
	}
	var y float64
	perC := 1 / st.c
	x, w := st.s*t*perC, 2*st.b*st.y0*perC
	switch {
	case math.Abs(st.c) < noLaminar*math.Abs(st.b*st.y0):
		y = st.y0 - st.s*t/(2*st.b)
	case x-max(w, 0) > decayed: // y is 0
	case st.b == 0:
		y = st.y0 * math.Exp(-x)
	default:
		y = st.c / (2 * st.b) * lambertDecay(w, x)
	}
	q := y + st.inflow
	if math.Abs(d) < nearBranch*math.Abs(st.c) {
		q = st.q0 + st.refined(q-st.q0, d, t)
	}
	change := (st.q0 - q) * (st.a + st.b*(st.q0+q)) // of N, Pa
	mass = (st.a*q + st.b*q*q - st.n0) * st.perN1
	if math.Abs(st.n0) > farOff*math.Abs(st.n1*mass) {
		mass = st.mass - change*st.perN1
	}
	return mass, st.in*t + change*st.perN1, q
}

// nearBranch is d over c below which Lambert's function is so near its branch point that
// its value loses digits: a drain that carries little of a large inflow, at quadratic loss.
const nearBranch = 0.05

// refined is the change of the flow in m3/s over t seconds, of which an approximation is
// known, by Newton's method on
//
//	d δ/z + c (-ln(1 - δ/z) - δ/z) = s t,  z = inflow - q0,  d = a + 2 b q0
//
// in which nothing large is taken from something large (derived).
func (st *stretch) refined(change, d, t float64) float64 {
	z := -st.y0
	for range 3 {
		u := change / z
		if !(u < 1) {
			break
		}
		off := d*u + st.c*logarithmBeyond(u) - st.s*t
		change -= off * (z - change) / (d + 2*st.b*change)
	}
	return change
}

// logarithmBeyond is -ln(1 - u) - u.
func logarithmBeyond(u float64) float64 {
	if math.Abs(u) > 0.01 {
		return -math.Log1p(-u) - u
	}
	return u * u * (1./2 + u*(1./3+u*(1./4+u*(1./5+u*(1./6+u*(1./7+u/8))))))
}

// farOff is how many times the head that depends on the oil mass the rest of it may be,
// before the mass that goes with a head loses digits.
const farOff = 100

// noLaminar is c over 2 b y0 below which c is nothing. A drain that runs backwards
// comes by it on the way to c < 0, where the inflow is large.
const noLaminar = 1e-12

// decayed is the time, over the time constant, after which less than 1e-20 of an excess
// flow is left.
const decayed = 46

// drainRate is what the drain carries in kg/s when the stretch is at a mass.
func (st *stretch) drainRate(mass float64) float64 {
	switch st.kind {
	case straight:
		return st.out
	case quadratic:
		return st.density * st.flowAt(mass)
	default:
		return st.out0 + st.out1*(mass-st.mass)
	}
}

// heldRate is the drain flow in kg/s below which the drain counts as held: a
// drain without inflow comes to rest only in the limit.
const heldRate = 1e-6

// heldFor is how long of the stretch, which ended at a mass in kg, the drain was
// held, s. The drain's flow moves one way over a stretch.
func (st *stretch) heldFor(mass float64) float64 {
	if st.kind == straight {
		return st.heldShare * st.duration
	}
	first, last := st.drainRate(st.mass), st.drainRate(mass)
	switch {
	case first <= heldRate && last <= heldRate:
		return st.duration
	case first > heldRate && last > heldRate:
		return 0
	}
	at := min(st.timeTo(st.massAtRate(heldRate)), st.duration)
	if first <= heldRate {
		return at
	}
	return st.duration - at
}

// massAtRate is the mass in kg at which the drain carries a rate in kg/s.
func (st *stretch) massAtRate(rate float64) float64 {
	if st.kind == quadratic {
		q := rate / st.density
		return (st.a*q + st.b*q*q - st.n0) / st.n1
	}
	return st.mass + (rate-st.out0)/st.out1
}

// expm1Over is (e^x - 1)/x.
func expm1Over(x float64) float64 {
	if math.Abs(x) < 1e-5 {
		return 1 + x/2*(1+x/3)
	}
	return math.Expm1(x) / x
}

// expm1Over2 is (e^x - 1 - x)/x².
func expm1Over2(x float64) float64 {
	if math.Abs(x) < 1e-3 {
		return 0.5 + x/6*(1+x/4*(1+x/5))
	}
	return (math.Expm1(x) - x) / (x * x)
}
