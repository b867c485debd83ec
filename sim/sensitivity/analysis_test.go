package sensitivity

import (
	"context"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/internal/still"
)

// oneCan is a sealed can that catches what comes over at a steady rate; its peak fill is
//
//	carry-over · time · gas share / usable volume.
var oneCan = still.Written("0.1 g/s", "0.05 x/ 1.3 g/s", "volume: 0.15 L", "volume: 0.8 .. 1.6 L", "efficiency: 60 %", "efficiency: 60 .. 80 %", "[20 min]", "[20 min, 40 min]")

func modelOf(t *testing.T, text string, changes ...scenarios.Change) *sim.Model {
	t.Helper()
	m, err := sim.NewModel(still.Read(t, text, changes...))
	require.NoError(t, err)
	return m
}

func run(t *testing.T, m *sim.Model, split Split, o sim.Options) *Result {
	t.Helper()
	a, err := New(m, split, o)
	require.NoError(t, err)
	r, err := a.Run(context.Background())
	require.NoError(t, err)
	return r
}

func (r *Result) share(t *testing.T, o Output, path string) Share {
	t.Helper()
	for i, d := range r.Drivers {
		if path == "" && d.Luck() || !d.Luck() && d.Inputs[0].Path == path {
			return r.Of(o).Parts[i]
		}
	}
	t.Fatalf("no driver %s", path)
	return Share{}
}

// The fill is X/Y with X log-normal and Y uniform from a to b: with the squared
// coefficients of variation
//
//	cx = exp(σ²) - 1,  cy = E[1/Y²]/E[1/Y]² - 1,  E[1/Y] = ln(b/a)/(b-a),  E[1/Y²] = 1/ab
//
// the variance is (1+cx)(1+cy) - 1 times the squared mean, cx of it X alone, and
// cx (1+cy) X with others; derived.
func TestOneCanByClosedForm(t *testing.T) {
	r := run(t, modelOf(t, oneCan), ByInput, sim.Options{Realizations: 30_000})
	require.Len(t, r.Drivers, 3, "no luck where laps don't differ")
	sigma, ratio := math.Log(1.3), math.Ln2/0.8
	cx, cy := math.Exp(sigma*sigma)-1, 1/(0.8*1.6)/(ratio*ratio)-1
	v := (1+cx)*(1+cy) - 1
	fill := r.Of(PeakFill)
	for path, want := range map[string][2]float64{
		"carry_over.full_throttle": {cx, cx * (1 + cy)}, "separator.usable_volume": {cy, cy * (1 + cx)}, "separator.efficiency": {0, 0},
	} {
		got := r.share(t, PeakFill, path)
		t.Logf("%s: alone %.4f ± %.4f (exact %.4f), with others %.4f ± %.4f (exact %.4f)", path,
			got.First.Value, got.First.Error, want[0]/v, got.Total.Value, got.Total.Error, want[1]/v)
		assert.InDelta(t, want[0]/v, got.First.Value, 4*got.First.Error+1e-12)
		assert.InDelta(t, want[1]/v, got.Total.Value, 4*got.Total.Error+1e-12)
	}
	assert.InDelta(t, math.Sqrt(v), math.Sqrt(fill.Variance)/fill.Mean, 0.02)
	shown, rest := fill.Ranked()
	assert.Len(t, shown, 3, "a rest of one is told by its name")
	assert.Empty(t, rest)
	assert.Zero(t, r.Of(OilToIntake).Events+1, "no event")
	assert.Nil(t, r.Of(DrainChoked))
	assert.Equal(t, TooRare, r.Of(Overflow).Telling)
	assert.Equal(t, TooRare, r.Of(FirstOverflow).Telling)
	assert.Equal(t, 2400.0, r.Of(FirstOverflow).Mean, "cut at the session")
	assert.Equal(t, 12_000, r.Of(Overflow).Sampled)
}

// With 0.06 kg·20 min at 0.3 L every can overflows, and does so the sooner the more
// comes over: x/y again, its time the inverse.
func TestCommonAndNever(t *testing.T) {
	small := modelOf(t, oneCan, scenarios.Change{Path: "separator.usable_volume", Value: "5 .. 10 mL"})
	r := run(t, small, ByInput, sim.Options{Realizations: 2000})
	assert.Equal(t, TooCommon, r.Of(Overflow).Telling)
	assert.Equal(t, r.Of(Overflow).Sampled, r.Of(Overflow).Events)
	assert.Equal(t, Told, r.Of(FirstOverflow).Telling)
	assert.Equal(t, NeverMoves, r.Of(PeakFill).Telling, "full in all")
	half := modelOf(t, oneCan, scenarios.Change{Path: "separator.usable_volume", Value: "0.12 .. 0.16 L"})
	r = run(t, half, ByInput, sim.Options{Realizations: 2000})
	assert.Equal(t, Told, r.Of(Overflow).Telling)
	assert.InDelta(t, float64(r.Of(Overflow).Events)/float64(r.Of(Overflow).Sampled), r.Of(Overflow).Mean, 1e-12)
}

func ready(t *testing.T) *sim.Model {
	t.Helper()
	s, err := scenarios.Ready("sealed-drain")
	require.NoError(t, err)
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	return m
}

