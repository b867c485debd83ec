package sim

import (
	"fmt"
	"slices"

	"sumpward/scenarios"
	"sumpward/sim/sampling"
)

// Model is a scenario made ready to be sampled.
type Model struct {
	scenario  *scenarios.Scenario
	binding   *binding
	uncertain []*scenarios.Quantity
	keys      []sampling.Key
	copula    *sampling.Copula
	nominal   *Car
}

// NewModel makes a scenario ready. It fails where what was written can't hold
// together: correlations that contradict each other, a viscosity that rises
// with temperature.
func NewModel(s *scenarios.Scenario) (*Model, error) {
	b, err := newBinding(s)
	if err != nil {
		return nil, err
	}
	m := &Model{scenario: s, binding: b, nominal: &Car{}}
	if err := b.car(m.nominal); err != nil {
		return nil, err
	}
	column := map[*scenarios.Quantity]int{}
	together := m.DrawnTogether()
	for _, q := range s.Inputs {
		if !q.IsExact() && !slices.Contains(together, q) {
			column[q] = len(m.uncertain)
			m.draw(q)
		}
	}
	if l := jointly(s); l != nil {
		m.draw(l.Which)
	}
	var pairs []sampling.RankCorrelation
	for _, c := range s.Correlations {
		i, uncertain := column[c.Between[0]]
		j, other := column[c.Between[1]]
		if uncertain && other {
			pairs = append(pairs, sampling.RankCorrelation{I: i, J: j, Rank: c.Rank})
		}
	}
	if m.copula, err = sampling.NewCopula(len(m.uncertain), pairs); err != nil {
		return nil, m.correlationError(err)
	}
	return m, nil
}

func (m *Model) draw(q *scenarios.Quantity) {
	m.uncertain = append(m.uncertain, q)
	m.keys = append(m.keys, sampling.InputKey(q.Path))
}

// correlationError names the inputs of correlations that can't hold together.
func (m *Model) correlationError(err error) error {
	if c, ok := err.(*sampling.CorrelationError); ok {
		return fmt.Errorf("correlations: %s", c.Describe(func(i int) string { return m.uncertain[i].Path }))
	}
	return fmt.Errorf("correlations: %w", err)
}

// Scenario returns the scenario.
func (m *Model) Scenario() *scenarios.Scenario { return m.scenario }

// Nominal returns the car with every input at its nominal value.
func (m *Model) Nominal() *Car { return m.nominal }

// Uncertain returns the inputs that are drawn, in the order of their draws. For all
// inputs that are drawn together stands the one coordinate that picks the draw (see
// [scenarios.Learned]); [Model.Drawn] lists them each.
func (m *Model) Uncertain() []*scenarios.Quantity { return m.uncertain }

// SealedByTrap reports whether a climb in the drain's route seals a drain that
// was written without a seal.
func (m *Model) SealedByTrap() bool {
	return m.binding.trap && m.binding.kind == Sealed && m.scenario.Drain.Seal == scenarios.NoSeal
}

// settler turns places in the unit cube into cars. One for each worker.
type settler struct {
	m       *Model
	binding binding
	car     Car
}

func (m *Model) settler() *settler {
	return &settler{m: m, binding: m.binding.copy()}
}

// settle returns the car at column r of the block's places u, valid until the
// next call.
func (s *settler) settle(u [][]float64, r int) (*Car, error) {
	for i, q := range s.m.uncertain {
		s.binding.v[q.ID] = q.Distribution.Quantile(u[i][r])
	}
	s.binding.takeDraw()
	err := s.binding.car(&s.car)
	return &s.car, err
}
