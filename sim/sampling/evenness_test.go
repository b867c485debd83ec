package sampling

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/stat"
)

// netOf returns n points of one replicate of a design: the first of a Sobol' sequence that
// goes on where a block would end, or those of blocks one after another, the last one cut.
func netOf(d Design, seed uint64, keys []Key, replicate, n int) [][]float64 {
	u := newBlock(len(keys), n)
	for i, k := range keys {
		if dimension, ok := dimensionOf(k); ok && d == (Sobol{}) {
			sobolFill(dimension, newOwen(seed, k, uint64(replicate)), 0, u[i])
		}
	}
	for block := replicate * 1000; d != (Sobol{}) && n > 0; block++ {
		for i, column := range drawBlock(d, seed, keys, block) {
			copy(u[i][len(u[i])-n:], column)
		}
		n -= BlockSize
	}
	points := make([][]float64, len(u[0]))
	for j := range points {
		for i := range keys {
			points[j] = append(points[j], u[i][j])
		}
	}
	return points
}

// listedKeys returns the keys of the first n dimensions of the Sobol' sequence.
func listedKeys(n int) []Key {
	keys := make([]Key, n)
	for i := range keys {
		keys[i] = InputKey(dimensionPaths[i])
	}
	return keys
}

// Each interval of volume 2^(t-m) that is cut from the cube by halving sides holds exactly
// 2^t of the first 2^m points, and no finer ones do: the points are a (t,m,s)-net after
// scrambling as before, and t is what the sequence has. In the first s dimensions it is
// the sum of (degree - 1) over their polynomials: 0, 0, 1, 3, 5 for s = 1 to 5.
// Source: Niederreiter 1987, "Point sets and sequences with small discrepancy", Monatsh.
// Math. 104, 273-337, for elementary intervals; Sobol' 1967 for t (both from memory).
func TestScrambledPointsAreNets(t *testing.T) {
	for _, row := range []struct{ s, m, t int }{
		{1, 9, 0}, {1, 12, 0}, {2, 8, 0}, {2, 11, 0}, {3, 9, 1}, {3, 12, 1}, {4, 10, 3}, {5, 11, 5},
	} {
		t.Run(fmt.Sprintf("s=%d/m=%d", row.s, row.m), func(t *testing.T) {
			for _, replicate := range []int{0, 3, 15} {
				points := netOf(Sobol{}, 5, listedKeys(row.s), replicate, 1<<row.m)
				assert.True(t, isNet(points, row.t, row.m))
				points[len(points)/3][0] = 1 - points[len(points)/3][0]
				assert.False(t, isNet(points, row.t, row.m), "one point out of place")
			}
			random := netOf(Random{}, 5, listedKeys(row.s), 0, 1<<row.m)
			assert.False(t, isNet(random, row.t, row.m), "random points are none")
		})
	}
}

// isNet counts the points in every elementary interval of volume 2^(t-m).
func isNet(points [][]float64, t, m int) bool {
	s := len(points[0])
	even := true
	divisions(s, m-t, func(digits []int) {
		counts := make([]int, 1<<(m-t))
		for _, p := range points {
			cell := 0
			for i, k := range digits {
				cell = cell<<k | int(math.Ldexp(p[i], k))
			}
			counts[cell]++
		}
		for _, c := range counts {
			even = even && c == 1<<t
		}
	})
	return even
}

// divisions calls f with each way to share out so many halvings to s sides.
func divisions(s, halvings int, f func(digits []int)) {
	digits := make([]int, s)
	var next func(i, left int)
	next = func(i, left int) {
		if i == s-1 {
			digits[i] = left
			f(digits)
			return
		}
		for digits[i] = 0; digits[i] <= left; digits[i]++ {
			next(i+1, left-digits[i])
		}
	}
	next(0, halvings)
}

// A net is even at every size on its way, in every coordinate, and so is each stretch of
// 2^k of its points that begins at a multiple of it.
func TestSobolStretchesAreStratified(t *testing.T) {
	keys := listedKeys(len(dimensionPaths))
	points := netOf(Sobol{}, 6, keys, 2, 2048)
	for _, size := range []int{2, 16, 128, 1024} {
		for from := 0; from+size <= len(points); from += size {
			for i := range keys {
				seen := make([]bool, size)
				for _, p := range points[from : from+size] {
					seen[int(p[i]*float64(size))] = true
				}
				assert.NotContains(t, seen, false, "dimension %d, %d points from %d", i, size, from)
			}
		}
	}
}

// No two of the inputs' dimensions share the halves that 512 of their points fall into.
func TestHalvesOfPairsAreEven(t *testing.T) {
	keys := listedKeys(len(dimensionPaths))
	points := netOf(Sobol{}, 7, keys, 1, 512)
	for i := range keys {
		for j := range i {
			quarters := [4]int{}
			for _, p := range points {
				quarters[int(2*p[i])*2+int(2*p[j])]++
			}
			assert.Equal(t, [4]int{128, 128, 128, 128}, quarters, "dimensions %d and %d", i, j)
		}
	}
}

