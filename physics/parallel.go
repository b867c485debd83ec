package physics

import (
	"fmt"
	"math"
	"slices"
)

// Parallel is hoses side by side between the same two ends, their loss in a table: once
// for all gases, since by Reynolds' similarity
//
//	Δp ρ/μ² = D(ρ Q/μ)
//
// depends on the hoses alone. Q is the flow of all of them.
type Parallel struct {
	hoses []Hose
	drop  octaveTable // D, of F in m
}

// The table goes from a flow far below any that a hose in a breather sees, where all of it
// is laminar, to one far above, in 2^6 cells an octave.
const (
	lowestF          = 1. / 16 // m: ρ Q/μ
	highestF         = 4096    // m
	parallelCellBits = 6
)

// NewParallel works out the table of hoses, one or more. It fails where one of them can't
// be, see [Network.Check].
func NewParallel(hoses []Hose) (*Parallel, error) {
	if len(hoses) == 0 {
		return nil, ErrNoPath
	}
	for i, h := range hoses {
		if err := h.check(fmt.Sprintf("circuit %d", i+1)); err != nil {
			return nil, err
		}
	}
	p := &Parallel{hoses: slices.Clone(hoses)}
	var err error
	p.drop, err = newOctaveTable(lowestF, highestF, parallelCellBits, func(f float64) (drop, slope float64, err error) {
		return p.solve(f, Gas{Density: 1, Viscosity: 1})
	})
	if err != nil {
		return nil, err
	}
	return p, nil
}

// Of reports whether these are the hoses of the table.
func (p *Parallel) Of(hoses []Hose) bool { return p != nil && slices.Equal(p.hoses, hoses) }

// PressureDrop returns the pressure lost by gas along the hoses, Pa, with the sign of the
// flow of all of them in m3/s: that of the network to 1e-7 of it, and to 1e-5 where a hose
// passes from laminar to turbulent. It fails as [Network.Solve] does, outside the table only.
func (p *Parallel) PressureDrop(flow float64, gas Gas) (float64, error) {
	f := math.Abs(flow) * gas.Density / gas.Viscosity
	if f == 0 {
		return 0, nil
	}
	scale := gas.Viscosity * gas.Viscosity / gas.Density
	drop, within := p.drop.at(f)
	if !within {
		var err error
		if drop, _, err = p.solve(f, Gas{Density: 1, Viscosity: 1}); err != nil {
			return 0, err
		}
	}
	return math.Copysign(drop*scale, flow), nil
}

// solve finds drop in Pa and its slope in Pa per m3/s at a flow of all hoses.
func (p *Parallel) solve(flow float64, gas Gas) (drop, slope float64, err error) {
	n := Network{Gas: gas, LossFactor: 1, ToSeparator: p.hoses}
	var out Flows
	point := n.at(Demand{Flow: flow}, &out)
	first := p.hoses[0].resist(gas)
	share, found := steepRoot(func(q float64) (float64, float64) {
		_, _, total, slope := point.circuits(first, q)
		return total - flow, slope
	}, flow*point.firstShare(first), 1e-12*flow)
	if !found {
		return 0, 0, point.unbalanced()
	}
	drop, dropSlope, _, totalSlope := point.circuits(first, share)
	return drop, dropSlope / totalSlope, nil
}
