package sampling

import (
	"errors"
	"math"
	"slices"
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
)

// spearman returns the rank correlation of samples without ties.
func spearman(x, y []float64) float64 {
	return stat.Correlation(ranks(x), ranks(y), nil)
}

func ranks(x []float64) []float64 {
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	sort.Slice(order, func(i, j int) bool { return x[order[i]] < x[order[j]] })
	r := make([]float64, len(x))
	for rank, i := range order {
		r[i] = float64(rank)
	}
	return r
}

// Standard error of Spearman's coefficient: Bonett, Wright 2000, Psychometrika 65(1)
// 23-28 (from memory), turned back from Fisher's z.
func spearmanError(r float64, n int) float64 {
	return (1 - r*r) * math.Sqrt((1+r*r/2)/float64(n-3))
}

func TestCopulaReachesTheRanks(t *testing.T) {
	const blocks = 40
	keys := someKeys(7)
	pairs := []RankCorrelation{{1, 4, 0.6}, {4, 5, -0.35}, {1, 5, 0.2}, {6, 2, 0.95}}
	want := map[[2]int]float64{}
	for _, p := range pairs {
		want[pairOf(p)] = p.Rank
	}
	copula, err := NewCopula(len(keys), pairs)
	require.NoError(t, err)
	for _, d := range designs {
		t.Run(d.Name(), func(t *testing.T) {
			all := make([][]float64, len(keys))
			for b := range blocks {
				u := drawBlock(d, 3, keys, b)
				copula.Apply(u)
				for i := range u {
					all[i] = append(all[i], u[i]...)
				}
			}
			n := blocks * BlockSize
			for i := range keys {
				assertLaw(t, slices.Clone(all[i]), func(x float64) float64 { return x }, "marginal")
				for j := range i {
					r := want[[2]int{j, i}] // 0 where none is stated
					assert.InDelta(t, r, spearman(all[i], all[j]), 4*spearmanError(r, n), "%d with %d", j, i)
				}
			}
		})
	}
}

func TestCopulaKeepsTheFirst(t *testing.T) {
	keys := someKeys(6)
	copula, err := NewCopula(6, []RankCorrelation{{4, 1, 0.5}, {5, 3, 0.7}})
	require.NoError(t, err)
	before := drawBlock(LatinHypercube{}, 3, keys, 0)
	after := drawBlock(LatinHypercube{}, 3, keys, 0)
	copula.Apply(after)
	for i := range keys {
		changes := i == 4 || i == 5
		assert.Equal(t, !changes, slices.Equal(before[i], after[i]), "input %d", i)
	}
	point := make([]float64, 6)
	for _, j := range []int{0, 77, 499} {
		LatinHypercube{}.Point(3, keys, uint64(j), point)
		copula.ApplyPoint(point)
		for i := range keys {
			assert.Equal(t, after[i][j], point[i], "one realization alone")
		}
	}
	// An input in between, and the order in which pairs are stated, change nothing.
	wider, err := NewCopula(7, []RankCorrelation{{6, 4, 0.7}, {1, 5, 0.5}})
	require.NoError(t, err)
	v := drawBlock(LatinHypercube{}, 3, slices.Insert(slices.Clone(keys), 2, InputKey("between")), 0)
	wider.Apply(v)
	assert.True(t, slices.Equal(after[4], v[5]))
	assert.True(t, slices.Equal(after[5], v[6]))
}

// In a chain each correlated draw builds on the independent draws below it, not on
// those already correlated.
func TestCopulaAgainstTheMatrixProduct(t *testing.T) {
	copula, err := NewCopula(3, []RankCorrelation{{0, 1, 0.8}, {1, 2, 0.5}})
	require.NoError(t, err)
	r01, r12 := 2*math.Sin(math.Pi*0.8/6), 2*math.Sin(math.Pi*0.5/6)
	z := []float64{0.3, -1.2, 0.7}
	u := []float64{openNormalCDF(z[0]), openNormalCDF(z[1]), openNormalCDF(z[2])}
	copula.ApplyPoint(u)
	l11 := math.Sqrt(1 - r01*r01)
	l21 := r12 / l11
	assert.InDelta(t, openNormalCDF(r01*z[0]+l11*z[1]), u[1], 1e-14)
	assert.InDelta(t, openNormalCDF(l21*z[1]+math.Sqrt(1-l21*l21)*z[2]), u[2], 1e-14)
}