func TestTiedInputsAreOne(t *testing.T) {
	a, err := New(ready(t), ByInput, sim.Options{})
	require.NoError(t, err)
	tied, luck, inputs := 0, 0, 0
	for i, d := range a.Drivers {
		inputs += len(d.Inputs)
		assert.Len(t, a.design.Parts[i].Inputs, len(d.Inputs))
		switch {
		case d.Luck():
			luck++
			assert.True(t, a.design.Parts[i].Luck)
		case d.Tied:
			tied++
			require.Len(t, d.Inputs, 2)
			assert.Equal(t, "engine.blow_by.full_throttle", d.Inputs[0].Path)
			assert.Equal(t, "carry_over.oil_used", d.Inputs[1].Path)
			assert.False(t, d.Measured(), "one of the two is stated")
		default:
			assert.Len(t, d.Inputs, 1)
		}
	}
	assert.Equal(t, 1, tied)
	assert.Equal(t, 1, luck)
	assert.Equal(t, len(ready(t).Uncertain()), inputs)
}

func TestBlocks(t *testing.T) {
	a, err := New(ready(t), ByBlock, sim.Options{})
	require.NoError(t, err)
	var names []string
	for _, d := range a.Drivers {
		names = append(names, strings.Join(d.Blocks, "+"))
	}
	assert.Equal(t, []string{"engine+carry_over", "oil", "separator", "drain", ""}, names, "tied inputs join their blocks")
}

// Inputs that were learned together are drawn by one coordinate, and are one driver.
func TestLearnedInputsAreOne(t *testing.T) {
	base, err := scenarios.Ready("sealed-drain")
	require.NoError(t, err)
	l := &scenarios.Learned{File: "draws.csv", Quantities: []*scenarios.Quantity{base.Input("oil.aeration"), base.Input("drain.fall")}}
	for i := range 20 {
		l.Weights = append(l.Weights, 1)
		for k, at := range []float64{0.1, 0.04} {
			if i == 0 {
				l.Values = append(l.Values, nil)
			}
			l.Values[k] = append(l.Values[k], at*(1+float64(i)/100))
		}
	}
	var draws strings.Builder
	require.NoError(t, base.WriteLearned(&draws, l))
	text, err := base.SourceWith(l.Block())
	require.NoError(t, err)
	s, err := scenarios.Parse("made.yaml", text, func(string) (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(draws.String())), nil })
	require.NoError(t, err)
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	a, err := New(m, ByInput, sim.Options{})
	require.NoError(t, err)
	learned := 0
	for i, d := range a.Drivers {
		if d.Learned {
			learned++
			assert.Len(t, d.Inputs, 2)
			assert.Len(t, a.design.Parts[i].Inputs, 1)
		}
	}
	assert.Equal(t, 1, learned)
	a, err = New(m, ByBlock, sim.Options{})
	require.NoError(t, err)
	joined := false
	for _, d := range a.Drivers {
		joined = joined || strings.Contains(strings.Join(d.Blocks, "+"), "oil+") && d.Learned
	}
	assert.True(t, joined, "blocks that were learned together are one")
}

// A place of A is the realization of a run with the same seed and sampling.
func TestFirstPlacesAreThoseOfARun(t *testing.T) {
	m := ready(t)
	a, err := New(m, ByBlock, sim.Options{Realizations: 700})
	require.NoError(t, err)
	s, err := Evaluate(context.Background(), a.design, a.function)
	require.NoError(t, err)
	res, err := m.Run(context.Background(), sim.Options{Realizations: a.Points, Keep: a.Points, Sampling: a.design.Sampling.Name()})
	require.NoError(t, err)
	for j, first := range res.Kept {
		want := 0.0
		if first.Fails() <= a.Length {
			want = 1
		}
		require.Equal(t, want, s.at(j, 0)[0])
	}
}

func TestAnalysisIsTheSameForAnyWorkers(t *testing.T) {
	var results []*Result
	for _, workers := range []int{1, 2} {
		r := run(t, ready(t), ByBlock, sim.Options{Realizations: 1000, Workers: workers})
		r.Scenario, r.Drivers = nil, nil
		results = append(results, r)
	}
	assert.Equal(t, results[0], results[1])
}

func TestWhatCantBeAnalysed(t *testing.T) {
	exact := modelOf(t, oneCan, scenarios.Change{Path: "carry_over.full_throttle", Value: "0.05 g/s"},
		scenarios.Change{Path: "separator.usable_volume", Value: "1 L"}, scenarios.Change{Path: "separator.efficiency", Value: "70 %"})
	_, err := New(exact, ByInput, sim.Options{})
	assert.ErrorIs(t, err, ErrNothingUncertain)
	_, err = New(modelOf(t, oneCan), ByInput, sim.Options{Realizations: 499})
	assert.EqualError(t, err, "499 realizations are too few to tell 3 drivers apart: give 500 or more, or take the inputs of each block together")
	a, err := New(modelOf(t, oneCan), ByInput, sim.Options{Realizations: 509})
	require.NoError(t, err)
	assert.Equal(t, 505, a.Realizations(), "whole base points")
	n, err := a.Try(context.Background(), 3)
	require.NoError(t, err)
	assert.Equal(t, 15, n)
}

func TestPooling(t *testing.T) {
	share := func(total, error float64) Share {
		return Share{Total: Index{total, total - 2*error, total + 2*error, error}}
	}
	o := &OutputResult{Indices: Indices{Parts: []Share{share(0.3, 0.02), share(0.002, 0.001), share(0.6, 0.03), share(0.01, 0.01), share(0.02, 0.002)}}}
	shown, rest := o.Ranked()
	assert.Equal(t, []int{2, 0, 4}, shown)
	assert.Equal(t, []int{1, 3}, rest)
	assert.InDelta(t, 0.012, o.AtMost(rest).Value, 1e-12)
	assert.InDelta(t, 0.034, o.AtMost(rest).High, 1e-12)
}
