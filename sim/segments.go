package sim

import "slices"

// regime is how the oil balance behaves over a range of oil mass.
type regime uint8

const (
	held    regime = iota // the drain does not run, inflow constant
	running               // N linear in the mass, inflow constant: exact by Lambert's W
	swaying               // a column below the oil: N nearly linear, inflow constant, both ways
	curved                // N or the inflow bend: exact over secant cells
)

// segment is a range of oil mass in hose and can with one regime.
type segment struct {
	low, high float64 // kg
	regime    regime
	n0, n1    float64 // running: N = n0 + n1 M, Pa and Pa/kg
}

// piece is a stretch of time with one operating point and one temperature:
// the balance is smooth by segment, and depends on nothing but the oil mass.
type piece struct {
	op       *operatingPoint
	segments [8]segment
	n        int

	caught float64 // kg/s that stays in the can while held or running
	full   float64 // kg in hose and can at which the can is full
	choke  float64 // kg at which the choke level is reached
	bottom float64 // kg that the hose holds: the can's floor
	lost   float64 // kg/s that leaves the sump for good or for a while
	slip   float64 // below oil: kg out of the sump that isn't in hose and can
	cover  float64 // below oil: oil mass above which the port is uncovered
	perKg  float64 // fill per kg above bottom
	bends  float64 // kg from which the gas path or the capture bends
	closed float64 // kg at which the gas path is closed
}

// layOut fills the piece's segments for an operating point at the present oil.
func (k *Kernel) layOut(op *operatingPoint) {
	p, car, oil := &k.piece, k.car, &k.oil
	p.op, p.n = op, 0
	k.last.segment = nil
	p.bottom = 0
	if car.Drain.Kind == Sealed || car.Drain.Kind == BelowOil {
		p.bottom = oil.heldMass
	}
	whole := oil.canDensity * op.usable
	p.perKg = 1 / whole
	p.full = p.bottom + whole
	p.choke = p.bottom + whole*car.Limits.ChokeLevel
	p.caught = op.gas.caught(op.rate, &car.Can)
	p.lost = op.rate.total() / car.CarryOver.BreatherShare
	p.bends = p.bottom + whole*min(car.Can.BlownOutFrom, car.Gas.Element.ClosesFrom, 1)
	p.closed = p.bottom + whole*car.Gas.Element.ClosedAt
	switch car.Drain.Kind {
	case NoDrain:
		k.split(0, min(p.bends, p.full), held, 0, 0)
		k.splitCurved(p.bends, p.full)
	case Sealed:
		k.layOutSealed()
	case Unsealed:
		k.splitCurved(0, p.full)
	case BelowOil:
		k.layOutBelowOil()
	}
}

// layOutSealed: a column that builds up in the hose, then stands in the can.
func (k *Kernel) layOutSealed() {
	p, oil, d := &k.piece, &k.oil, &k.car.Drain
	op := p.op
	pressure := op.gas.drive + d.Port
	if d.Valve {
		pressure += d.OpensAt
	}
	column := oil.hoseDensity * gravity
	inHose := column * op.fall / p.bottom
	k.splitWhereHeld(0, p.bottom, -column*op.rise-pressure, inHose)
	inCan := gravity / k.car.Can.CrossSection
	atFloor := column*(op.fall-op.rise) - pressure
	k.splitWhereHeld(p.bottom, min(p.bends, p.full), atFloor-inCan*p.bottom, inCan)
	k.splitCurved(p.bends, p.full)
}

// splitCurved adds a curved range, parted where the gas path closes for good.
func (k *Kernel) splitCurved(low, high float64) {
	if p := &k.piece; p.closed > low && p.closed < high {
		k.split(low, p.closed, curved, 0, 0)
		low = p.closed
	}
	k.split(low, high, curved, 0, 0)
}

// layOutBelowOil: the hose fills from the sump as well, and a port may come
// uncovered; what is out of the sump moves its surface.
func (k *Kernel) layOutBelowOil() {
	p := &k.piece
	p.cover = Never
	if k.car.Drain.Surface != nil {
		depth := p.op.heights[len(p.op.heights)-1] - p.op.portHeight
		p.cover = depth*k.oil.sumpDensity*k.car.Drain.SumpArea - p.slip
	}
	cuts := [...]float64{p.bottom, p.cover, p.bends, p.closed}
	slices.Sort(cuts[:])
	low := 0.0
	for _, cut := range cuts {
		if cut > low && cut < p.full {
			k.split(low, cut, k.belowOilRegime(low), 0, 0)
			low = cut
		}
	}
	k.split(low, p.full, k.belowOilRegime(low), 0, 0)
}

// belowOilRegime is the regime of a range that begins at an oil mass.
func (k *Kernel) belowOilRegime(low float64) regime {
	if low >= k.piece.cover || low >= k.piece.bends {
		return curved
	}
	return swaying
}

// splitWhereHeld adds the range low..high with N = n0 + n1 M, parted where N
// changes sign: below, the drain is held.
func (k *Kernel) splitWhereHeld(low, high, n0, n1 float64) {
	if n1 <= 0 {
		r := running
		if n0 <= 0 {
			r = held
		}
		k.split(low, high, r, n0, 0)
		return
	}
	zero := -n0 / n1
	k.split(low, min(zero, high), held, 0, 0)
	k.split(max(zero, low), high, running, n0, n1)
}

// split adds a range, parted at the choke level; an empty range adds nothing.
func (k *Kernel) split(low, high float64, r regime, n0, n1 float64) {
	p := &k.piece
	if !(high > low) {
		return
	}
	if p.choke > low && p.choke < high && k.car.Drain.Kind != NoDrain {
		p.add(segment{low, p.choke, r, n0, n1})
		low = p.choke
	}
	p.add(segment{low, high, r, n0, n1})
}

func (p *piece) add(s segment) {
	p.segments[p.n] = s
	p.n++
}

// fill is the can's fill at an oil mass.
func (p *piece) fill(mass float64) float64 { return max(0, mass-p.bottom) * p.perKg }
