package sim

import (
	"fmt"

	"sumpward/sim/sampling"
)

// placed settles single realizations by their number.
type placed struct {
	settler *settler
	design  sampling.Design
	seed    uint64
	u       []float64
	column  [][]float64 // u, one a row
}

func (m *Model) placed(design sampling.Design, seed uint64) *placed {
	p := &placed{settler: m.settler(), design: design, seed: seed, u: make([]float64, len(m.uncertain))}
	for i := range p.u {
		p.column = append(p.column, p.u[i:i+1])
	}
	return p
}

// car returns the car of a realization, valid until the next call.
func (p *placed) car(realization uint64) (*Car, error) {
	m := p.settler.m
	p.design.Point(p.seed, m.keys, realization, p.u)
	m.copula.ApplyPoint(p.u)
	car, err := p.settler.settle(p.column, 0)
	if err != nil {
		return nil, fmt.Errorf("realization %d of seed %d: %w", realization, p.seed, err)
	}
	return car, nil
}
