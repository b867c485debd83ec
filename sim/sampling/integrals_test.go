package sampling

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/stat"
)

// integrand is a function on the unit cube with a known integral and a known mean square.
type integrand struct {
	name         string
	f            func(x []float64) float64
	mean, square float64
}

const sides = 4

// integrands are three of Genz's families in four dimensions, with all difficulties equal,
// and a half space. Genz's are products over the sides, so that integral and mean square
// are powers of those of one side (worked out by hand).
//
// Source: Genz 1984, "Testing multidimensional integration routines", in Tools, Methods
// and Languages for Scientific and Engineering Computation, 81-94 (from memory).
func integrands() []integrand {
	product := func(f func(float64) float64) func([]float64) float64 {
		return func(x []float64) float64 {
			p := 1.0
			for _, v := range x {
				p *= f(v)
			}
			return p
		}
	}
	raised := func(x float64) float64 { return math.Pow(x, sides) }
	const w = 0.3
	// ∫ exp(-a²(x-w)²) = √π/2a [erf(a(1-w)) + erf(a w)]
	bell := func(a float64) float64 {
		return math.Sqrt(math.Pi) / (2 * a) * (math.Erf(a*(1-w)) + math.Erf(a*w))
	}
	// ∫ exp(-c|x-w|) = [2 - exp(-c w) - exp(-c(1-w))]/c
	ridge := func(c float64) float64 { return (2 - math.Exp(-c*w) - math.Exp(-c*(1-w))) / c }
	// ∫ over 0..1/√2 of exp(c x) = [exp(c/√2) - 1]/c
	cut := func(c float64) float64 { return (math.Exp(c/math.Sqrt2) - 1) / c }
	return []integrand{
		{"Gaussian peak", product(func(x float64) float64 { return math.Exp(-(x - w) * (x - w)) }), raised(bell(1)), raised(bell(math.Sqrt2))},
		{"continuous", product(func(x float64) float64 { return math.Exp(-math.Abs(x - w)) }), raised(ridge(1)), raised(ridge(2))},
		{"discontinuous", product(func(x float64) float64 {
			if x > math.Sqrt2/2 {
				return 0
			}
			return math.Exp(x)
		}), raised(cut(1)), raised(cut(2))},
		{"half space", func(x []float64) float64 { return happens(x[0]+x[1]+x[2]+x[3] < 1.5) }, halfSpace, halfSpace},
	}
}

// halfSpace is the chance that four uniforms add up to less than 1.5, (1.5⁴ - 4·0.5⁴)/4!
// (Irwin 1927 and Hall 1927, from memory).
const halfSpace = (1.5*1.5*1.5*1.5 - 4*0.5*0.5*0.5*0.5) / 24

func happens(is bool) float64 {
	if is {
		return 1
	}
	return 0
}

// meanSquareError returns the mean square error of the means over n points of replicates,
// n times over, as a share of the variance of one point: 1 for random points; and checks
// that they are not biased.
func meanSquareError(t *testing.T, d Design, g integrand, n, replicates int) float64 {
	errors := make([]float64, replicates)
	for r := range errors {
		for _, x := range netOf(d, 1, listedKeys(sides), r, n) {
			errors[r] += (g.f(x) - g.mean) / float64(n)
		}
	}
	bias, sd := stat.MeanStdDev(errors, nil)
	assert.InDelta(t, 0, bias, 4*sd/math.Sqrt(float64(replicates)), "%s of %s", d.Name(), g.name)
	squares := 0.0
	for _, e := range errors {
		squares += e * e / float64(replicates)
	}
	return float64(n) * squares / (g.square - g.mean*g.mean)
}

// Random points have the error they should; a Latin hypercube's is below; scrambled nets'
// falls faster than 1/n: of smooth integrands as (log n)^(s-1)/n³ or faster, of continuous
// ones as 1/n² or faster, of discontinuous ones as n^(-1-1/s) or faster.
//
// Source: Owen 1997 (see owen) for smooth integrands; He, Wang 2015, "On the convergence
// rate of randomized quasi-Monte Carlo for discontinuous functions", SIAM J. Numer. Anal.
// 53(5) 2488-2503, for discontinuous ones (both from memory); for continuous ones no
// source. Tolerances: 4 standard errors, √(2/replicates) of a mean square each, which is
// 0.2 of the rate.
func TestErrorsOfIntegrals(t *testing.T) {
	const replicates = 64
	tolerance := 4 * math.Sqrt(2.0/replicates)
	logs := (sides - 1) * math.Log2(math.Log(4096)/math.Log(128)) / 5 // of a rate over five doublings
	rates := map[string]float64{"Gaussian peak": 3 - logs, "continuous": 2, "discontinuous": 1 + 1.0/sides, "half space": 1 + 1.0/sides}
	for _, g := range integrands() {
		t.Run(g.name, func(t *testing.T) {
			random := meanSquareError(t, Random{}, g, 128, replicates)
			assert.InDelta(t, 1, random, tolerance)
			hypercube := meanSquareError(t, LatinHypercube{}, g, BlockSize, replicates)
			few := meanSquareError(t, Sobol{}, g, 128, replicates)
			many := meanSquareError(t, Sobol{}, g, 4096, replicates)
			rate := 1 + math.Log2(few/many)/5
			t.Logf("random %.2f, hypercube %.4f, 128 points %.4f, 4096 points %.3g: error² falls as n^-%.2f", random, hypercube, few, many, rate)
			assert.Less(t, hypercube, 1-tolerance/2)
			assert.Less(t, many, hypercube)
			assert.Greater(t, rate, rates[g.name]-0.2)
		})
	}
}
