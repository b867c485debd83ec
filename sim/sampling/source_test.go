package sampling

import (
	"hash/fnv"
	"math"
	"math/big"
	"math/rand/v2"
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

var _ rand.Source = (*Stream)(nil)

// Source: test vectors of the FNV reference (from memory), and Go's hash/fnv.
func TestInputKey(t *testing.T) {
	assert.Equal(t, Key(0xcbf29ce484222325), InputKey(""))
	assert.Equal(t, Key(0xaf63dc4c8601ec8c), InputKey("a"))
	assert.Equal(t, Key(0x85944171f73967e8), InputKey("foobar"))
	h := fnv.New64a()
	_, _ = h.Write([]byte("drain.fall"))
	assert.Equal(t, Key(h.Sum64()), InputKey("drain.fall"))
}

// Source: SplitMix64 from seed 1234567, published by several implementations (from
// memory).
func TestMix(t *testing.T) {
	const golden = 0x9e3779b97f4a7c15
	state := uint64(1234567)
	for _, want := range []uint64{6457827717110365317, 3203168211198807973, 9817491932198370423, 4593380528125082431, 16408922859458223821} {
		assert.Equal(t, want, mix(state))
		state += golden
	}
}

// The bit source is the 128-bit generator PCG XSL RR with the published multiplier and
// increment, here in big integers: O'Neill 2014, "PCG: a family of simple fast
// space-efficient statistically good algorithms for random number generation", Harvey
// Mudd College HMC-CS-2014-0905, 6.3 (constants from memory).
func TestBitSource(t *testing.T) {
	multiplier, _ := new(big.Int).SetString("47026247687942121848144207491837523525", 10)
	increment, _ := new(big.Int).SetString("117397592171526113268558934119004209487", 10)
	modulus := new(big.Int).Lsh(big.NewInt(1), 128)
	word := new(big.Int).SetUint64(math.MaxUint64)

	const start = 0x0123456789abcdef
	s := startStream(start)
	state := new(big.Int).Lsh(big.NewInt(start), 64)
	state.Add(state, big.NewInt(start))
	for range 1000 {
		state.Mul(state, multiplier).Add(state, increment).Mod(state, modulus)
		high := new(big.Int).Rsh(state, 64).Uint64()
		low := new(big.Int).And(state, word).Uint64()
		turn := high >> 58
		x := high ^ low
		if !assert.Equal(t, x>>turn|x<<(64-turn), s.Uint64()) {
			return
		}
	}
}

// regression: a change of any of these changes every result that was ever printed.
func TestDrawsStayTheSame(t *testing.T) {
	s := NewStream(0, InputKey("drain.fall"), 7, 1, 2)
	assert.Equal(t, []float64{0.626247749986773, 0.9225142083103833, 0.5743276910062888, 0.2994400891540582}, []float64{
		Uniform(0, InputKey("drain.fall"), 0),
		Uniform(1, InputKey("drain.fall"), 0),
		Uniform(1, InputKey("drain.fall"), 1<<40),
		s.Float64(),
	})
}

func TestOpenInterval(t *testing.T) {
	lowest, highest := cellCentre(0), cellCentre(math.MaxUint64)
	assert.Equal(t, 0x1p-53, lowest)
	assert.Equal(t, 1-0x1p-53, highest)
	assert.Equal(t, math.Nextafter(1, 0), place(BlockSize-1, highest), "the last stratum stays below 1")
	assert.Greater(t, place(0, lowest), 0.0)
	for stratum := range uint16(BlockSize) {
		assert.Less(t, place(stratum, highest), float64(stratum+1)/BlockSize, "the point stays in its stratum")
		assert.GreaterOrEqual(t, place(stratum, lowest), float64(stratum)/BlockSize)
	}
}

// axes are the ways in which neighbouring addresses can differ; each must give draws
// that look independent.
var axes = map[string]func(i uint64) float64{
	"index":       func(i uint64) float64 { return Uniform(1, 2, i) },
	"key":         func(i uint64) float64 { return Uniform(1, Key(i), 2) },
	"seed":        func(i uint64) float64 { return Uniform(i, 1, 2) },
	"diagonal":    func(i uint64) float64 { return Uniform(i, Key(i), i) },
	"high bits":   func(i uint64) float64 { return Uniform(i<<44, 0, 0) },
	"stream":      func(i uint64) float64 { s := NewStream(1, 2, i); return s.Float64() },
	"sub":         func(i uint64) float64 { s := NewStream(1, 2, 3, i); return s.Float64() },
	"second draw": func(i uint64) float64 { s := NewStream(1, 2, i); s.Float64(); return s.Float64() },
	"lap": func(i uint64) float64 {
		return distuv.UnitNormal.CDF(logFactor(LapFactor(1, 2, i, SpreadOf(0.1)), 0.1))
	},
	"realization": func(i uint64) float64 {
		return distuv.UnitNormal.CDF(logFactor(LapFactor(1, i, 2, SpreadOf(0.1)), 0.1))
	},
	"permutation": func(i uint64) float64 { return (float64(permutation(1, 2, i)[0]) + 0.5) / BlockSize },
}

// logFactor returns the standard normal draw behind a lap factor.
func logFactor(f, cv float64) float64 {
	variance := math.Log(1 + cv*cv)
	return (math.Log(f) + variance/2) / math.Sqrt(variance)
}

// Chi-square over 100 cells and over 20 by 20 cells of successive pairs, at a level of
// 1e-5 to each side (44 tests at fixed seeds), and lags 1, 2 and 500 within 4 standard
// errors.
func TestNeighboursAreIndependent(t *testing.T) {
	const n = 40_000
	for name, draw := range axes {
		t.Run(name, func(t *testing.T) {
			u := make([]float64, n)
			cells := make([]float64, 100)
			pairs := make([]float64, 400)
			for i := range u {
				u[i] = draw(uint64(i))
				cells[int(u[i]*100)]++
				if i%2 == 1 {
					pairs[int(u[i-1]*20)*20+int(u[i]*20)]++
				}
			}
			assertUniform(t, cells)
			assertUniform(t, pairs)
			for _, lag := range []int{1, 2, BlockSize} {
				r := stat.Correlation(u[:n-lag], u[lag:], nil)
				assert.InDelta(t, 0, r, 4/math.Sqrt(float64(n-lag)), "lag %d", lag)
			}
		})
	}
}

// assertUniform checks counts against equal expectations by chi-square.
func assertUniform(t *testing.T, counts []float64) {
	t.Helper()
	total := 0.0
	for _, c := range counts {
		total += c
	}
	expected := total / float64(len(counts))
	chi2 := 0.0
	for _, c := range counts {
		chi2 += (c - expected) * (c - expected) / expected
	}
	law := distuv.ChiSquared{K: float64(len(counts) - 1)}
	assert.Greater(t, chi2, law.Quantile(1e-5))
	assert.Less(t, chi2, law.Quantile(1-1e-5))
}

// assertLaw checks draws against a distribution function by Kolmogorov and Smirnov, at a
// level of 1e-5 (critical value √(ln(2/level)/2) = 2.471).
func assertLaw(t *testing.T, draws []float64, cdf func(float64) float64, name string) {
	t.Helper()
	sort.Float64s(draws)
	n := float64(len(draws))
	d := 0.0
	for i, x := range draws {
		f := cdf(x)
		d = max(d, f-float64(i)/n, float64(i+1)/n-f)
	}
	assert.Less(t, d*math.Sqrt(n), 2.471, name)
}

func TestStreamLaws(t *testing.T) {
	const n = 20_000
	s := NewStream(3, InputKey("laws"), 0)
	draws := make([]float64, n)
	for i := range draws {
		draws[i] = s.NormFloat64()
	}
	assertLaw(t, draws, distuv.UnitNormal.CDF, "normal")
	for _, shape := range []float64{0.2, 0.7, 1, 2.5, 40, 1e4} {
		for i := range draws {
			draws[i] = s.Gamma(shape)
		}
		mean, variance := stat.MeanVariance(draws, nil)
		assert.InDelta(t, shape, mean, 4*math.Sqrt(shape/n), "mean of shape %v", shape)
		assert.InDelta(t, shape, variance, 4*math.Sqrt((2*shape*shape+6*shape)/n), "variance of shape %v", shape)
		assertLaw(t, draws, distuv.Gamma{Alpha: shape, Beta: 1}.CDF, "gamma")
	}
	for i := range draws {
		draws[i] = s.Gamma(1)
	}
	assertLaw(t, draws, distuv.Exponential{Rate: 1}.CDF, "shape 1 is exponential")
	for _, shape := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		assert.True(t, math.IsNaN(s.Gamma(shape)), "shape %v", shape)
	}
	counts := make([]float64, 7)
	for range n {
		counts[s.below(7)]++
	}
	assertUniform(t, counts)
}

