package physics

import (
	"errors"
	"fmt"
	"math"
)

// Side says which of the two pressures in a can something sees.
type Side int

const (
	// AfterElement is the clean side, from where the outlet leaves.
	AfterElement Side = iota
	// BeforeElement is the side that the circuits lead into.
	BeforeElement
)

// Network is the gas paths of a crankcase breather: circuits from the crankcase
// to the can before the element, the element, the outlet from the can after the
// element, circuits that go past the separator, and an unsealed drain as one
// path more.
//
// Every gas loss is that of Hose or Element, times LossFactor. The head of oil
// is not multiplied.
type Network struct {
	Gas           Gas
	LossFactor    float64 // PulsationFactor; 1 for steady flow
	ToSeparator   []Hose  // circuits from the crankcase to the can, before the element
	PastSeparator []Hose  // circuits from the crankcase past the separator
	Element       Element
	Outlet        Hose
	Drain         *Hose // an unsealed drain as a gas path; nil when sealed or none
	DrainSide     Side  // where the oil collects, and the drain begins
}

// Demand is one operating point of a Network.
type Demand struct {
	Flow           float64   // breather flow out of the crankcase, m3/s; may be 0 or less
	OutletPressure float64   // at the far end of the outlet, Pa gauge
	PastPressure   []float64 // at the far end of each circuit past the separator, Pa gauge
	Fill           float64   // of the can, 0 to 1, for the element
	PassageHead    float64   // for the element, Pa a whole fill
	DrainHead      float64   // of the oil over the mouth of the drain, ρ g h, Pa; 0 or more
}

// Flows is the answer of a Network: gauge pressures in Pa, flows in m3/s.
type Flows struct {
	Crankcase     float64   // pressure
	Before        float64   // pressure in the can before the element
	After         float64   // pressure in the can after the element
	ToSeparator   []float64 // flow in each circuit to the separator, towards it
	PastSeparator []float64 // flow in each circuit past it, out of the crankcase
	Element       float64   // flow, from before to after
	Outlet        float64   // flow, out of the can
	Drain         float64   // flow up an unsealed drain into the can
}

// ErrNoPath says that gas has no way out of the crankcase.
var ErrNoPath = errors.New("breather network: no path for the gas: give at least one breather circuit or an unsealed drain")

// Check returns an error that names the first hose or number of the network
// that can't be, or nil. Solve doesn't check.
func (n *Network) Check() error {
	if len(n.ToSeparator) == 0 && len(n.PastSeparator) == 0 && n.Drain == nil {
		return ErrNoPath
	}
	if !(n.Gas.Density > 0) || !(n.Gas.Viscosity > 0) {
		return fmt.Errorf("breather network: gas of density %g kg/m3 and viscosity %g Pa·s: both must be above 0", n.Gas.Density, n.Gas.Viscosity)
	}
	if !(n.LossFactor >= 1) {
		return fmt.Errorf("breather network: loss factor %g: must be 1 or more", n.LossFactor)
	}
	if n.Element.Loss != 0 && !(n.Element.Loss > 0 && n.Element.Flow > 0 && n.Element.Density > 0) {
		return fmt.Errorf("breather network: element loses %g Pa at %g m3/s of %g kg/m3: all must be above 0", n.Element.Loss, n.Element.Flow, n.Element.Density)
	}
	if err := n.Outlet.check("outlet"); err != nil {
		return err
	}
	for i, h := range n.ToSeparator {
		if err := h.check(fmt.Sprintf("circuit %d to the separator", i+1)); err != nil {
			return err
		}
	}
	for i, h := range n.PastSeparator {
		if err := h.check(fmt.Sprintf("circuit %d past the separator", i+1)); err != nil {
			return err
		}
	}
	if n.Drain != nil {
		return n.Drain.check("drain")
	}
	return nil
}

func (h Hose) check(name string) error {
	if h.Bore > 0 && h.Length >= 0 && h.LossCoefficient >= 0 && h.Length+h.LossCoefficient > 0 {
		return nil
	}
	return fmt.Errorf("breather network: %s: bore %g m, length %g m, loss coefficient %g: bore must be above 0, the others not below 0 and not both 0",
		name, h.Bore, h.Length, h.LossCoefficient)
}

