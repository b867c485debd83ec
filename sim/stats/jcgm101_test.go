package stats_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"sumpward/sim/sampling"
	"sumpward/sim/stats"
)

type law interface{ Quantile(p float64) float64 }

func normal(mean, sd float64) law      { return distuv.Normal{Mu: mean, Sigma: sd} }
func uniform(low, high float64) law    { return distuv.Uniform{Min: low, Max: high} }
func tailsOf(p float64) (l, h float64) { return (1 - p) / 2, (1 - p) / 2 }

// propagation is an example of JCGM 101:2008, Evaluation of measurement data, Supplement
// 1 to the GUM, with what is exact of it. The published ends of its Monte Carlo intervals
// carry sampling noise of their own in the fourth digit, so the exact ones count here
// (closed forms or quadrature, computed elsewhere); the published ones are beside them.
type propagation struct {
	name      string
	inputs    []law
	pearson   float64 // of inputs 0 and 1
	model     func(x []float64) float64
	mean, sd  float64
	low, high float64 // an interval of 95 %
	below     float64 // chance of lying below it
	own       float64 // uncertainty of that chance from the digits of low and high
}

func sum(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v
	}
	return s
}

func sumOfSquares(x []float64) float64 { return x[0]*x[0] + x[1]*x[1] }

func buoyancy(x []float64) float64 {
	return (x[0]+x[1])*(1+(x[2]-1.2)*(1/x[3]-1/x[4])) - 100000
}

func examples() []propagation {
	low, high := tailsOf(0.95)
	r3 := math.Sqrt(3)
	one := uniform(-r3, r3)
	loss := func(x1, u float64) []law { return []law{normal(x1, u), normal(0, u)} }
	return []propagation{
		{"9.2.2 four normals (published u 2.00, ± 3.92)",
			[]law{normal(0, 1), normal(0, 1), normal(0, 1), normal(0, 1)}, 0, sum, 0, 2, -3.919928, 3.919928, low, 0},
		{"9.2.3 four uniforms (± 3.88)",
			[]law{one, one, one, one}, 0, sum, 0, 2, -3.87940674, 3.87940674, low, 0},
		{"9.2.4 three uniforms and a wide one (u 10.1, ± 17.0, from memory)",
			[]law{one, one, one, uniform(-10*r3, 10*r3)}, 0, sum, 0, 10.148892, -17.015814, 17.015814, low, 0},
		{"9.3 mass, mg (1.2341, 0.0754, [1.0834, 1.3825], from memory)",
			[]law{normal(100000, 0.050), normal(1.234, 0.020), uniform(1.10, 1.30), uniform(7000, 9000), uniform(7950, 8050)},
			0, buoyancy, 1.234000, 0.07547974, 1.084433, 1.383567, high, 0},
		{"9.4 loss, x1 0 (50, 50, [0, 150] e-6, from memory)",
			loss(0, 0.005), 0, sumOfSquares, 50e-6, 50e-6, 0, 149.787e-6, 0, 0},
		{"9.4 loss, x1 0.010 (150, 112, [0, 367] e-6, from memory)",
			loss(0.010, 0.005), 0, sumOfSquares, 150e-6, 111.803e-6, 0, 366.005e-6, 0, 0},
		{"9.4 loss, x1 0.050, symmetric",
			loss(0.050, 0.005), 0, sumOfSquares, 2550e-6, 502.494e-6, 1638.48e-6, 3603.36e-6, low, 0},
		{"9.4 loss, r 0.9, x1 0 (u 67, from memory)",
			loss(0, 0.005), 0.9, sumOfSquares, 50e-6, 67.2681e-6, 0, 185.1e-6, 0, 2e-4},
		{"9.4 loss, r 0.9, x1 0.010 (u 121, from memory)",
			loss(0.010, 0.005), 0.9, sumOfSquares, 150e-6, 120.520e-6, 12.7e-6, 397.5e-6, math.NaN(), 2e-4},
		{"9.4 loss, r 0.9, x1 0.050 (u 505, from memory)",
			loss(0.050, 0.005), 0.9, sumOfSquares, 2550e-6, 504.505e-6, 1623e-6, 3554e-6, math.NaN(), 4e-4},
		// NPL report DEM-ES-011, 9.2: published -0.665, 0.606, [-1.895, 0.095].
		{"logarithm",
			[]law{uniform(0.1, 1.1)}, 0, func(x []float64) float64 { return math.Log(x[0]) },
			-0.664900, 0.606227, -1.897120, 0.095310, 0.05, 0},
	}
}