func TestCopulaStaysInside(t *testing.T) {
	copula, err := NewCopula(2, []RankCorrelation{{0, 1, 0.7}})
	require.NoError(t, err)
	for _, end := range []float64{0x1p-53, 1 - 0x1p-53} {
		u := []float64{end, end}
		copula.ApplyPoint(u)
		assert.Greater(t, u[1], 0.0)
		assert.Less(t, u[1], 1.0)
	}
}

func TestCopulaThatCannotHold(t *testing.T) {
	_, err := NewCopula(6, []RankCorrelation{{1, 2, 0.9}, {2, 4, 0.9}, {4, 5, 0.1}})
	require.EqualError(t, err, "correlations cannot hold together (their matrix is not positive definite): "+
		"input 1 with input 2 0.9, input 2 with input 4 0.9; multiply them by 0.76 or less, "+
		"or state those left out, which count as 0: input 1 with input 4")
	var e *CorrelationError
	require.True(t, errors.As(err, &e))
	scaled := func(s float64) error {
		_, err := NewCopula(6, []RankCorrelation{{1, 2, 0.9 * s}, {2, 4, 0.9 * s}})
		return err
	}
	assert.NoError(t, scaled(e.Scale))
	assert.Error(t, scaled(e.Scale+0.01))
	// Two equal correlations hold with the third at 0 as long as each normal one is below
	// 1/√2: rank 6/π asin(√2/4) = 0.690.
	assert.InDelta(t, 6/math.Pi*math.Asin(math.Sqrt2/4), 0.9*e.Scale, 0.9*0.01)

	_, err = NewCopula(3, []RankCorrelation{{0, 1, 0.9}, {0, 2, 0.9}, {1, 2, -0.9}})
	require.True(t, errors.As(err, &e))
	assert.Empty(t, e.Unset)
	names := []string{"a", "b", "c"}
	assert.Contains(t, e.Describe(func(i int) string { return names[i] }), "b with c -0.9; multiply them by 0.")
}

func TestCopulaWrongPairs(t *testing.T) {
	for _, row := range []struct {
		pairs   []RankCorrelation
		message string
	}{
		{[]RankCorrelation{{0, 3, 0.5}}, "correlation between inputs 0 and 3: there are inputs 0 to 2 only"},
		{[]RankCorrelation{{-1, 2, 0.5}}, "correlation between inputs -1 and 2: there are inputs 0 to 2 only"},
		{[]RankCorrelation{{1, 1, 0.5}}, "correlation of input 1 with itself: name two different inputs"},
		{[]RankCorrelation{{0, 1, 1}}, "correlation between inputs 0 and 1: rank 1 is not between -1 and 1; use at most 0.999, or make one input of the two"},
		{[]RankCorrelation{{0, 1, math.NaN()}}, "correlation between inputs 0 and 1: rank NaN is not between -1 and 1; use at most 0.999, or make one input of the two"},
		{[]RankCorrelation{{0, 1, 0.5}, {1, 0, 0.5}}, "correlation between inputs 1 and 0 is stated twice: keep one"},
	} {
		_, err := NewCopula(3, row.pairs)
		assert.EqualError(t, err, row.message)
	}
	none, err := NewCopula(0, nil)
	require.NoError(t, err)
	none.Apply(nil)
	for _, r := range []float64{0.999, -0.999} {
		_, err = NewCopula(2, []RankCorrelation{{0, 1, r}})
		assert.NoError(t, err)
	}
}
