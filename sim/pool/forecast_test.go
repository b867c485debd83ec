package pool

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Four forecasts by hand: squares 0.01, 0.04, 0.36, 0.25; base rate 1/2.
func TestBrierByHand(t *testing.T) {
	s := Score([]Forecast{{0.1, false}, {0.8, true}, {0.6, false}, {0.5, true}})
	assert.InDelta(t, 0.165, s.Brier, 1e-12)
	assert.InDelta(t, 0.25, s.Reference, 1e-12)
	assert.InDelta(t, 0.34, s.Skill, 1e-12)
	assert.InDelta(t, -0.085, s.Better.Difference, 1e-12)
	// Z: numerator -0.08 - 0.12 + 0.12 + 0, denominator² 0.0576 + 0.0576 + 0.0096
	assert.InDelta(t, -0.08/math.Sqrt(0.1248), s.Deviation, 1e-12)
	// bias: -0.1 + 0.2 - 0.6 + 0.5 = 0
	assert.InDelta(t, 0, s.Bias, 1e-12)
	assert.InDelta(t, -0.1/0.3, Score([]Forecast{{0.1, false}}).Bias, 1e-12)
	assert.False(t, s.Enough)
}

// Three of nine, said 20 to 40 %: the exact interval is 7.5 to 70.1 % (quantiles of
// the beta distribution, B(0.025; 3, 7) and B(0.975; 4, 6)).
func TestBinsByHand(t *testing.T) {
	var list []Forecast
	for i := range 9 {
		list = append(list, Forecast{[]float64{0.20, 0.3, 0.39}[i%3], i < 3})
	}
	list = append(list, Forecast{1, true}, Forecast{0.95, true}, Forecast{0, false}, Forecast{0.4, false})
	bins := Score(list).Bins
	counts := []int{}
	for _, b := range bins {
		counts = append(counts, b.Count)
	}
	assert.Equal(t, []int{1, 0, 9, 1, 0, 0, 2}, counts)
	b := bins[2]
	assert.Equal(t, 3, b.Came)
	assert.InDelta(t, (0.2+0.3+0.39)/3, b.Said, 1e-12)
	assert.InDelta(t, 0.0749, b.Interval.Low, 5e-4)
	assert.InDelta(t, 0.7007, b.Interval.High, 5e-4)
	assert.True(t, b.Fits())
	assert.True(t, bins[1].Fits(), "nothing said there")
}

// forecasters say a chance; what comes has another.
func forecasters(n int, seed uint64, truth func(said float64) float64) []Forecast {
	r := rand.New(rand.NewPCG(seed, 1))
	var list []Forecast
	for range n {
		said := r.Float64()
		list = append(list, Forecast{said, r.Float64() < truth(said)})
	}
	return list
}

// One who says what is so has Z standard normal, the Brier score E[f (1 - f)] = 1/6
// for chances that are uniform, and bins that fit; one who says too much has not.
func TestMadeForecasters(t *testing.T) {
	const repeats, n = 400, 100
	var z, z2, b2, brier float64
	outside, bins := 0, 0
	for i := range repeats {
		s := Score(forecasters(n, uint64(i), func(said float64) float64 { return said }))
		z, z2, brier = z+s.Deviation, z2+s.Deviation*s.Deviation, brier+s.Brier
		b2 += s.Bias * s.Bias
		for _, b := range s.Bins {
			if b.Count > 0 {
				bins++
				outside += count(!b.Fits())
			}
		}
	}
	assert.InDelta(t, 0, z/repeats, 4/math.Sqrt(repeats))
	assert.InDelta(t, 1, b2/repeats, 4*math.Sqrt(2.0/repeats))
	assert.InDelta(t, 1, z2/repeats, 4*math.Sqrt(2.0/repeats))
	// the square's own square: E[f⁴ (1-f) + f (1-f)⁴] = 2 (1/5 - 1/6) = 1/15
	assert.InDelta(t, 1.0/6, brier/repeats, 4*math.Sqrt((1.0/15-1.0/36)/(repeats*n)))
	assert.Less(t, float64(outside)/float64(bins), 0.05, "the interval of Clopper and Pearson covers at least as often as it says")

	s := Score(forecasters(400, 9, func(said float64) float64 { return said * said }))
	assert.Less(t, s.Bias, -4.0)
	bold := Score(forecasters(400, 9, func(said float64) float64 { return 0.25 + said/2 }))
	assert.Greater(t, bold.Deviation, 4.0)
	assert.Less(t, math.Abs(bold.Bias), 4.0)
	assert.True(t, s.Enough)
	assert.False(t, s.Bins[4].Fits())
	useless := Score(forecasters(400, 9, func(float64) float64 { return 0.3 }))
	assert.Greater(t, useless.Better.Low, 0.0, "worse than the base rate")
}

func TestScoreOfNothing(t *testing.T) {
	s := Score(nil)
	assert.False(t, s.Enough)
	assert.True(t, math.IsNaN(s.Brier))
	never := Score([]Forecast{{0.1, false}, {0, false}})
	assert.True(t, math.IsNaN(never.Skill), "nothing came: there is no skill to tell")
}