// Every statistic within 4 standard errors of the exact value, for both designs.
func TestJCGM101(t *testing.T) {
	for _, d := range []sampling.Design{sampling.LatinHypercube{}, sampling.Random{}} {
		for _, p := range examples() {
			t.Run(d.Name()+"/"+p.name, func(t *testing.T) { checkPropagation(t, d, p) })
		}
	}
}

func checkPropagation(t *testing.T, d sampling.Design, p propagation) {
	const blocks = 200
	var means stats.Moments
	var below, within stats.Chance
	var quantiles stats.Quantiles
	var all stats.Moments
	var values []float64
	propagate(t, d, p, blocks, func(y []float64) {
		var m stats.Moments
		under, in := 0, 0
		for _, v := range y {
			m.Add(v)
			quantiles.Add(v)
			if v < p.low {
				under++
			} else if v <= p.high {
				in++
			}
		}
		means.Add(m.Mean())
		all.Merge(m)
		below.AddBlock(under, len(y))
		within.AddBlock(in, len(y))
		values = append(values, y...)
	})

	n := float64(len(values))
	digits := 5e-7 * p.sd // of mean and sd as given
	assert.InDelta(t, p.mean, means.Mean(), 4*means.StandardError()+digits, "mean")
	kurtosis := stat.ExKurtosis(values, nil) + 3
	assert.InDelta(t, p.sd, all.StandardDeviation(), 4*p.sd*math.Sqrt((kurtosis-1)/(4*n))+5e-6*p.sd, "standard deviation")
	assert.InDelta(t, 0.95, share(&within), 4*within.StandardError()+p.own, "share within the interval")
	if math.IsNaN(p.below) {
		return
	}
	e := 4*math.Sqrt(0.95*0.05/n) + p.own
	if p.below > 0 {
		assert.InDelta(t, p.below, share(&below), 4*below.StandardError(), "share below the interval")
		assertQuantile(t, &quantiles, p.below, e, p.low)
	}
	if p.below < 0.05 {
		assertQuantile(t, &quantiles, p.below+0.95, e, p.high)
	}
}

func share(c *stats.Chance) float64 { return float64(c.Events()) / float64(c.Trials()) }

// assertQuantile checks that x is the p-quantile for a p that is right to e, and for the
// sketch's relative error.
func assertQuantile(t *testing.T, q *stats.Quantiles, p, e, x float64) {
	t.Helper()
	slack := 0.0025 * math.Abs(x)
	assert.LessOrEqual(t, q.Quantile(p-e), x+slack, "%v-quantile", p)
	assert.GreaterOrEqual(t, q.Quantile(min(p+e, 1)), x-slack, "%v-quantile", p)
}

// propagate hands the model's results on block by block.
func propagate(t *testing.T, d sampling.Design, p propagation, blocks int, take func(y []float64)) {
	var pairs []sampling.RankCorrelation
	if p.pearson != 0 {
		pairs = []sampling.RankCorrelation{{I: 0, J: 1, Rank: 6 / math.Pi * math.Asin(p.pearson/2)}}
	}
	copula, err := sampling.NewCopula(len(p.inputs), pairs)
	require.NoError(t, err)
	keys := make([]sampling.Key, len(p.inputs))
	u := make([][]float64, len(p.inputs))
	for i := range keys {
		keys[i] = sampling.Key(i)
		u[i] = make([]float64, sampling.BlockSize)
	}
	x := make([]float64, len(p.inputs))
	y := make([]float64, sampling.BlockSize)
	for block := range blocks {
		d.Block(101, keys, block, u)
		copula.Apply(u)
		for j := range y {
			for i, in := range p.inputs {
				x[i] = in.Quantile(u[i][j])
			}
			y[j] = p.model(x)
		}
		take(y)
	}
}