// Solve finds the pressures and flows at which the flows out of the crankcase
// add up to d.Flow, to 1e-10 of it (or 1e-12 m3/s), and writes them to out,
// whose slices it reuses. It allocates nothing when they are large enough.
//
// With oil over its mouth (d.DrainHead > 0) the drain carries gas only upwards,
// and only while the pressure across it is higher than that head. Where the
// drain is the only path there is, a negative flow is drawn down it all the
// same, and at no flow the pressures are equal.
//
// It fails with ErrNoPath if there is none, and with an error that holds the
// residual if the flows can't be balanced (an infinite or missing number in n
// or d; see Check).
func (n *Network) Solve(d Demand, out *Flows) error {
	if len(d.PastPressure) != len(n.PastSeparator) {
		return fmt.Errorf("breather network: %d end pressures for %d circuits past the separator: give one for each", len(d.PastPressure), len(n.PastSeparator))
	}
	p := n.at(d, out)
	if len(n.ToSeparator) == 0 {
		return p.solveWithoutCircuits()
	}
	return p.solveThroughCircuits()
}

// zeros returns a slice of zeros, in the storage of s if it is large enough.
// What an earlier operating point left in it must not reach this one's digits.
func zeros(s []float64, length int) []float64 {
	if cap(s) < length {
		return make([]float64, length)
	}
	s = s[:length]
	clear(s)
	return s
}

// operatingPoint is one Solve at work.
type operatingPoint struct {
	*Network
	Demand
	out       *Flows
	element   elementResistance
	outlet    hoseResistance
	drain     hoseResistance
	tolerance float64
}

// at prepares an operating point.
func (n *Network) at(d Demand, out *Flows) operatingPoint {
	out.ToSeparator = zeros(out.ToSeparator, len(n.ToSeparator))
	out.PastSeparator = zeros(out.PastSeparator, len(n.PastSeparator))
	out.Drain = 0
	p := operatingPoint{
		Network: n, Demand: d, out: out,
		element:   n.Element.resist(n.Gas, d.Fill, d.PassageHead, n.LossFactor),
		outlet:    n.Outlet.resist(n.Gas),
		tolerance: math.Max(1e-10*math.Abs(d.Flow), 1e-12),
	}
	if n.Drain != nil {
		p.drain = n.Drain.resist(n.Gas)
	}
	return p
}

// solveThroughCircuits solves for the flow of the first circuit to the
// separator: every pressure difference follows from it going forward, and the
// sum of the flows rises with it by 1 or more.
func (p *operatingPoint) solveThroughCircuits() error {
	first := p.ToSeparator[0].resist(p.Gas)
	if p.Drain == nil && len(p.PastSeparator) == 0 {
		return p.solveSealed(first)
	}
	trial := p.Flow * p.firstShare(first)
	_, found := steepRoot(func(q float64) (float64, float64) {
		crankcase, slope, flow, flowSlope := p.behindCircuits(p.circuits(first, q))
		past, pastSlope := p.past(crankcase)
		return flow + past - p.Flow, flowSlope + pastSlope*slope
	}, trial, p.tolerance)
	if !found {
		return p.unbalanced()
	}
	return nil
}

// solveSealed solves a network whose circuits to the separator carry all of the
// flow: directly if they are all the same, else for the flow of the first.
func (p *operatingPoint) solveSealed(first hoseResistance) error {
	share, found := p.Flow/float64(len(p.ToSeparator)), true
	if !p.identicalCircuits() {
		share, found = steepRoot(func(q float64) (float64, float64) {
			_, _, total, slope := p.circuits(first, q)
			return total - p.Flow, slope
		}, p.Flow*p.firstShare(first), p.tolerance)
	}
	p.behindCircuits(p.circuits(first, share))
	if !found || math.IsNaN(p.out.Crankcase) || math.IsInf(p.out.Crankcase, 0) {
		return p.unbalanced()
	}
	return nil
}

func (p *operatingPoint) identicalCircuits() bool {
	for i := range p.ToSeparator {
		if p.ToSeparator[i] != p.ToSeparator[0] {
			return false
		}
	}
	return true
}