func TestStreamIsAValue(t *testing.T) {
	s := NewStream(1, 2, 3)
	s.Float64()
	branch := s
	assert.Equal(t, s.Float64(), branch.Float64())
	first := func(s Stream) float64 { return s.Float64() }
	assert.NotEqual(t, first(NewStream(1, 2, 3)), first(NewStream(1, 2, 3, 0)), "a sub is part of the address")
	assert.NotEqual(t, first(NewStream(1, 2, 3, 0)), first(NewStream(1, 2, 3, 0, 0)))
	assert.NotEqual(t, first(NewStream(1, 2, 3)), Uniform(1, 2, 3), "purposes are apart")
	assert.NotEqual(t, Uniform(1, 2, 3), Uniform(1, 3, 2), "the parts of an address are apart")
	assert.NotEqual(t, Uniform(1, 2, 3), Uniform(2, 1, 3))
	assert.NotEqual(t, Uniform(1, 2, 3), Uniform(1, 1, 4))
	assert.NotEqual(t, LapFactor(1, 2, 3, SpreadOf(0.1)), LapFactor(1, 3, 3, SpreadOf(0.1)))
}

func TestLapFactor(t *testing.T) {
	const n = 20_000
	for _, cv := range []float64{0.05, 0.12, 0.5} {
		draws := make([]float64, n)
		for i := range draws {
			draws[i] = LapFactor(1, 4, uint64(i), SpreadOf(cv))
		}
		mean, sd := stat.MeanStdDev(draws, nil)
		assert.InDelta(t, 1, mean, 4*cv/math.Sqrt(n), "mean at %v", cv)
		sigma := math.Sqrt(math.Log(1 + cv*cv))
		excess := 1 + cv*cv*(16+15*cv*cv+6*math.Pow(cv, 4)+math.Pow(cv, 6))/2 // of the log-normal's kurtosis
		assert.InDelta(t, cv, sd, 4*cv*math.Sqrt(excess/(2*n)), "spread at %v", cv)
		assertLaw(t, draws, distuv.LogNormal{Mu: -sigma * sigma / 2, Sigma: sigma}.CDF, "log-normal")
	}
	for _, cv := range []float64{0, -1, math.NaN()} {
		assert.Equal(t, 1.0, LapFactor(1, 2, 3, SpreadOf(cv)))
	}
}
