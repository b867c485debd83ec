package stats

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"sumpward/sim/sampling"
)

// exactQuantile is the definition: the number of rank ⌈p n⌉.
func exactQuantile(x []float64, p float64) float64 {
	sorted := slices.Sorted(slices.Values(x))
	for i, v := range sorted {
		if float64(i+1) >= p*float64(len(x)) {
			return v
		}
	}
	return sorted[len(x)-1]
}

var shares = []float64{0, 0.001, 0.05, 0.25, 0.5, 0.75, 0.95, 0.999, 1}

func draws(n int, law func(z float64) float64) []float64 {
	s := sampling.NewStream(17, sampling.InputKey("quantiles"), uint64(n))
	x := make([]float64, n)
	for i := range x {
		x[i] = law(s.NormFloat64())
	}
	return x
}

func TestQuantiles(t *testing.T) {
	for name, law := range map[string]func(z float64) float64{
		"margins of either sign, mm": func(z float64) float64 { return 40 + 60*z },
		"volumes over many decades":  func(z float64) float64 { return 1e-6 * math.Exp(4*z) },
		"all below zero":             func(z float64) float64 { return -math.Exp(z) },
		"mostly zero":                func(z float64) float64 { return math.Max(0, z-0.5) },
		"sometimes never": func(z float64) float64 {
			if z > 1 {
				return math.Inf(1)
			}
			return 100 + z
		},
		"minus infinity too": func(z float64) float64 {
			if z < -1 {
				return math.Inf(-1)
			}
			return z
		},
	} {
		for _, n := range []int{1, 2, 10, 999, 5000} {
			x := draws(n, law)
			var q Quantiles
			for _, v := range x {
				q.Add(v)
			}
			assert.EqualValues(t, n, q.Count(), name)
			for _, p := range shares {
				want, got := exactQuantile(x, p), q.Quantile(p)
				if math.IsInf(want, 0) || want == 0 {
					assert.Equal(t, want, got, "%s, %v of %d", name, p, n)
					continue
				}
				assert.InEpsilon(t, want, got, 0.0025000001, "%s, %v of %d", name, p, n)
			}
		}
	}
}

// Not by rounding, but in the counts: each rank of a few numbers far apart is found.
func TestQuantilesRanks(t *testing.T) {
	var q Quantiles
	x := []float64{-1000, -10, -1, 0, 0, 2, 30, 500, 7000, math.Inf(1)}
	for _, v := range x {
		q.Add(v)
	}
	for i, want := range x {
		for _, p := range []float64{(float64(i) + 0.5) / 10, float64(i+1) / 10} {
			got := q.Quantile(p)
			if math.IsInf(want, 1) || want == 0 {
				assert.Equal(t, want, got, "p %v", p)
			} else {
				assert.InEpsilon(t, want, got, 0.0025000001, "p %v", p)
			}
		}
	}
	assert.Equal(t, -1000.0, q.Quantile(0), "the lowest exactly")
	// A share times a count that rounding lifts above a whole number is that number.
	assert.EqualValues(t, 7, rankOf(0.07, 100))
	assert.EqualValues(t, 29, rankOf(0.29, 100))
	assert.EqualValues(t, 30, rankOf(0.2900001, 100))
}

func TestFractionQuantiles(t *testing.T) {
	for name, law := range map[string]func(z float64) float64{
		"in the midst": func(z float64) float64 { return math.Min(1, math.Max(0, 0.5+0.1*z)) },
		"often full":   func(z float64) float64 { return math.Min(1, math.Max(0, 0.9+0.3*z)) },
		"often empty":  func(z float64) float64 { return math.Min(1, math.Max(0, 0.01*z)) },
		"narrow":       func(z float64) float64 { return 0.33301 + 1e-7*z },
	} {
		for _, n := range []int{1, 10, 5000} {
			x := draws(n, law)
			var q FractionQuantiles
			for _, v := range x {
				q.Add(v)
			}
			assert.EqualValues(t, n, q.Count())
			for _, p := range shares {
				want, got := exactQuantile(x, p), q.Quantile(p)
				assert.InDelta(t, want, got, 0.0005000001, "%s, %v of %d", name, p, n)
				if want == 0 || want == 1 {
					assert.Equal(t, want, got, "%s, %v of %d", name, p, n)
				}
			}
		}
	}
	var q FractionQuantiles
	q.Add(-0.5)
	q.Add(1.5)
	assert.Equal(t, []float64{0, 1}, []float64{q.Quantile(0.5), q.Quantile(1)}, "outside counts as the ends")
}

