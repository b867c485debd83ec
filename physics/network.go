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

// sum is the flow out of the crankcase by all ways.
func (p *operatingPoint) sum() float64 {
	sum := p.out.Drain
	for _, q := range p.out.ToSeparator {
		sum += q
	}
	for _, q := range p.out.PastSeparator {
		sum += q
	}
	return sum
}

func (p *operatingPoint) unbalanced() error {
	return fmt.Errorf("breather network: flows of %g m3/s don't balance the demand of %g m3/s: look for an infinite or missing number in it", p.sum(), p.Flow)
}