// firstShare estimates the first circuit's share of all flow, as if there were
// no heads and friction were turbulent.
func (p *operatingPoint) firstShare(first hoseResistance) float64 {
	conductance := func(h hoseResistance) float64 {
		return 1 / math.Sqrt(h.dynamic*(h.fittings+0.03*h.slender))
	}
	own := conductance(first)
	total := own
	for i := range p.ToSeparator[1:] {
		total += conductance(p.ToSeparator[i+1].resist(p.Gas))
	}
	if p.Drain != nil && p.DrainHead == 0 {
		total += conductance(p.drain)
	}
	return own / total
}

// circuits sets the flow of every circuit to the separator when the first one
// carries q. It returns the drop along them and their total flow, each with its
// slope against q.
func (p *operatingPoint) circuits(first hoseResistance, q float64) (drop, dropSlope, total, totalSlope float64) {
	steady, steadySlope := first.drop(q)
	p.out.ToSeparator[0] = q
	total, totalSlope = q, 1
	for i := 1; i < len(p.ToSeparator); i++ {
		flow, slope := q, 1.0
		if p.ToSeparator[i] != p.ToSeparator[0] {
			flow, slope = p.ToSeparator[i].resist(p.Gas).flow(steady, p.out.ToSeparator[i])
			slope *= steadySlope
		}
		p.out.ToSeparator[i] = flow
		total += flow
		totalSlope += slope
	}
	return steady * p.LossFactor, steadySlope * p.LossFactor, total, totalSlope
}

// behindCircuits sets the pressures, and the flows of the drain, the element
// and the outlet, from the drop along the circuits and their flow. It returns
// the crankcase pressure and the flow through the outlet, each with its slope.
func (p *operatingPoint) behindCircuits(drop, dropSlope, flow, flowSlope float64) (crankcase, slope, outlet, outletSlope float64) {
	out := p.out
	if p.DrainSide == BeforeElement {
		up, upSlope := p.upDrain(drop)
		out.Drain = up
		flow += up
		flowSlope += upSlope * dropSlope
	}
	out.Element = flow
	loss, lossSlope := p.element.loss(flow)
	across, acrossSlope := drop+loss, dropSlope+lossSlope*flowSlope
	if p.DrainSide == AfterElement {
		up, upSlope := p.upDrain(across)
		out.Drain = up
		flow += up
		flowSlope += upSlope * acrossSlope
	}
	after, afterSlope := p.throughOutlet(flow)
	out.Before = after + loss
	out.Crankcase = after + across
	return out.Crankcase, afterSlope*flowSlope + acrossSlope, flow, flowSlope
}

// throughOutlet sets the flow of the outlet and the pressure after the element, and
// returns that pressure with its slope against the flow.
func (p *operatingPoint) throughOutlet(flow float64) (after, slope float64) {
	drop, slope := p.outlet.drop(flow)
	p.out.Outlet = flow
	p.out.After = p.OutletPressure + p.LossFactor*drop
	return p.out.After, slope * p.LossFactor
}

// upDrain returns the gas flow up an unsealed drain at a pressure across it,
// and its slope.
func (p *operatingPoint) upDrain(across float64) (flow, slope float64) {
	if p.Drain == nil || p.DrainHead > 0 && across <= p.DrainHead {
		return 0, 0
	}
	flow, slope = p.drain.flow((across-p.DrainHead)/p.LossFactor, p.out.Drain)
	return flow, slope / p.LossFactor
}

// past sets the flows past the separator at a crankcase pressure, and returns
// their total with its slope.
func (p *operatingPoint) past(crankcase float64) (total, slope float64) {
	for i := range p.PastSeparator {
		flow, s := p.PastSeparator[i].resist(p.Gas).flow((crankcase-p.PastPressure[i])/p.LossFactor, p.out.PastSeparator[i])
		p.out.PastSeparator[i] = flow
		total += flow
		slope += s / p.LossFactor
	}
	return total, slope
}

func (p *operatingPoint) unbalanced() error {
	sum := p.out.Drain
	for _, q := range p.out.ToSeparator {
		sum += q
	}
	for _, q := range p.out.PastSeparator {
		sum += q
	}
	return fmt.Errorf("breather network: flows of %g m3/s don't balance the demand of %g m3/s: look for an infinite or missing number in it", sum, p.Flow)
}