func TestQuantilesOfNothing(t *testing.T) {
	var q Quantiles
	var f FractionQuantiles
	assert.True(t, math.IsNaN(q.Quantile(0.5)))
	assert.True(t, math.IsNaN(f.Quantile(0.5)))
	q.Add(1)
	f.Add(1)
	for _, p := range []float64{-0.1, 1.1, math.NaN()} {
		assert.True(t, math.IsNaN(q.Quantile(p)))
		assert.True(t, math.IsNaN(f.Quantile(p)))
	}
	q.Add(math.NaN())
	f.Add(math.NaN())
	assert.True(t, math.IsNaN(q.Quantile(0.5)), "not a number does not pass unseen")
	assert.True(t, math.IsNaN(f.Quantile(0.5)))
	assert.EqualValues(t, 1, q.Count())
	assert.EqualValues(t, 1, f.Count())
}

// Parts merged in any order tell what the whole tells, bit by bit.
func TestQuantilesMerge(t *testing.T) {
	x := draws(3000, func(z float64) float64 {
		if z > 2 {
			return math.Inf(1)
		}
		if math.Abs(z) < 0.2 {
			return 0
		}
		return math.Copysign(math.Exp(3*math.Abs(z))-1, z)
	})
	var whole Quantiles
	var wholeFractions FractionQuantiles
	parts := make([]Quantiles, 8)
	fractions := make([]FractionQuantiles, 8)
	for i, v := range x {
		whole.Add(v)
		wholeFractions.Add(math.Abs(v) / 100)
		if part := i % 7; part < 5 || v > 0 { // uneven ranges; the eighth stays empty
			parts[part].Add(v)
			fractions[part].Add(math.Abs(v) / 100)
		} else {
			parts[0].Add(v)
			fractions[0].Add(math.Abs(v) / 100)
		}
	}
	for _, order := range [][]int{{0, 1, 2, 3, 4, 5, 6, 7}, {7, 6, 5, 4, 3, 2, 1, 0}, {3, 7, 0, 6, 2, 5, 1, 4}} {
		var merged Quantiles
		var mergedFractions FractionQuantiles
		for _, i := range order {
			merged.Merge(&parts[i])
			mergedFractions.Merge(&fractions[i])
		}
		assert.Equal(t, whole.Count(), merged.Count())
		assert.Equal(t, wholeFractions, mergedFractions)
		for p := 0.0; p <= 1; p += 1.0 / 256 {
			assert.Equal(t, whole.Quantile(p), merged.Quantile(p), "p %v", p)
		}
	}
}

// Memory grows with the range only, and adding within it allocates nothing.
func TestQuantilesMemory(t *testing.T) {
	var q Quantiles
	for _, x := range draws(10_000, func(z float64) float64 { return math.Exp(z) }) {
		q.Add(x)
	}
	size := len(q.positive.counts)
	assert.Less(t, size, 2500, "eight standard deviations, 3.5 decades")
	assert.Zero(t, testing.AllocsPerRun(100, func() { q.Add(1.5) }))
	assert.Equal(t, size, len(q.positive.counts))
	var f FractionQuantiles
	assert.Zero(t, testing.AllocsPerRun(100, func() { f.Add(0.5) }))
}

func BenchmarkQuantilesAdd(b *testing.B) {
	x := draws(1024, func(z float64) float64 { return 40 + 60*z })
	b.Run("sketch=decades", func(b *testing.B) {
		var q Quantiles
		for i := 0; b.Loop(); i++ {
			q.Add(x[i%len(x)])
		}
	})
	b.Run("sketch=fractions", func(b *testing.B) {
		var q FractionQuantiles
		for i := 0; b.Loop(); i++ {
			q.Add(x[i%len(x)] / 100)
		}
	})
}
