package sampling

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

var designs = []Design{LatinHypercube{}, Sobol{}, Random{}}

// someKeys returns keys of inputs, of which the fourth, the ninth ... are none that any
// design knows by name.
func someKeys(n int) []Key {
	keys := make([]Key, n)
	for i := range keys {
		keys[i] = InputKey(dimensionPaths[i])
		if i%5 == 3 {
			keys[i] = InputKey(fmt.Sprintf("input.%d", i))
		}
	}
	return keys
}

func newBlock(inputs, size int) [][]float64 {
	u := make([][]float64, inputs)
	for i := range u {
		u[i] = make([]float64, size)
	}
	return u
}

func drawBlock(d Design, seed uint64, keys []Key, block int) [][]float64 {
	u := newBlock(len(keys), BlockSize)
	d.Block(seed, keys, block, u)
	return u
}

// drawBlocks returns the draws of each key over the blocks 0 to blocks-1.
func drawBlocks(d Design, seed uint64, keys []Key, blocks int) [][]float64 {
	all := make([][]float64, len(keys))
	for b := range blocks {
		for i, column := range drawBlock(d, seed, keys, b) {
			all[i] = append(all[i], column...)
		}
	}
	return all
}

// What every design promises.
func TestDesignContract(t *testing.T) {
	for _, d := range designs {
		t.Run(d.Name(), func(t *testing.T) {
			keys := someKeys(5)
			t.Run("by name", func(t *testing.T) {
				same, err := DesignByName(d.Name())
				require.NoError(t, err)
				assert.Equal(t, d, same)
			})
			t.Run("reproducible, and seeds differ", func(t *testing.T) {
				for _, seed := range []uint64{0, 1, math.MaxUint64} {
					assert.Equal(t, drawBlock(d, seed, keys, 3), drawBlock(d, seed, keys, 3))
					assert.NotEqual(t, drawBlock(d, seed, keys, 3), drawBlock(d, seed+1, keys, 3))
				}
				assert.NotEqual(t, drawBlock(d, 1, keys, 3), drawBlock(d, 1, keys, 4))
			})
			t.Run("one realization alone", func(t *testing.T) {
				u := drawBlock(d, 7, keys, 11)
				point := make([]float64, len(keys))
				for n := range BlockSize { // in an order of their own: 7 has no divisor of the size in it
					j := (7*n + 3) % BlockSize
					d.Point(7, keys, uint64(11*BlockSize+j), point)
					for i := range keys {
						require.Equal(t, u[i][j], point[i])
					}
				}
			})
			t.Run("other inputs move nothing", func(t *testing.T) {
				u := drawBlock(d, 7, keys, 0)
				more := []Key{InputKey("new"), keys[4], InputKey("drain.bore"), keys[0], keys[3]}
				v := drawBlock(d, 7, more, 0)
				assert.Equal(t, u[4], v[1])
				assert.Equal(t, u[0], v[3])
				assert.Equal(t, u[3], v[4])
			})
			t.Run("a block cut short keeps its draws", func(t *testing.T) {
				whole := drawBlock(d, 7, keys, 2)
				cut := newBlock(len(keys), 120)
				d.Block(7, keys, 2, cut)
				for i := range keys {
					assert.Equal(t, whole[i][:120], cut[i])
				}
			})
			t.Run("blocks in any order", func(t *testing.T) {
				before := drawBlock(d, 7, keys, 33)
				drawBlock(d, 7, keys, 1)
				assert.Equal(t, before, drawBlock(d, 7, keys, 33))
			})
			t.Run("uniform, inside (0, 1), inputs independent", func(t *testing.T) {
				assertMarginals(t, d, keys)
			})
		})
	}
}

// assertMarginals checks each coordinate and each two over 40 blocks: chi-square over 100
// cells and Kolmogorov and Smirnov at a level of 1e-5, correlations within 4 standard
// errors of independent draws. A design that is more even than chance is far inside.
func assertMarginals(t *testing.T, d Design, keys []Key) {
	all := drawBlocks(d, 7, keys, 40)
	n := float64(len(all[0]))
	for i := range keys {
		assert.Greater(t, slices.Min(all[i]), 0.0)
		assert.Less(t, slices.Max(all[i]), 1.0)
		for j := range i {
			assert.InDelta(t, 0, stat.Correlation(all[i], all[j], nil), 4/math.Sqrt(n))
			// where both are far out, and in halves of either
			assert.InDelta(t, 0, stat.Correlation(apply(all[i], tent), apply(all[j], tent), nil), 4/math.Sqrt(n))
			assert.InDelta(t, 0, stat.Correlation(apply(all[i], half), apply(all[j], half), nil), 4/math.Sqrt(n))
		}
		cells := make([]float64, 100)
		for _, u := range all[i] {
			cells[int(u*100)]++
		}
		chi2 := 0.0
		for _, c := range cells {
			chi2 += (c - n/100) * (c - n/100) / (n / 100)
		}
		assert.Less(t, chi2, distuv.ChiSquared{K: 99}.Quantile(1-1e-5))
		if d != (Sobol{}) { // whose order within a block is what makes any part of it even
			assert.InDelta(t, 0, stat.Correlation(all[i][1:], all[i][:len(all[i])-1], nil), 4/math.Sqrt(n))
		}
		assertLaw(t, slices.Clone(all[i]), func(x float64) float64 { return x }, d.Name())
	}
}

