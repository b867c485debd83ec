package sim

import (
	"context"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"sumpward/scenarios"
	"sumpward/sim/sampling"
)

// withDraws is the ready-made scenario with draws that were learned.
func withDraws(t *testing.T, l *scenarios.Learned) *scenarios.Scenario {
	t.Helper()
	base, err := scenarios.Ready(scenarios.DefaultReady)
	require.NoError(t, err)
	var b strings.Builder
	l.File = "a.csv"
	require.NoError(t, base.WriteLearned(&b, l))
	text, err := base.SourceWith(l.Block())
	require.NoError(t, err)
	s, err := scenarios.Parse("test.yaml", text, func(string) (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(b.String())), nil })
	require.NoError(t, err)
	return s
}

// someDraws are draws of three inputs, two of which go together; unequal weights.
func someDraws(t *testing.T, n int) *scenarios.Learned {
	t.Helper()
	base, err := scenarios.Ready(scenarios.DefaultReady)
	require.NoError(t, err)
	l := &scenarios.Learned{Values: make([][]float64, 3)}
	for _, path := range []string{"engine.blow_by.full_throttle", "oil.aeration", "drain.fall"} {
		l.Quantities = append(l.Quantities, base.Input(path))
	}
	for i := range n {
		u := func(what string) float64 { return sampling.Uniform(7, sampling.InputKey(what), uint64(i)) }
		a := u("a")
		l.Values[0] = append(l.Values[0], 1e-3*(1.2+0.8*a))
		l.Values[1] = append(l.Values[1], 0.05+0.2*(0.7*a+0.3*u("b")))
		l.Values[2] = append(l.Values[2], 0.03+0.02*u("c"))
		l.Weights = append(l.Weights, u("weight")*u("weight too"))
	}
	return l
}

// TestLearnedDraws finds means, spreads and the correlation of the rows again among
// realizations, within four standard errors.
func TestLearnedDraws(t *testing.T) {
	const n = 4000
	l := someDraws(t, 300)
	s := withDraws(t, l)
	m, err := NewModel(s)
	require.NoError(t, err)
	values := make([][]float64, 3)
	for _, design := range []sampling.Design{sampling.Random{}, sampling.LatinHypercube{}} {
		place := m.placed(design, 5)
		for i := range values {
			values[i] = values[i][:0]
		}
		for r := range uint64(n) {
			_, err := place.car(r)
			require.NoError(t, err)
			for i, q := range s.Learned.Quantities {
				values[i] = append(values[i], place.settler.binding.v[q.ID])
			}
		}
		for i := range values {
			mean := stat.Mean(l.Values[i], l.Weights)
			sd := math.Sqrt(stat.MomentAbout(2, l.Values[i], mean, l.Weights))
			kurtosis := stat.MomentAbout(4, l.Values[i], mean, l.Weights) / math.Pow(sd, 4)
			gotMean, gotSD := stat.MeanStdDev(values[i], nil)
			assert.InDelta(t, mean, gotMean, 4*sd/math.Sqrt(n), "mean of %d, %s", i, design.Name())
			assert.InDelta(t, sd, gotSD, 4*sd/2*math.Sqrt((kurtosis-1)/n), "spread of %d, %s", i, design.Name())
		}
		for _, pair := range [][2]int{{0, 1}, {0, 2}} {
			want := stat.Correlation(l.Values[pair[0]], l.Values[pair[1]], l.Weights)
			got := stat.Correlation(values[pair[0]], values[pair[1]], nil)
			assert.InDelta(t, want, got, 4/math.Sqrt(n), "correlation of %v, %s", pair, design.Name())
		}
	}
	assert.Greater(t, stat.Correlation(values[0], values[1], nil), 0.8)
}

// TestOneDraw is the scenario with these values exact, bit for bit.
func TestOneDraw(t *testing.T) {
	l := someDraws(t, 1)
	one := withDraws(t, l)
	base, err := scenarios.Ready(scenarios.DefaultReady)
	require.NoError(t, err)
	changes := []scenarios.Change{{Path: "correlations", Value: nil}}
	for i, q := range l.Quantities {
		changes = append(changes, scenarios.Change{Path: q.Path, Value: l.Values[i][0]})
	}
	exact, err := base.With(changes...)
	require.NoError(t, err)
	assert.Equal(t, outcomes(t, exact), outcomes(t, one))

	// The same draw a thousand times over is one draw, too.
	many := &scenarios.Learned{Quantities: l.Quantities, Values: make([][]float64, 3)}
	for range 1000 {
		many.Weights = append(many.Weights, 0.3)
		for i := range many.Values {
			many.Values[i] = append(many.Values[i], l.Values[i][0])
		}
	}
	assert.Equal(t, outcomes(t, exact), outcomes(t, withDraws(t, many)))
}

