package stats_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"sumpward/sim/sampling"
	"sumpward/sim/stats"
)

// irwinHall3 returns the chance that the sum of three uniform numbers is above c, exact:
// ((3-c)³ - 3 (2-c)₊³ + 3 (1-c)₊³) / 6.
func irwinHall3(c float64) float64 {
	cube := func(x float64) float64 { return math.Pow(math.Max(x, 0), 3) }
	return (cube(3-c) - 3*cube(2-c) + 3*cube(1-c)) / 6
}

// problem is an event of three inputs with a known chance.
type problem struct {
	name   string
	chance float64
	event  func(u, v, w float64) bool
}

func problems() []problem {
	var all []problem
	for _, c := range []float64{1.5, 2.2, 2.6, 2.8, 2.9} {
		all = append(all, problem{fmt.Sprintf("sum above %v", c), irwinHall3(c),
			func(u, v, w float64) bool { return u+v+w > c }})
	}
	// Strata help nothing: a product of signs.
	all = append(all, problem{"odd signs", 0.5,
		func(u, v, w float64) bool { return (u > 0.5) != (v > 0.5) != (w > 0.5) }})
	// Strata tell nearly all: one threshold, in the midst of a stratum, near and at its edge.
	for _, p := range []float64{0.1007, 0.10004, 0.1} {
		all = append(all, problem{fmt.Sprintf("one threshold %v", p), p,
			func(u, _, _ float64) bool { return u < p }})
	}
	return all
}

// The interval of level 95 % must cover the known chance in 95 % of repeats or more, less
// 4 standard errors; where it is not exact by construction it may not be much too wide
// either, which TestReplicatesGain asks.
func TestReplicatesCover(t *testing.T) {
	t.Run("Latin hypercubes", func(t *testing.T) {
		coverReplicates(t, sampling.LatinHypercube{}, []sampling.Key{1, 2, 3}, 3, 5, 10, 40)
	})
	t.Run("Sobol' points", func(t *testing.T) {
		coverReplicates(t, sampling.Sobol{}, withDimensions(), 1, 3, 5, 10)
	})
}

// withDimensions are the keys of three inputs that have dimensions of the Sobol' sequence.
func withDimensions() []sampling.Key {
	return []sampling.Key{sampling.InputKey("drain.fall"), sampling.InputKey("drain.valve_opens_at"), sampling.InputKey("drain.port_pressure")}
}

func coverReplicates(t *testing.T, design sampling.Design, keys []sampling.Key, counts ...int) {
	const repeats = 600
	all := problems()
	covered := make([][]int, len(all))
	for i := range covered {
		covered[i] = make([]int, len(counts))
	}
	u := [][]float64{make([]float64, sampling.BlockSize), make([]float64, sampling.BlockSize), make([]float64, sampling.BlockSize)}
	for seed := range uint64(repeats) {
		chances := make([]stats.Chance, len(all))
		next := 0
		for block := range counts[len(counts)-1] {
			design.Block(seed, keys, block, u)
			for i, p := range all {
				chances[i].AddBlock(countEvents(p, u), sampling.BlockSize)
			}
			if block+1 == counts[next] {
				for i, p := range all {
					e := chances[i].Estimate(0.95, stats.FromReplicates)
					if e.Low <= p.chance && p.chance <= e.High {
						covered[i][next]++
					}
				}
				next++
			}
		}
	}
	least := 0.95 - 4*math.Sqrt(0.95*0.05/repeats)
	for i, p := range all {
		for j, blocks := range counts {
			share := float64(covered[i][j]) / repeats
			t.Logf("%-24s p %.5f, %2d blocks: covered in %.1f %%", p.name, p.chance, blocks, 100*share)
			assert.Greater(t, share, least, "%s, %d blocks", p.name, blocks)
		}
	}
}

func countEvents(p problem, u [][]float64) int {
	k := 0
	for j := range u[0] {
		if p.event(u[0][j], u[1][j], u[2][j]) {
			k++
		}
	}
	return k
}

// Where stratification helps, the interval is narrower than for independent trials; with
// many blocks in the ratio of the true standard deviations. Where it does not help, it
// is about as wide.
func TestReplicatesGain(t *testing.T) {
	keys := []sampling.Key{1, 2, 3}
	u := [][]float64{make([]float64, sampling.BlockSize), make([]float64, sampling.BlockSize), make([]float64, sampling.BlockSize)}
	all := problems()
	for _, row := range []struct {
		problem   problem
		low, high float64
	}{
		{all[0], 0.4, 0.7},   // a sum about its middle
		{all[1], 0.7, 0.95},  // and in its tail
		{all[5], 0.88, 1.12}, // no help: the spread of 200 blocks is known to 5 %, times 2
		{all[8], 0.05, 0.15}, // one threshold at an edge: what a whole count leaves, 1/(2√(500·0.09))
	} {
		var c stats.Chance
		for block := range 200 {
			sampling.LatinHypercube{}.Block(4, keys, block, u)
			c.AddBlock(countEvents(row.problem, u), sampling.BlockSize)
		}
		ratio := c.Estimate(0.95, stats.FromReplicates).HalfWidth() / c.Estimate(0.95, stats.FromWilson).HalfWidth()
		t.Logf("%s: %.3f of the width for independent trials", row.problem.name, ratio)
		assert.Greater(t, ratio, row.low, row.problem.name)
		assert.Less(t, ratio, row.high, row.problem.name)
	}
}

