package sim

import (
	"slices"

	"sumpward/physics"
)

// What can go wrong with a car, as changes of one that is settled. Each replaces
// what it changes, so that a car copied before keeps its own.

// Pinch closes the drain hose at one place to a share of its bore, 0 < open ≤ 1:
// a sharp-edged orifice in the hose,
//
//	K = (1/(0.62 open²) - 1)²
//
// by Borda and Carnot with a contraction of 0.62 (from memory), beside what the
// hose loses already.
func (d *Drain) Pinch(open float64) {
	loss := 1/(0.62*open*open) - 1
	d.Hose.LossCoefficient += loss * loss
	d.Hose.LaminarCoefficient = physics.DefaultLaminarCoefficient(d.Hose.LossCoefficient)
}

// Sag lets the drain hose hang down by a depth in m in the middle of its longest
// piece, and climb again. A climb of a bore or more seals the hose: it is
// a trap then.
func (d *Drain) Sag(depth float64) {
	r := d.Route
	if d.Kind == NoDrain || len(r.Points) < 2 || depth <= 0 {
		return
	}
	at := 0
	for i, l := range r.Lengths {
		if l > r.Lengths[at] {
			at = i
		}
	}
	a, b := r.Points[at], r.Points[at+1]
	middle := physics.Point{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2, Z: (a.Z + b.Z) / 2}
	low, crest := middle, middle
	low.Z -= depth
	half := r.Lengths[at] / 2
	d.Route = physics.Route{
		Points:  slices.Concat(r.Points[:at+1], []physics.Point{middle, low, crest}, r.Points[at+1:]),
		Lengths: slices.Concat(r.Lengths[:at], []float64{half, depth, depth, half}, r.Lengths[at+1:]),
	}
	d.relaid()
}

// Raise brings the return closer to the can's height: what the hose falls shrinks to
// a share of it, 0 ≤ left ≤ 1; a climb stays.
func (d *Drain) Raise(left float64) {
	if d.Kind == NoDrain {
		return
	}
	points := slices.Clone(d.Route.Points)
	for i := 1; i < len(points); i++ {
		step := d.Route.Points[i].Z - d.Route.Points[i-1].Z
		if step < 0 {
			step *= left
		}
		points[i].Z = points[i-1].Z + step
	}
	if d.Surface != nil {
		surface := *d.Surface
		surface.Z += points[len(points)-1].Z - d.Route.Points[len(points)-1].Z
		d.Surface = &surface
	}
	d.Route = physics.Route{Points: points, Lengths: d.Route.Lengths}
	d.relaid()
}

// relaid takes in a new route: its length, and what of it stands full.
func (d *Drain) relaid() {
	d.Hose.Length = d.Route.Length()
	held, trap := d.Route.HeldLength(d.Hose.Bore)
	if d.Kind == Unsealed && trap {
		d.Kind = Sealed
	}
	if d.Kind != Unsealed {
		d.HeldLength = held
	}
}

// LoseSeal takes valve and seal out of a drain that ends above the oil: gas goes up
// it, flooding at Wallis's constant given. A hose with a trap stays sealed.
func (d *Drain) LoseSeal(flooding float64) {
	if d.Kind != Sealed {
		return
	}
	d.Valve, d.OpensAt = false, 0
	if _, trap := d.Route.HeldLength(d.Hose.Bore); trap {
		return
	}
	d.Kind, d.HeldLength, d.Flooding = Unsealed, 0, flooding
}

// LoseCircuit shuts the widest breather circuit to the separator. It reports
// whether there was one to lose and another way for the gas is left.
func (car *Car) LoseCircuit() bool {
	g := &car.Gas
	ways := len(g.ToSeparator) + len(g.Past)
	if car.Drain.Kind == Unsealed {
		ways++
	}
	if len(g.ToSeparator) == 0 || ways < 2 {
		return false
	}
	widest := 0
	for i, h := range g.ToSeparator {
		if h.Bore > g.ToSeparator[widest].Bore {
			widest = i
		}
	}
	g.ToSeparator = slices.Delete(slices.Clone(g.ToSeparator), widest, widest+1)
	return true
}
