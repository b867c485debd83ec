package sim

import (
	"context"
	"slices"
)

// PhasePressure is the crankcase pressure in one phase of the lap, can empty.
type PhasePressure struct {
	Phase     Phase
	Nominal   float64 // Pa gauge
	Crankcase Spread  // Pa gauge, over realizations
}

// PhasePressures returns the crankcase pressure in each phase of the lap at nominal
// values and over so many realizations of a seed (1 or more). It solves the gas
// network and simulates nothing in time.
func (m *Model) PhasePressures(ctx context.Context, seed uint64, realizations int) ([]PhasePressure, error) {
	k := NewKernel()
	var out Outcome
	if err := k.prepare(m.nominal, &out); err != nil {
		return nil, err
	}
	list := make([]PhasePressure, len(m.nominal.Lap))
	for i, p := range m.nominal.Lap {
		list[i] = PhasePressure{Phase: p, Nominal: k.points[i].gas.crankcase}
	}
	drawn := make([][]float64, len(list))
	place := m.placed(DefaultDesign(), seed)
	for r := range max(realizations, 1) {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		car, err := place.car(uint64(r))
		if err != nil {
			return nil, err
		}
		if err := k.prepare(car, &out); err != nil {
			return nil, err
		}
		for i := range list {
			drawn[i] = append(drawn[i], k.points[i].gas.crankcase)
		}
	}
	for i := range list {
		list[i].Crankcase = spreadAcross(drawn[i])
	}
	return list, nil
}

// spreadAcross sorts a few numbers and returns their spread.
func spreadAcross(values []float64) Spread {
	slices.Sort(values)
	s := Spread{P05: quantileOf(values, 0.05), P50: quantileOf(values, 0.5), P95: quantileOf(values, 0.95)}
	for _, v := range values {
		s.Mean += v / float64(len(values))
	}
	return s
}

// quantileOf returns the p-quantile of sorted numbers: the smallest that a share
// of at least p is not above.
func quantileOf(sorted []float64, p float64) float64 {
	i := 0
	for float64(i+1) < p*float64(len(sorted)) {
		i++
	}
	return sorted[i]
}