// By hand: blocks 3, 5 and 4 of 10 have p = 0.4 and se² = (3/2)·2/30² = 1/300, the
// variance of a mean of three block means 0.3, 0.5, 0.4.
func TestReplicatesByHand(t *testing.T) {
	var c stats.Chance
	for _, k := range []int{3, 5, 4} {
		c.AddBlock(k, 10)
	}
	assert.InDelta(t, math.Sqrt(1.0/300), c.StandardError(), 1e-15)
	// t of 2 degrees of freedom at 97.5 % is 4.302653 (any table), z 1.959964.
	assert.InDelta(t, 0.24*300*math.Pow(1.959964/4.302653, 2), c.EffectiveTrials(0.95), 1e-4)

	var one, never stats.Chance
	one.AddBlock(4, 10)
	assert.True(t, math.IsNaN(one.StandardError()) && math.IsNaN(one.EffectiveTrials(0.95)), "one block has no spread")
	assert.True(t, math.IsNaN((&stats.Chance{}).EffectiveTrials(0.95)))
	never.AddBlock(0, 10)
	never.AddBlock(0, 10)
	assert.Zero(t, never.EffectiveTrials(0.95))

	for range 4 {
		c.AddBlock(4, 10)
	}
	effective := c.EffectiveTrials(0.95)
	i := stats.Wilson(0.4*effective, effective, 0.95)
	e := c.Estimate(0.95, stats.FromReplicates)
	assert.InDelta(t, 0.4, e.Probability, 1e-15)
	assert.InDelta(t, i.Low, e.Low, 1e-15)
	assert.InDelta(t, i.High, e.High, 1e-15)
}

func TestReplicatesFallBack(t *testing.T) {
	add := func(ks ...int) stats.Estimate {
		var c stats.Chance
		for _, k := range ks {
			c.AddBlock(k, 500)
		}
		return c.Estimate(0.95, stats.FromReplicates)
	}
	exact := func(k, n float64) stats.Estimate {
		i := stats.ClopperPearson(k, n, 0.95)
		return stats.Estimate{Probability: k / n, Low: i.Low, High: i.High}
	}
	assert.Equal(t, exact(0, 3000), add(0, 0, 0, 0, 0, 0), "no events")
	assert.Equal(t, exact(9, 3000), add(2, 1, 3, 1, 1, 1), "nine events")
	assert.NotEqual(t, exact(10, 3000), add(2, 2, 3, 1, 1, 1), "ten events tell")
	assert.Equal(t, exact(2991, 3000), add(498, 499, 497, 499, 499, 499), "nine non-events")
	assert.Equal(t, exact(200, 2000), add(50, 51, 48, 51), "four blocks")
	assert.NotEqual(t, exact(250, 2500), add(50, 51, 48, 51, 50), "five blocks tell")

	same := add(50, 50, 50, 50, 50, 50, 50, 50)
	assert.Less(t, same.Low, 0.1, "equal blocks are not certainty")
	assert.Greater(t, same.High, 0.1)
	assert.Greater(t, same.HalfWidth(), 1.96/math.Sqrt(8)/2/500)

	none := (&stats.Chance{}).Estimate(0.95, stats.FromReplicates)
	assert.True(t, math.IsNaN(none.Probability))
	assert.Equal(t, [2]float64{0, 1}, [2]float64{none.Low, none.High})
}

// A last block cut short counts by its size: one more realization changes next to
// nothing, and it does not pass for a block of its own.
func TestReplicatesCutShort(t *testing.T) {
	var c stats.Chance
	for _, k := range []int{40, 55, 47, 62, 51} {
		c.AddBlock(k, 500)
	}
	whole := c.Estimate(0.95, stats.FromReplicates)
	c.AddBlock(0, 0)
	assert.Equal(t, whole, c.Estimate(0.95, stats.FromReplicates))
	c.AddBlock(1, 1)
	more := c.Estimate(0.95, stats.FromReplicates)
	assert.InDelta(t, whole.Low, more.Low, 5e-4)
	assert.InDelta(t, whole.High, more.High, 5e-4)
	assert.EqualValues(t, 256, c.Events())
	assert.EqualValues(t, 2501, c.Trials())
	assert.EqualValues(t, 6, c.Blocks())
}

func TestChanceForgetsTheOrder(t *testing.T) {
	blocks := [][2]int{{3, 500}, {17, 500}, {8, 500}, {0, 500}, {5, 120}, {11, 500}}
	var forward, backward, left, right stats.Chance
	for i, b := range blocks {
		forward.AddBlock(b[0], b[1])
		back := blocks[len(blocks)-1-i]
		backward.AddBlock(back[0], back[1])
		if i%2 == 0 {
			left.AddBlock(b[0], b[1])
		} else {
			right.AddBlock(b[0], b[1])
		}
	}
	right.Merge(left)
	assert.Equal(t, forward, backward)
	assert.Equal(t, forward, right)
}

func TestMethodNames(t *testing.T) {
	assert.Equal(t, "replicates", stats.FromReplicates.String())
	assert.Equal(t, "Wilson", stats.FromWilson.String())
	assert.Equal(t, "Clopper-Pearson", stats.FromClopperPearson.String())
	assert.Equal(t, "method 9", stats.Method(9).String())
}