func apply(x []float64, f func(float64) float64) []float64 {
	y := make([]float64, len(x))
	for i := range x {
		y[i] = f(x[i])
	}
	return y
}

func tent(x float64) float64 { return math.Abs(x - 0.5) }

func half(x float64) float64 { return math.Floor(2 * x) }

func TestLatinHypercubeStrata(t *testing.T) {
	keys := someKeys(6)
	within := make([]float64, 100)
	for block := range 30 {
		for _, column := range drawBlock(LatinHypercube{}, 5, keys, block) {
			var seen [BlockSize]int
			for _, u := range column {
				stratum := int(u * BlockSize)
				seen[stratum]++
				within[int((u*BlockSize-float64(stratum))*100)]++
			}
			for stratum, n := range seen {
				require.Equal(t, 1, n, "stratum %d of block %d", stratum, block)
			}
		}
	}
	assertUniform(t, within)
}

// Every stratum is as likely at every place, and pairs of places are unrelated.
func TestPermutations(t *testing.T) {
	const n = 20_000
	at := make([]float64, 20)
	joint := make([]float64, 100)
	for i := range uint64(n) {
		p := permutation(9, Key(i%7), i)
		at[p[137]/25]++
		joint[p[0]/50*10+p[499]/50]++
	}
	assertUniform(t, at)
	// Two places of one permutation are never equal: the diagonal cells have 49 of 50
	// companions.
	chi2 := 0.0
	for i, c := range joint {
		expected := float64(n) * 50 * 50 / (BlockSize * (BlockSize - 1))
		if i/10 == i%10 {
			expected *= 49.0 / 50
		}
		chi2 += (c - expected) * (c - expected) / expected
	}
	assert.InDelta(t, 99, chi2, 4*math.Sqrt(2*99))
}

// The point of it: the mean of a sum of inputs is nearly free of sampling error (its
// standard deviation falls from √(3/12)/√500 to about √(3/12)/500^1.5).
func TestLatinHypercubeMean(t *testing.T) {
	keys := someKeys(3)
	for block := range 20 {
		sum := 0.0
		for _, column := range drawBlock(LatinHypercube{}, 1, keys, block) {
			sum += stat.Mean(column, nil)
		}
		assert.InDelta(t, 1.5, sum, 4*math.Sqrt(3.0/12)*math.Pow(BlockSize, -1.5))
	}
}

func TestDesignByNameUnknown(t *testing.T) {
	_, err := DesignByName("halton")
	assert.EqualError(t, err, `unknown sampling "halton": use sobol, latin-hypercube or random`)
}

func TestNoAllocations(t *testing.T) {
	keys := someKeys(20)
	u := newBlock(20, BlockSize)
	point := make([]float64, 20)
	copula, err := NewCopula(20, []RankCorrelation{{0, 3, 0.6}, {3, 7, -0.4}})
	require.NoError(t, err)
	sink := 0.0
	for name, f := range map[string]func(){
		"uniform":     func() { sink += Uniform(1, 2, 3) },
		"lap":         func() { sink += LapFactor(1, 2, 3, SpreadOf(0.1)) },
		"stream":      func() { s := NewStream(1, 2, 3, 4, 5); sink += s.Float64() + s.NormFloat64() + s.Gamma(0.5) },
		"key":         func() { sink += float64(InputKey("drain.fall")) },
		"copula":      func() { copula.Apply(u) },
		"one copula":  func() { copula.ApplyPoint(point) },
		"hypercube":   func() { LatinHypercube{}.Block(1, keys, 2, u) },
		"one point":   func() { LatinHypercube{}.Point(1, keys, 999, point) },
		"sobol":       func() { Sobol{}.Block(1, keys, 2, u) },
		"one sobol":   func() { Sobol{}.Point(1, keys, 999, point) },
		"random":      func() { Random{}.Block(1, keys, 2, u) },
		"one random":  func() { Random{}.Point(1, keys, 999, point) },
		"permutation": func() { p := permutation(1, 2, 3); sink += float64(p[0]) },
	} {
		assert.Zero(t, testing.AllocsPerRun(10, f), name)
	}
}

func BenchmarkBlock(b *testing.B) {
	for _, d := range designs {
		for _, inputs := range []int{1, 20} {
			b.Run(fmt.Sprintf("design=%s/inputs=%d", d.Name(), inputs), func(b *testing.B) {
				keys := someKeys(inputs)
				u := newBlock(inputs, BlockSize)
				b.ReportAllocs()
				block := 0
				for b.Loop() {
					d.Block(1, keys, block, u)
					block++
				}
				b.ReportMetric(float64(b.N)*BlockSize/b.Elapsed().Seconds(), "realizations/s")
			})
		}
	}
}

func BenchmarkCopula(b *testing.B) {
	copula, err := NewCopula(20, []RankCorrelation{{0, 3, 0.6}, {3, 7, -0.4}})
	require.NoError(b, err)
	u := drawBlock(LatinHypercube{}, 1, someKeys(20), 0)
	b.ReportAllocs()
	for b.Loop() {
		copula.Apply(u)
	}
	b.ReportMetric(float64(b.N)*BlockSize/b.Elapsed().Seconds(), "realizations/s")
}