// outcomes are first times, pressures and oil of the first realizations, as text.
func outcomes(t *testing.T, s *scenarios.Scenario) (list []string) {
	t.Helper()
	m, err := NewModel(s)
	require.NoError(t, err)
	n := 300
	o := Options{Realizations: n, Seed: new(uint64)}
	_, err = Together(context.Background(), []*Model{m}, o, func(marks [][]Mark) {
		for _, mark := range marks[0] {
			list = append(list, fmt.Sprintf("%x %x %x", mark.FirstTimes, mark.PeakPressure, mark.ToIntake))
		}
	})
	require.NoError(t, err)
	require.Len(t, list, n)
	return list
}

// TestLearnedMovesNoOther leaves the draws of all other inputs as they were.
func TestLearnedMovesNoOther(t *testing.T) {
	s := withDraws(t, someDraws(t, 50))
	base, err := scenarios.Ready(scenarios.DefaultReady)
	require.NoError(t, err)
	plain, err := base.With(scenarios.Change{Path: "correlations", Value: nil})
	require.NoError(t, err)
	at := func(s *scenarios.Scenario) (map[string]float64, *Model) {
		m, err := NewModel(s)
		require.NoError(t, err)
		place := m.placed(sampling.LatinHypercube{}, 3)
		_, err = place.car(1234)
		require.NoError(t, err)
		values := map[string]float64{}
		for _, q := range s.Inputs {
			values[q.Path] = place.settler.binding.v[q.ID]
		}
		return values, m
	}
	with, m := at(s)
	without, before := at(plain)
	moved := 0
	for path, v := range without {
		if s.Input(path) != nil && !isLearned(s, path) {
			assert.Equal(t, v, with[path], path)
		} else if v != with[path] {
			moved++
		}
	}
	assert.Equal(t, 3, moved)
	assert.Len(t, m.Uncertain(), len(before.Uncertain())-3+1)
	last := m.Uncertain()[len(m.Uncertain())-1]
	assert.Equal(t, scenarios.LearnedPath, last.Path)
	assert.Equal(t, sampling.InputKey("learned"), m.keys[len(m.keys)-1], "a key of its own")
	assert.Len(t, m.keys, len(m.Uncertain()))
	assert.Equal(t, scenarios.Measured, last.Basis)
	assert.Len(t, m.Drawn(), len(before.Uncertain()))
	assert.ElementsMatch(t, paths(before.Drawn()), paths(m.Drawn()))
}

func isLearned(s *scenarios.Scenario, path string) bool {
	for _, q := range s.Learned.Quantities {
		if q.Path == path {
			return true
		}
	}
	return false
}

func paths(list []*scenarios.Quantity) (all []string) {
	for _, q := range list {
		all = append(all, q.Path)
	}
	return all
}

// TestLearnedReplay lists each input that was drawn with the others.
func TestLearnedReplay(t *testing.T) {
	l := someDraws(t, 20)
	s := withDraws(t, l)
	m, err := NewModel(s)
	require.NoError(t, err)
	trace, err := m.Replay(context.Background(), nil, 1, 17, 60)
	require.NoError(t, err)
	drawn := map[string]float64{}
	for _, in := range trace.Inputs {
		drawn[in.Quantity.Path] = in.Value
	}
	assert.NotContains(t, drawn, scenarios.LearnedPath)
	row := -1
	for i, v := range l.Values[0] {
		if v == drawn["engine.blow_by.full_throttle"] {
			row = i
		}
	}
	require.GreaterOrEqual(t, row, 0)
	assert.Equal(t, l.Values[1][row], drawn["oil.aeration"])
	assert.Equal(t, l.Values[2][row], drawn["drain.fall"])
}

// TestLearnedSingle settles the same numbers one at a time, and tells each.
func TestLearnedSingle(t *testing.T) {
	l := &scenarios.Learned{Weights: []float64{1, 2, 1}, Values: [][]float64{{0.03, 0.05, 0.04}, {0.1, 0.1, 0.2}}}
	base, err := scenarios.Ready(scenarios.DefaultReady)
	require.NoError(t, err)
	l.Quantities = []*scenarios.Quantity{base.Input("drain.fall"), base.Input("oil.aeration")}
	s := withDraws(t, l)
	m, err := NewModel(s)
	require.NoError(t, err)
	one := m.Single()
	u := make([]float64, len(m.Uncertain()))
	for i := range u {
		u[i] = 0.5
	}
	last := len(u) - 1
	for at, want := range map[float64]int{0.2: 0, 0.3: 1, 0.7: 1, 0.8: 2} {
		u[last] = at
		_, err := one.Settle(u)
		require.NoError(t, err)
		assert.Equal(t, at, one.Value(last), "the coordinate itself")
		assert.Equal(t, l.Values[0][want], one.ValueOf(s.Input("drain.fall")))
		assert.Equal(t, l.Values[1][want], one.ValueOf(s.Input("oil.aeration")))
	}
	places := []float64{0.2, 0.3, 0.7, 0.8}
	assert.Equal(t, []float64{0.125, 0.75, 0.75, 0.375}, m.Shares(s.Input("drain.fall"), places))
	assert.Equal(t, []float64{0.375, 0.375, 0.375, 0.875}, m.Shares(s.Input("oil.aeration"), places))
	assert.Nil(t, m.Shares(s.Input("drain.bore"), places))
}