// centredDiscrepancy returns the square of the centred L2 discrepancy of points,
//
//	(13/12)^s - 2/n Σ_i Π_k (1 + |z_ik|/2 - z_ik²/2)
//	  + 1/n² Σ_ij Π_k (1 + |z_ik|/2 + |z_jk|/2 - |x_ik - x_jk|/2),  z = x - 1/2.
//
// Source: Hickernell 1998, "A generalized discrepancy and quadrature error bound", Math.
// Comp. 67(221) 299-322.
func centredDiscrepancy(points [][]float64) float64 {
	n, s := float64(len(points)), len(points[0])
	one, two := 0.0, 0.0
	for _, x := range points {
		product := 1.0
		for k := range s {
			z := math.Abs(x[k] - 0.5)
			product *= 1 + z/2 - z*z/2
		}
		one += product
		for _, y := range points {
			product := 1.0
			for k := range s {
				product *= 1 + (math.Abs(x[k]-0.5)+math.Abs(y[k]-0.5)-math.Abs(x[k]-y[k]))/2
			}
			two += product
		}
	}
	return math.Pow(13.0/12, float64(s)) - 2*one/n + two/(n*n)
}

// starDiscrepancy returns the L2 star discrepancy of points,
//
//	D² = 3^-s - 2^(1-s)/n Σ_i Π_k (1 - x_ik²) + 1/n² Σ_ij Π_k (1 - max(x_ik, x_jk)).
//
// Source: Warnock 1972, "Computational investigations of low-discrepancy point sets", in
// Applications of Number Theory to Numerical Analysis, 319-343 (from memory).
func starDiscrepancy(points [][]float64) float64 {
	n, s := float64(len(points)), len(points[0])
	one, two := 0.0, 0.0
	for _, x := range points {
		product := 1.0
		for k := range s {
			product *= 1 - x[k]*x[k]
		}
		one += product
		for _, y := range points {
			product := 1.0
			for k := range s {
				product *= 1 - max(x[k], y[k])
			}
			two += product
		}
	}
	return math.Sqrt(math.Pow(3, -float64(s)) - math.Pow(2, 1-float64(s))*one/n + two/(n*n))
}

// Points x_ik = frac((i+1) √p_k), p = 2, 3, 5, 7, 11. Source: scipy 1.10.1,
// scipy.stats.qmc.discrepancy with the methods CD and L2-star.
func TestDiscrepancyAgainstAnotherLibrary(t *testing.T) {
	for _, row := range []struct {
		n, s          int
		centred, star float64
	}{
		{32, 2, 0.0012028927797957945, 0.02207331902431909},
		{50, 3, 0.0018599889487211918, 0.02019892842043722},
		{64, 5, 0.005642365266697924, 0.01582698521669737},
	} {
		points := make([][]float64, row.n)
		for i := range points {
			for _, p := range []float64{2, 3, 5, 7, 11}[:row.s] {
				_, f := math.Modf(float64(i+1) * math.Sqrt(p))
				points[i] = append(points[i], f)
			}
		}
		assert.InEpsilon(t, row.centred, centredDiscrepancy(points), 1e-9)
		assert.InEpsilon(t, row.star, starDiscrepancy(points), 1e-9)
	}
}

// Mean squared discrepancies against what random points have,
//
//	centred: [(5/4)^s - (13/12)^s] / n,   star: [2^-s - 3^-s] / n
//
// (derived: the mean over independent points of the sums above). Random points have that,
// within 4 standard errors; a Latin hypercube has less by more than 4; Sobol' points less
// than a tenth.
func TestDiscrepancyAgainstRandom(t *testing.T) {
	const s, replicates = 4, 16
	for _, row := range []struct {
		design Design
		n      int
		check  func(ratio, error float64)
	}{
		{Random{}, 256, func(ratio, error float64) { assert.InDelta(t, 1, ratio, 4*error) }},
		{LatinHypercube{}, BlockSize, func(ratio, error float64) { assert.Less(t, ratio, 1-4*error) }},
		{Sobol{}, 512, func(ratio, error float64) { assert.Less(t, ratio, 0.1-4*error) }},
	} {
		var centred, star []float64 // over what random points have
		for r := range replicates {
			points, n := netOf(row.design, 8, listedKeys(s), r, row.n), float64(row.n)
			centred = append(centred, centredDiscrepancy(points)*n/(math.Pow(1.25, s)-math.Pow(13.0/12, s)))
			star = append(star, math.Pow(starDiscrepancy(points), 2)*n/(math.Pow(2, -s)-math.Pow(3, -s)))
		}
		for _, ratios := range [][]float64{centred, star} {
			ratio, sd := stat.MeanStdDev(ratios, nil)
			t.Logf("%s: %.3f of random", row.design.Name(), ratio)
			row.check(ratio, sd/math.Sqrt(replicates))
		}
	}
}
