package sim

import (
	"math"

	"sumpward/physics"
)

// tableCells is the number of cells of a headTable; with cubic interpolation in
// the stretched coordinate the gas flow is the network's to 1e-6, and to 5e-4
// where a hose passes from laminar to turbulent.
const tableCells = 24

// headTable is the gas state at one load against the head of oil over the mouth of a drain
// that is open to gas. The network is solved at a node when it is first needed; between
// nodes a cubic through them and their slopes serves.
//
// The head at which no gas goes up any more is hit with a steep slope, so the
// nodes are spread evenly in s with head = top (1 - (1-s)²).
type headTable struct {
	ready  bool
	top    float64  // Pa, head from which nothing goes up, or more than can stand
	shut   bool     // nothing goes up from top on
	base   gasState // state of the network with the drain shut, where shut
	nodes  [tableCells + 1]gasState
	slopes [tableCells + 1]gasState // per unit of s
	cells  [tableCells]cubic
	solved [tableCells + 1]bool
	sloped [tableCells + 1]bool
	curved [tableCells]bool
}

// gasUnder returns the gas state of the phase with a head of oil in Pa over the
// open drain's mouth, at an element that does not close.
func (k *Kernel) gasUnder(o *operatingPoint, head float64) gasState {
	if k.alone {
		g := o.gas
		if o.flow > 0 {
			g.crankcase += head
			g.drive += head
		}
		return g
	}
	t := o.table
	if !t.ready {
		k.startTable(o)
	}
	if head >= t.top && t.shut {
		return t.base
	}
	s := tableCells * (1 - math.Sqrt(max(0, 1-head/t.top)))
	i := min(int(s), tableCells-1)
	if !t.curved[i] {
		t.cells[i].through(k.node(o, i), k.node(o, i+1), k.slope(o, i), k.slope(o, i+1))
		t.curved[i] = true
	}
	return t.cells[i].at(s - float64(i))
}

// startTable finds how far the table of a phase's load reaches.
func (k *Kernel) startTable(o *operatingPoint) {
	t := o.table
	t.ready = true
	t.solved, t.sloped, t.curved = [tableCells + 1]bool{}, [tableCells + 1]bool{}, [tableCells]bool{}
	whole := k.car.Oil.Density15 * gravity * max(k.largestUsable, o.usable) / k.car.Can.CrossSection
	t.top, t.shut = 1.1*whole, false
	if len(k.car.Gas.ToSeparator)+len(k.car.Gas.Past) > 0 {
		t.base = k.ask(o, &k.shutNetwork, 0)
		if t.base.drive > 0 && t.base.drive < t.top {
			t.top, t.shut = t.base.drive, true
		}
	}
	if t.shut {
		t.nodes[tableCells], t.solved[tableCells] = t.base, true
	}
}

// node is the gas state at a node.
func (k *Kernel) node(o *operatingPoint, i int) *gasState {
	t := o.table
	if !t.solved[i] {
		rest := 1 - float64(i)/tableCells
		t.nodes[i], t.solved[i] = k.ask(o, &k.openNetwork, t.top*(1-rest*rest)), true
	}
	return &t.nodes[i]
}

func (k *Kernel) ask(o *operatingPoint, n *physics.Network, head float64) gasState {
	g, err := k.solveGas(o, n, 0, 0, head)
	if err != nil && k.err == nil {
		k.err = err
	}
	return g
}

// slope estimates the slope at a node through its neighbours: fourth order inside, third
// at the ends.
func (k *Kernel) slope(o *operatingPoint, i int) *gasState {
	t := o.table
	if !t.sloped[i] {
		n := func(j int) gasState { return *k.node(o, j) }
		switch {
		case i == 0:
			t.slopes[i] = mix4(n(0), n(1), n(2), n(3), -11./6, 3, -1.5, 1./3)
		case i == tableCells:
			t.slopes[i] = mix4(n(i), n(i-1), n(i-2), n(i-3), 11./6, -3, 1.5, -1./3)
		case i == 1:
			t.slopes[i] = mix4(n(0), n(1), n(2), n(3), -1./3, -0.5, 1, -1./6)
		case i == tableCells-1:
			t.slopes[i] = mix4(n(i+1), n(i), n(i-1), n(i-2), 1./3, 0.5, -1, 1./6)
		default:
			t.slopes[i] = mix4(n(i-2), n(i-1), n(i+1), n(i+2), 1./12, -2./3, 2./3, -1./12)
		}
		t.sloped[i] = true
	}
	return &t.slopes[i]
}

func mix4(a, b, c, d gasState, u, v, w, x float64) gasState {
	m := func(p, q, r, s float64) float64 { return u*p + v*q + w*r + x*s }
	return gasState{
		crankcase: m(a.crankcase, b.crankcase, c.crankcase, d.crankcase),
		drive:     m(a.drive, b.drive, c.drive, d.drive),
		mist:      m(a.mist, b.mist, c.mist, d.mist),
		upDrain:   m(a.upDrain, b.upDrain, c.upDrain, d.upDrain),
		circuits:  m(a.circuits, b.circuits, c.circuits, d.circuits),
		drain:     m(a.drain, b.drain, c.drain, d.drain),
	}
}

// cubic is Hermite's interpolation in a cell: coefficients of the powers of x, of 0 to 1.
type cubic [4]gasState

// through makes it go through the states and slopes at its ends.
func (c *cubic) through(a, b, da, db *gasState) {
	c[0], c[1] = *a, *da
	c[2] = mix4(*a, *b, *da, *db, -3, 3, -2, -1)
	c[3] = mix4(*a, *b, *da, *db, 2, -2, 1, 1)
}

func (c *cubic) at(x float64) gasState {
	return gasState{
		crankcase: c[0].crankcase + x*(c[1].crankcase+x*(c[2].crankcase+x*c[3].crankcase)),
		drive:     c[0].drive + x*(c[1].drive+x*(c[2].drive+x*c[3].drive)),
		mist:      c[0].mist + x*(c[1].mist+x*(c[2].mist+x*c[3].mist)),
		upDrain:   c[0].upDrain + x*(c[1].upDrain+x*(c[2].upDrain+x*c[3].upDrain)),
		circuits:  c[0].circuits + x*(c[1].circuits+x*(c[2].circuits+x*c[3].circuits)),
		drain:     c[0].drain + x*(c[1].drain+x*(c[2].drain+x*c[3].drain)),
	}
}
