package sim

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
)

func modelOf(t *testing.T, s *scenarios.Scenario) *Model {
	t.Helper()
	m, err := NewModel(s)
	require.NoError(t, err)
	return m
}

func readyModel(t *testing.T, name, variant string) *Model {
	t.Helper()
	s, err := scenarios.Ready(name)
	require.NoError(t, err)
	if variant != "" {
		s, err = s.Variant(variant)
		require.NoError(t, err)
	}
	return modelOf(t, s)
}

// Together gives each model what it gets alone, and marks that count up to it.
func TestTogetherIsEachAlone(t *testing.T) {
	models := []*Model{readyModel(t, "sealed-drain", ""), readyModel(t, "sealed-drain", "lower return")}
	o := Options{Realizations: 1700}
	var overs, choked [2]int64
	n := 0
	results, err := Together(context.Background(), models, o, func(marks [][]Mark) {
		n += len(marks[0])
		for m := range models {
			require.Len(t, marks[m], len(marks[0]))
			for _, k := range marks[m] {
				if k.Overflow <= 3600 {
					overs[m]++
				}
				if k.DrainChoked <= 3600 {
					choked[m]++
				}
			}
		}
	})
	require.NoError(t, err)
	assert.Equal(t, 1700, n)
	for i, m := range models {
		alone, err := m.Run(context.Background(), o)
		require.NoError(t, err)
		assert.Equal(t, alone.Sessions, results[i].Sessions)
		assert.Equal(t, alone.Balance, results[i].Balance)
		assert.Equal(t, alone.PeakPressure, results[i].PeakPressure)
		assert.Equal(t, alone.Sessions[3].Events.Overflow, overs[i])
		assert.Equal(t, alone.Sessions[3].Events.DrainChoked, choked[i])
	}
	assert.Greater(t, choked[0], choked[1])
}

func TestTogetherStopsWhenAllArePrecise(t *testing.T) {
	models := []*Model{readyModel(t, "sealed-drain", "lower return"), readyModel(t, "sealed-drain", "")}
	results, err := Together(context.Background(), models, Options{SamplingError: 0.015}, nil)
	require.NoError(t, err)
	assert.Equal(t, results[0].Realizations, results[1].Realizations)
	alone, err := models[1].Run(context.Background(), Options{SamplingError: 0.015})
	require.NoError(t, err)
	assert.Equal(t, alone.Realizations, results[1].Realizations, "the layout that needs most decides")
	assert.LessOrEqual(t, results[1].Reached, 0.015)

	ended, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = Together(ended, models, Options{}, nil)
	require.ErrorIs(t, err, context.Canceled)
	_, err = Together(context.Background(), nil, Options{}, nil)
	require.Error(t, err)
}

// The first failures of chosen realizations are those of a whole run.
func TestFirstTimesAreThoseOfARun(t *testing.T) {
	m := readyModel(t, "sealed-drain", "")
	o := Options{Realizations: 1200}
	var all []float64
	_, err := Together(context.Background(), []*Model{m}, o, func(marks [][]Mark) {
		for _, k := range marks[0] {
			all = append(all, k.Fails())
		}
	})
	require.NoError(t, err)
	first := make([]float64, 1200)
	_, err = m.First(context.Background(), o, OverflowOrChoked, nil, first)
	require.NoError(t, err)
	assert.Equal(t, all, first)

	some := make([]float64, 1200)
	for i := range some {
		some[i] = -1
	}
	_, err = m.First(context.Background(), Options{Workers: 1}, OverflowOrChoked, func(r int) bool { return r%7 == 3 }, some)
	require.NoError(t, err)
	for i := range some {
		want := -1.0
		if i%7 == 3 {
			want = all[i]
		}
		assert.Equal(t, want, some[i])
	}
}

// The fan holds the highest fill: its highest stretch is the peak of a session.
func TestFanHoldsPeakFills(t *testing.T) {
	m := readyModel(t, "sealed-drain", "")
	const n = 400
	fan, err := m.Fan(context.Background(), 1, n, 60, 2)
	require.NoError(t, err)
	require.Len(t, fan.Times, 60)
	assert.Equal(t, 3600.0, fan.Times[59])
	for i := range fan.Times {
		assert.LessOrEqual(t, fan.P05[i], fan.P25[i])
		assert.LessOrEqual(t, fan.P25[i], fan.P50[i])
		assert.LessOrEqual(t, fan.P50[i], fan.P75[i])
		assert.LessOrEqual(t, fan.P75[i], fan.P95[i])
	}
	fills := make([][]float64, 60)
	for i := range fills {
		fills[i] = make([]float64, n)
	}
	require.NoError(t, m.fills(context.Background(), 1, n, 1, fills))
	place, k := m.placed(DefaultDesign(), 1), NewKernel()
	var out Outcome
	for r := range n {
		car, err := place.car(uint64(r))
		require.NoError(t, err)
		require.NoError(t, k.Realize(car, 1, uint64(r), &out))
		peak := 0.0
		for i := range fills {
			peak = max(peak, fills[i][r])
		}
		assert.InDelta(t, out.Sessions[3].PeakFill, peak, 1e-3, "realization %d", r)
	}
}

// A nominal phase pressure is the one of the drain check; its spread holds it.
func TestPhasePressures(t *testing.T) {
	m := readyModel(t, "sealed-drain", "")
	list, err := m.PhasePressures(context.Background(), 1, 500)
	require.NoError(t, err)
	check, err := m.CheckDrain(context.Background())
	require.NoError(t, err)
	require.Len(t, list, len(check.Phases))
	for i, p := range list {
		assert.InDelta(t, check.Phases[i].Crankcase, p.Nominal, 1e-6)
		assert.Less(t, p.Crankcase.P05, p.Crankcase.P50)
		assert.Less(t, p.Crankcase.P50, p.Crankcase.P95)
		assert.InDelta(t, p.Nominal, p.Crankcase.P50, math.Abs(p.Crankcase.P95-p.Crankcase.P05))
	}
	full, err := m.FullThrottle()
	require.NoError(t, err)
	assert.Equal(t, check.FullThrottle.Column, full.Column)
	assert.Equal(t, check.FullThrottle.Margin, full.Margin)
}
