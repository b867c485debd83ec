package stats_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"sumpward/sim/sampling"
	"sumpward/sim/stats"
)

func TestPreciseEnough(t *testing.T) {
	wide := stats.Estimate{Probability: 0.2, Low: 0.19, High: 0.21}
	narrow := stats.Estimate{Probability: 0.001, Low: 0.0005, High: 0.002}
	unknown := (&stats.Chance{}).Estimate(0.95, stats.FromReplicates)
	assert.True(t, stats.PreciseEnough(0.011, wide, narrow))
	assert.False(t, stats.PreciseEnough(0.009, wide, narrow))
	assert.False(t, stats.PreciseEnough(0.009, narrow, wide), "each counts, not the first")
	assert.True(t, stats.PreciseEnough(0.009, narrow))
	assert.True(t, stats.PreciseEnough(0.001))
	assert.False(t, stats.PreciseEnough(0.9, unknown))

	index, half := stats.Widest(narrow, wide, narrow)
	assert.Equal(t, 1, index)
	assert.InDelta(t, 0.01, half, 1e-15)
	index, half = stats.Widest()
	assert.Equal(t, -1, index)
	assert.Zero(t, half)
	index, half = stats.Widest(wide, unknown)
	assert.Equal(t, 1, index)
	assert.Equal(t, math.Inf(1), half)
}

func TestNextLook(t *testing.T) {
	var looks []int
	for blocks := 0; blocks < 60; {
		blocks = stats.NextLook(blocks)
		looks = append(looks, blocks)
	}
	assert.Equal(t, []int{10, 14, 20, 28, 40, 56, 79}, looks)
}

// Stopped at the first look that is precise enough, intervals still cover in 95 % of
// repeats, less 4 standard errors.
func TestStoppingCovers(t *testing.T) {
	const repeats, most = 800, 56
	keys := []sampling.Key{1, 2, 3}
	u := [][]float64{make([]float64, sampling.BlockSize), make([]float64, sampling.BlockSize), make([]float64, sampling.BlockSize)}
	p := problems()[1]
	for _, wanted := range []float64{0.005, 0.01} {
		covered, used := 0, 0
		for seed := range uint64(repeats) {
			var c stats.Chance
			var e stats.Estimate
			for block, look := 0, stats.NextLook(0); block < most; block++ {
				sampling.LatinHypercube{}.Block(1000+seed, keys, block, u)
				c.AddBlock(countEvents(p, u), sampling.BlockSize)
				used++
				if block+1 == look {
					look = stats.NextLook(look)
					if e = c.Estimate(0.95, stats.FromReplicates); stats.PreciseEnough(wanted, e) {
						break
					}
				}
			}
			if e.Low <= p.chance && p.chance <= e.High {
				covered++
			}
		}
		share := float64(covered) / repeats
		t.Logf("± %v: covered in %.1f %%, %.1f blocks", wanted, 100*share, float64(used)/repeats)
		assert.Greater(t, share, 0.95-4*math.Sqrt(0.95*0.05/repeats), "wanted %v", wanted)
	}
}
