package sim

import "slices"

// regime is how the oil balance behaves over a range of oil mass.
type regime uint8

const (
	held    regime = iota // the drain does not run, inflow constant
	running               // N linear in the mass, inflow constant: exact by Lambert's W
	flooded               // as much runs down as gas lets, inflow constant
	swaying               // a column below the oil: N nearly linear, inflow constant, both ways
	curved                // N or the inflow bend: exact over secant cells
)

// segment is a range of oil mass in hose and can with one regime.
type segment struct {
	low, high float64 // kg
	regime    regime
	n0, n1    float64 // running: N = n0 + n1 M, Pa and Pa/kg
	out       float64 // flooded: kg/s that run down
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
	weighs float64 // Pa in the crankcase per kg above bottom, see [operatingPoint.weighs]
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
	p.perKg, p.weighs = 1/whole, op.weighs
	p.full = p.bottom + whole
	p.choke = p.bottom + whole*car.Limits.ChokeLevel
	p.caught, p.lost = op.caught, op.lost
	p.bends = p.bottom + whole*k.bendsFrom
	p.closed = p.bottom + whole*car.Gas.Element.ClosedAt
	switch car.Drain.Kind {
	case NoDrain:
		k.split(segment{high: min(p.bends, p.full), regime: held})
		k.splitCurved(p.bends, p.full)
	case Sealed:
		k.layOutSealed()
	case Unsealed:
		if k.alone {
			k.layOutAlone()
		} else {
			k.splitCurved(0, p.full)
		}
	case BelowOil:
		k.layOutBelowOil()
	}
}

// layOutSealed: a column that builds up in the hose, then stands in the can.
func (k *Kernel) layOutSealed() {
	p, oil := &k.piece, &k.oil
	op := p.op
	column := oil.hoseDensity * gravity
	inHose := column * op.fall / p.bottom
	k.splitWhereHeld(0, p.bottom, -column*op.rise-op.against, inHose)
	atFloor := column*(op.fall-op.rise) - op.against
	k.splitWhereHeld(p.bottom, min(p.bends, p.full), atFloor-k.inCan*p.bottom, k.inCan)
	k.splitCurved(p.bends, p.full)
}

// splitCurved adds a curved range, parted where the gas path closes for good.
func (k *Kernel) splitCurved(low, high float64) {
	if p := &k.piece; p.closed > low && p.closed < high {
		k.split(segment{low: low, high: p.closed, regime: curved})
		low = p.closed
	}
	k.split(segment{low: low, high: high, regime: curved})
}

// layOutAlone: an unsealed drain that is the only way of the gas. All of it comes up
// there whatever stands over the mouth, so that the limit of flooding stays.
func (k *Kernel) layOutAlone() {
	p := &k.piece
	top := min(p.bends, p.full)
	f := k.fallsAlone(p.op)
	zero := -f.n0 / k.inCan
	k.split(segment{high: min(zero, top), regime: held})
	k.split(segment{low: max(zero, 0), high: min(f.floods, top), regime: running, n0: f.n0, n1: k.inCan})
	k.split(segment{low: max(f.floods, 0), high: top, regime: flooded, out: f.limit})
	k.splitCurved(p.bends, p.full)
}

// fall is how oil runs down a drain that is the only way of the gas.
type fall struct {
	n0     float64 // Pa on an empty can: N = n0 + n1 M
	limit  float64 // kg/s that gas lets down
	floods float64 // kg in the can from which no more than that runs
}

func (k *Kernel) fallsAlone(op *operatingPoint) fall {
	oil := &k.oil
	q := k.floodingLimit(op.gas.upDrain)
	n0 := oil.hoseDensity * gravity * (op.fall - op.rise)
	return fall{n0, oil.hoseDensity * q, (oil.a*q + oil.b*q*q - n0) / k.inCan}
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
			k.split(segment{low: low, high: cut, regime: k.belowOilRegime(low)})
			low = cut
		}
	}
	k.split(segment{low: low, high: p.full, regime: k.belowOilRegime(low)})
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
		k.split(segment{low: low, high: high, regime: r, n0: n0})
		return
	}
	zero := -n0 / n1
	k.split(segment{low: low, high: min(zero, high), regime: held})
	k.split(segment{low: max(zero, low), high: high, regime: running, n0: n0, n1: n1})
}

// split adds a range, parted at the choke level; an empty range adds nothing.
func (k *Kernel) split(s segment) {
	p := &k.piece
	if !(s.high > s.low) {
		return
	}
	if p.choke > s.low && p.choke < s.high && k.car.Drain.Kind != NoDrain {
		below := s
		below.high, s.low = p.choke, p.choke
		p.add(below)
	}
	p.add(s)
}

func (p *piece) add(s segment) {
	p.segments[p.n] = s
	p.n++
}

// fill is the can's fill at an oil mass.
func (p *piece) fill(mass float64) float64 { return max(0, mass-p.bottom) * p.perKg }
