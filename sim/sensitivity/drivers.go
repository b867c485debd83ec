package sensitivity

import (
	"slices"
	"strings"

	"sumpward/scenarios"
	"sumpward/sim"
)

// Split says what the variance is split between.
type Split int

// The ways to split it.
const (
	ByInput Split = iota // each input by itself
	ByBlock              // all inputs of a block of the file together
)

// Driver is what a share of the variance belongs to: an input, inputs that go
// together, all inputs of a block, or the luck from lap to lap.
type Driver struct {
	Inputs  []*scenarios.Quantity // none: luck
	Blocks  []string              // by block: those that the inputs stand in; more than one where they are tied
	Tied    bool                  // some of the inputs are tied by a rank correlation
	Learned bool                  // some were learned together, and are drawn together
}

// Luck reports whether it is the luck from lap to lap, and from stint to stint.
func (d *Driver) Luck() bool { return len(d.Inputs) == 0 }

// Measured reports whether all inputs of a driver were measured.
func (d *Driver) Measured() bool {
	return !d.Luck() && !slices.ContainsFunc(d.Inputs, func(q *scenarios.Quantity) bool { return q.Basis != scenarios.Measured })
}

// drivers lists the drivers of a model with the part that goes with each.
//
// The total index of an input that is tied to another can't be told from that of the
// other: exchanged alone, it would break the tie. So tied inputs are one driver.
func drivers(m *sim.Model, split Split) ([]Driver, []Part) {
	inputs := m.Uncertain()
	of := make([]int, len(inputs)) // the lowest input of the same driver
	for i := range of {
		of[i] = i
	}
	join := func(i, j int) {
		from, to := max(of[i], of[j]), min(of[i], of[j])
		for k := range of {
			if of[k] == from {
				of[k] = to
			}
		}
	}
	tied := tiedInputs(m)
	for pair := range tied {
		join(pair[0], pair[1])
	}
	if split == ByBlock {
		for i := range inputs {
			for j := range i {
				if overlap(blocks(m, inputs[i]), blocks(m, inputs[j])) {
					join(i, j)
				}
			}
		}
	}
	var list []Driver
	var parts []Part
	for i := range inputs {
		if of[i] != i {
			continue
		}
		var d Driver
		var p Part
		for j, q := range inputs {
			if of[j] != i {
				continue
			}
			p.Inputs = append(p.Inputs, j)
			d.add(m, q)
		}
		for pair := range tied {
			d.Tied = d.Tied || slices.Contains(p.Inputs, pair[0])
		}
		if split == ByInput {
			d.Blocks = nil
		}
		list, parts = append(list, d), append(parts, p)
	}
	if lucky(m) {
		list, parts = append(list, Driver{}), append(parts, Part{Luck: true})
	}
	return list, parts
}

// add puts an input to a driver; for the one that stands for all that was learned,
// those.
func (d *Driver) add(m *sim.Model, q *scenarios.Quantity) {
	d.Inputs = append(d.Inputs, members(m, q)...)
	d.Learned = d.Learned || q.Path == scenarios.LearnedPath
	for _, b := range blocks(m, q) {
		if !slices.Contains(d.Blocks, b) {
			d.Blocks = append(d.Blocks, b)
		}
	}
}

// members lists the inputs that are drawn by one coordinate.
func members(m *sim.Model, q *scenarios.Quantity) []*scenarios.Quantity {
	if q.Path == scenarios.LearnedPath {
		return m.Scenario().Learned.Quantities
	}
	return []*scenarios.Quantity{q}
}

// blocks lists the blocks of the file that a coordinate's inputs stand in.
func blocks(m *sim.Model, q *scenarios.Quantity) []string {
	var list []string
	for _, q := range members(m, q) {
		block, _, _ := strings.Cut(q.Path, ".")
		if !slices.Contains(list, block) {
			list = append(list, block)
		}
	}
	return list
}

func overlap(a, b []string) bool {
	return slices.ContainsFunc(a, func(x string) bool { return slices.Contains(b, x) })
}

// tiedInputs returns the pairs of inputs that a rank correlation ties.
func tiedInputs(m *sim.Model) map[[2]int]bool {
	pairs := map[[2]int]bool{}
	inputs := m.Uncertain()
	for _, c := range m.Scenario().Correlations {
		i, j := slices.Index(inputs, c.Between[0]), slices.Index(inputs, c.Between[1])
		if i >= 0 && j >= 0 && c.Rank != 0 {
			pairs[[2]int{i, j}] = true
		}
	}
	return pairs
}

// lucky reports whether laps, bursts or stints can differ by luck.
func lucky(m *sim.Model) bool {
	car, variation := m.Nominal(), m.Scenario().Duty.LapVariation
	return car.Spread > 0 || !variation.IsExact() || car.Pattern != nil || car.Schedule != nil
}
