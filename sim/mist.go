package sim

import (
	"math"

	"sumpward/physics"
)

// Nodes of a [mistTable], evenly spaced in ln Q.
const (
	mistNodes  = 40
	lowestFlow = 1e-3 // of the highest
)

// mistTable is the share of the mist that a separator of known droplets and
// stages catches, against the gas flow through it. A node is worked out when it
// is first needed; between nodes a cubic in ln Q through four of them serves.
type mistTable struct {
	separation *physics.Separation
	conditions physics.StageConditions
	highest    float64 // m3/s
	nodes      [mistNodes + 1]float64
	known      [mistNodes + 1]bool
}

// start begins a table for a car; without droplets it isn't used.
func (t *mistTable) start(car *Car) {
	t.separation = car.Can.Separation
	if t.separation == nil {
		return
	}
	oil := physics.OilDensity(car.Oil.Density15, car.Gas.Temperature)
	t.conditions = physics.BlowByConditions(0, car.Gas.Temperature, oil)
	t.highest = 1.05 * math.Max(math.Abs(car.Gas.BlowByFull), math.Abs(car.Gas.BlowByClosed))
	t.known = [mistNodes + 1]bool{}
}

// outside returns the error of the first stage that is outside its range at a
// gas flow in m3/s; nil where none is.
func (t *mistTable) outside(flow float64) error {
	if t.separation == nil {
		return nil
	}
	c := t.conditions
	c.Flow = math.Max(flow, 0)
	return t.separation.CheckRange(c)
}

// at returns the share caught at a gas flow through the separator in m3/s,
// whichever way it goes.
func (t *mistTable) at(flow float64) float64 {
	const step = -6.907755278982137 / mistNodes // ln(lowestFlow) a node, from the highest down
	x := math.Log(math.Max(math.Abs(flow)/t.highest, lowestFlow)) / step
	x = min(max(x, 0), mistNodes)
	i := min(max(int(x)-1, 0), mistNodes-3)
	u := x - float64(i)
	a, b, c, d := t.node(i), t.node(i+1), t.node(i+2), t.node(i+3)
	v := -a*(u-1)*(u-2)*(u-3)/6 + b*u*(u-2)*(u-3)/2 - c*u*(u-1)*(u-3)/2 + d*u*(u-1)*(u-2)/6
	return min(max(v, 0), 1)
}

func (t *mistTable) node(i int) float64 {
	if !t.known[i] {
		c := t.conditions
		c.Flow = t.highest * math.Pow(lowestFlow, float64(i)/mistNodes)
		t.nodes[i], t.known[i] = t.separation.Efficiency(c), true
	}
	return t.nodes[i]
}

// mistCaught is the share of the mist that the separator catches of what passes
// it at a gas flow in m3/s.
func (k *Kernel) mistCaught(flow float64) float64 {
	if k.car.Can.Separation == nil {
		return k.car.Can.Efficiency
	}
	return k.mist.at(flow)
}
