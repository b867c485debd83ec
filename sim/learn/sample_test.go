package learn

import (
	"context"
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Bit for bit the same for any number of workers, and another with another seed.
func TestWorkersChangeNothing(t *testing.T) {
	target := linear(3, reading{[]float64{1, -0.5, 0.2}, 1, 0.05})
	one := sampled(t, target, Options{Seed: 4, Draws: 700, Workers: 1})
	require.NotEmpty(t, one.Levels)
	for _, workers := range []int{2, 5} {
		assert.Equal(t, one, sampled(t, target, Options{Seed: 4, Draws: 700, Workers: workers}))
	}
	assert.NotEqual(t, one.U, sampled(t, target, Options{Seed: 5, Draws: 700}).U)
}

// Nothing seen leaves the first draws and an evidence of 1.
func TestNothingSeenChangesNothing(t *testing.T) {
	p := sampled(t, made(2, func([]float64, uint64) float64 { return 0 }), Options{Draws: 500})
	assert.Empty(t, p.Levels)
	assert.Equal(t, p.Prior.U, p.U)
	assert.InDelta(t, 0, p.LogEvidence, 1e-12)
	assert.InDelta(t, 0, p.LogEvidenceError, 1e-7, "the root of a rounding error")
	assert.InDelta(t, 500, p.Effective(), 1e-6)
	assert.Equal(t, 500, p.Evaluations)
}

// Where most places are impossible those left are found, and their share is the evidence.
func TestImpossiblePlacesAreLeftOut(t *testing.T) {
	p := sampled(t, made(1, func(u []float64, _ uint64) float64 {
		if u[0] < 0.97 {
			return math.Inf(-1)
		}
		return 0
	}), Options{Seed: 1, Draws: 1000})
	for i := range p.U {
		require.GreaterOrEqual(t, p.U[i][0], 0.97)
	}
	assert.InDelta(t, math.Log(0.03), p.LogEvidence, 0.02, "stratified draws count it")
	mean, se := p.Mean(func(i int) float64 { return p.U[i][0] })
	assert.InDelta(t, 0.985, mean, 4*se)
}

func TestWhatCanNotBe(t *testing.T) {
	p, err := Sample(context.Background(), made(1, func([]float64, uint64) float64 { return math.Inf(-1) }), Options{Draws: 100})
	require.ErrorIs(t, err, ErrImpossible)
	require.Len(t, p.Prior.U, 100, "so that it can be said why")
	for _, wrong := range []float64{math.NaN(), math.Inf(1)} {
		_, err = Sample(context.Background(), made(1, func([]float64, uint64) float64 { return wrong }), Options{Draws: 100})
		require.ErrorContains(t, err, "draw 0: the likelihood is")
	}
	failing := Target{Keys: made(1, nil).Keys, Worker: func() Evaluate {
		return func(u []float64, _ uint64, _ []float64) (float64, error) { return 0, errors.New("no such car") }
	}}
	_, err = Sample(context.Background(), failing, Options{Draws: 100})
	require.ErrorContains(t, err, "draw 0: no such car")
	_, err = Sample(context.Background(), Target{}, Options{})
	require.ErrorContains(t, err, "at least 2 of 1")
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = Sample(ctx, linear(1, reading{[]float64{1}, 1, 0.1}), Options{})
	require.ErrorIs(t, err, context.Canceled)
}

// Of n draws with weights w systematic resampling takes n·w of each, to the next
// whole number below or above.
func TestResamplingTakesEachAsOftenAsItWeighs(t *testing.T) {
	d := newDraws(5, 1, 1)
	for i := range 5 {
		d.U[i][0], d.Notes[i][0], d.Root[i], d.Luck[i], d.LogLikelihood[i] = float64(i), float64(i), i, uint64(i), float64(i)
	}
	w := []float64{0.1, 0, 0.46, 0.44, 0}
	for _, point := range []float64{1e-9, 0.3, 0.6, 1 - 1e-9} {
		r := resampled(d, w, point)
		count := make([]int, 5)
		for i := range r.U {
			count[r.Root[i]]++
			assert.Equal(t, float64(r.Root[i]), r.U[i][0])
			assert.Equal(t, float64(r.Root[i]), r.Notes[i][0])
			assert.Equal(t, float64(r.Luck[i]), r.LogLikelihood[i])
		}
		for i := range w {
			assert.GreaterOrEqual(t, float64(count[i]), math.Floor(5*w[i]))
			assert.LessOrEqual(t, float64(count[i]), math.Ceil(5*w[i]))
		}
	}
}

// Weighted means, quantiles and ranks of a few draws, by hand.
func TestFiguresOfDraws(t *testing.T) {
	d := &Draws{Weight: []float64{0.5, 0.25, 0.25, 0}, Root: []int{0, 1, 1, 3}}
	x := func(i int) float64 { return []float64{1, 3, 2, 9}[i] }
	mean, se := d.Mean(x)
	assert.InDelta(t, 1.75, mean, 1e-12)
	assert.InDelta(t, math.Sqrt(2*0.375*0.375), se, 1e-12, "0.5·(1-1.75) and 0.25·(3-1.75) + 0.25·(2-1.75)")
	assert.InDelta(t, 2, d.Effective(), 1e-12)
	assert.InDelta(t, math.Sqrt(0.5*0.75*0.75+0.25*1.25*1.25+0.25*0.25*0.25), d.Deviation(x), 1e-12)
	assert.Equal(t, []float64{1, 1, 2, 3, 3}, d.Quantiles(x, 0, 0.5, 0.6, 0.8, 1))
	assert.Equal(t, []float64{0.25, 0.875, 0.625, 1}, d.ranks(x))
	assert.InDelta(t, 1, d.RankCorrelation(x, func(i int) float64 { return math.Exp(x(i)) }), 1e-12)
	assert.InDelta(t, -1, d.RankCorrelation(x, func(i int) float64 { return -x(i) }), 1e-12)
	assert.Zero(t, d.RankCorrelation(x, func(int) float64 { return 4 }))
	e := &Draws{Weight: []float64{1}, Root: []int{0}}
	assert.InDelta(t, 0.75, apart(d, x, e, func(int) float64 { return 2.5 }), 1e-12)
	assert.InDelta(t, 1, apart(d, x, e, func(int) float64 { return 5 }), 1e-12)
	assert.Zero(t, apart(d, x, d, x))
}
