package sim

import "sumpward/sim/sampling"

// Coordinates returns where the first n realizations of a design and a seed have
// their draws: of each uncertain input, in the order of [Model.Uncertain], the
// shares of its distribution that lie below them, correlations included.
func (m *Model) Coordinates(design sampling.Design, seed uint64, n int) [][]float64 {
	all := make([][]float64, len(m.uncertain))
	for i := range all {
		all[i] = make([]float64, n)
	}
	block := make([][]float64, len(all))
	for first := 0; first < n; first += sampling.BlockSize {
		until := min(first+sampling.BlockSize, n)
		for i := range all {
			block[i] = all[i][first:until]
		}
		design.Block(seed, m.keys, first/sampling.BlockSize, block)
		m.copula.Apply(block)
	}
	return all
}
