package stats_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"sumpward/sim/sampling"
	"sumpward/sim/stats"
)

// pairedProblem is two events of three inputs with a known difference of chances.
type pairedProblem struct {
	name          string
	difference    float64
	first, second func(u, v, w float64) bool
}

func pairedProblems() []pairedProblem {
	above := func(c float64) func(u, v, w float64) bool {
		return func(u, v, w float64) bool { return u+v+w > c }
	}
	var all []pairedProblem
	for _, c := range [][2]float64{{1.5, 1.6}, {2.2, 2.4}, {2.8, 2.6}, {2.9, 2.85}} {
		all = append(all, pairedProblem{fmt.Sprintf("sum above %v, above %v", c[0], c[1]), irwinHall3(c[1]) - irwinHall3(c[0]), above(c[0]), above(c[1])})
	}
	return append(all,
		pairedProblem{"odd signs, and more", 0.5 * 0.98,
			func(u, v, w float64) bool { return odd(u, v) && w < 0.02 },
			func(u, v, _ float64) bool { return odd(u, v) }},
		// Each goes without the other as often: no difference.
		pairedProblem{"one input each", 0,
			func(u, _, _ float64) bool { return u < 0.06 }, func(_, v, _ float64) bool { return v < 0.06 }},
		// Strata help nothing: each pair of signs is as likely.
		pairedProblem{"pairs of signs", 0,
			func(u, v, _ float64) bool { return odd(u, v) }, func(_, v, w float64) bool { return odd(v, w) }},
		// Strata tell nearly all.
		pairedProblem{"two thresholds", 0.1007 - 0.0604,
			func(u, _, _ float64) bool { return u < 0.0604 }, func(u, _, _ float64) bool { return u < 0.1007 }},
		pairedProblem{"one never", 0.01,
			func(_, _, _ float64) bool { return false }, func(u, v, _ float64) bool { return u < 0.1 && v < 0.1 }})
}

func odd(u, v float64) bool { return (u > 0.5) != (v > 0.5) }

func countPaired(p pairedProblem, u [][]float64) (onlyFirst, onlySecond int) {
	for j := range u[0] {
		a, b := p.first(u[0][j], u[1][j], u[2][j]), p.second(u[0][j], u[1][j], u[2][j])
		if a && !b {
			onlyFirst++
		} else if b && !a {
			onlySecond++
		}
	}
	return onlyFirst, onlySecond
}

// The interval of level 95 % must cover the known difference in 95 % of repeats or more,
// less 4 standard errors, for both designs; where realizations are independent and
// enough of them differ, in no more than 4 above either.
func TestPairedChanceCovers(t *testing.T) {
	const repeats = 400
	tolerance := 4 * math.Sqrt(0.95*0.05/repeats)
	for _, row := range []struct {
		design  sampling.Design
		methods []stats.Method
	}{
		{sampling.LatinHypercube{}, []stats.Method{stats.FromReplicates}},
		{sampling.Random{}, []stats.Method{stats.FromReplicates, stats.FromWilson}},
	} {
		covered := coverage(row.design, row.methods, repeats)
		for i, p := range pairedProblems() {
			for _, method := range row.methods {
				for _, blocks := range looks {
					share := float64(covered[pairedRun{i, blocks, method}]) / repeats
					t.Logf("%-15s %-12s %-26s d %8.5f, %2d blocks: covered in %.1f %%", row.design.Name(), method, p.name, p.difference, blocks, 100*share)
					assert.Greater(t, share, 0.95-tolerance, "%s, %s, %s, %d blocks", row.design.Name(), method, p.name, blocks)
					if method == stats.FromWilson && blocks == 20 {
						assert.Less(t, share, 0.95+tolerance, p.name)
					}
				}
			}
		}
	}
}

// pairedRun is a problem, a number of blocks and a method.
type pairedRun struct {
	problem, blocks int
	method          stats.Method
}

// looks are the numbers of blocks at which intervals are taken.
var looks = []int{1, 3, 5, 10, 20}

// coverage counts the repeats in which the interval holds the difference.
func coverage(design sampling.Design, methods []stats.Method, repeats int) map[pairedRun]int {
	keys := []sampling.Key{1, 2, 3}
	u := [][]float64{make([]float64, sampling.BlockSize), make([]float64, sampling.BlockSize), make([]float64, sampling.BlockSize)}
	all := pairedProblems()
	covered := map[pairedRun]int{}
	for seed := range uint64(repeats) {
		chances := make([]stats.PairedChance, len(all))
		for block := range looks[len(looks)-1] {
			design.Block(seed, keys, block, u)
			for i, p := range all {
				first, second := countPaired(p, u)
				chances[i].AddBlock(first, second, sampling.BlockSize)
				if !slices.Contains(looks, block+1) {
					continue
				}
				for _, method := range methods {
					d := chances[i].Estimate(0.95, method)
					if d.Low <= p.difference && p.difference <= d.High {
						covered[pairedRun{i, block + 1, method}]++
					}
				}
			}
		}
	}
	return covered
}

// By hand: blocks in which 1 and 4, 2 and 7, 3 and 6 of 10 realizations have the first
// and the second event alone differ by 3, 5 and 3, together 11 of 30; about 11/3 their
// squares add to 4/9 + 16/9 + 4/9 = 8/3, and se² = (3/2)(8/3)/30² = 1/225.
func TestPairedChanceByHand(t *testing.T) {
	var c stats.PairedChance
	for _, k := range [][2]int{{1, 4}, {2, 7}, {3, 6}} {
		c.AddBlock(k[0], k[1], 10)
	}
	assert.InDelta(t, 1.0/15, c.StandardError(), 1e-15)
	d := 11.0 / 30
	variance := 23.0/30 - d*d
	// t of 2 degrees of freedom at 97.5 % is 4.302653 (any table), z 1.959964.
	assert.InDelta(t, variance*225*math.Pow(1.959964/4.302653, 2), c.EffectiveTrials(0.95), 1e-4)
	e := c.Estimate(0.95, stats.FromReplicates)
	raw := stats.Tango(stats.PairedCounts{OnlyFirst: 6, OnlySecond: 17, Trials: 30}, 0.95)
	assert.Equal(t, [2]float64{raw.Low, raw.High}, [2]float64{e.Low, e.High}, "three blocks tell too little")

	c.AddBlock(2, 6, 10)
	c.AddBlock(1, 5, 10)
	share := c.EffectiveTrials(0.95) / 50
	i := stats.Tango(stats.PairedCounts{OnlyFirst: 9 * share, OnlySecond: 28 * share, Trials: 50 * share}, 0.95)
	e = c.Estimate(0.95, stats.FromReplicates)
	assert.InDelta(t, 19.0/50, e.Difference, 1e-15)
	assert.Equal(t, [2]float64{i.Low, i.High}, [2]float64{e.Low, e.High})
	assert.Equal(t, [3]int64{9, 28, 50}, [3]int64{e.OnlyFirst, e.OnlySecond, e.Trials})
	raw = stats.Tango(stats.PairedCounts{OnlyFirst: 9, OnlySecond: 28, Trials: 50}, 0.95)
	for _, m := range []stats.Method{stats.FromWilson, stats.FromClopperPearson} {
		e := c.Estimate(0.95, m)
		assert.Equal(t, [2]float64{raw.Low, raw.High}, [2]float64{e.Low, e.High}, m)
	}
}

func TestPairedChanceFallsBack(t *testing.T) {
	add := func(n int, ks ...[2]int) (stats.PairedDifference, stats.Interval) {
		var c stats.PairedChance
		var first, second int
		for _, k := range ks {
			c.AddBlock(k[0], k[1], n)
			first, second = first+k[0], second+k[1]
		}
		counts := stats.PairedCounts{OnlyFirst: float64(first), OnlySecond: float64(second), Trials: float64(n * len(ks))}
		return c.Estimate(0.95, stats.FromReplicates), stats.Tango(counts, 0.95)
	}
	for name, row := range map[string]struct {
		ks   [][2]int
		same bool
	}{
		"nine differ":     {[][2]int{{0, 2}, {1, 1}, {0, 3}, {0, 1}, {0, 1}}, true},
		"ten differ":      {[][2]int{{0, 2}, {1, 1}, {0, 3}, {0, 1}, {0, 2}}, false},
		"four blocks":     {[][2]int{{20, 42}, {21, 41}, {18, 39}, {20, 40}}, true},
		"five blocks":     {[][2]int{{20, 42}, {21, 41}, {18, 39}, {20, 40}, {19, 40}}, false},
		"all but nine do": {[][2]int{{0, 498}, {1, 499}, {1, 498}, {0, 499}, {0, 497}}, true},
		"all but ten do":  {[][2]int{{0, 498}, {2, 498}, {1, 498}, {0, 499}, {0, 497}}, false},
	} {
		e, raw := add(500, row.ks...)
		assert.Equal(t, row.same, e.Low == raw.Low && e.High == raw.High, name)
	}

	same, _ := add(500, [][2]int{{0, 50}, {0, 50}, {0, 50}, {0, 50}, {0, 50}, {0, 50}}...)
	assert.Less(t, same.Low, 0.1, "equal blocks are not certainty")
	assert.Greater(t, same.High, 0.1)

	none := (&stats.PairedChance{}).Estimate(0.95, stats.FromReplicates)
	assert.True(t, math.IsNaN(none.Difference))
	assert.Equal(t, [2]float64{-1, 1}, [2]float64{none.Low, none.High})
	assert.True(t, math.IsInf(none.TrialsToTell, 1))
	assert.False(t, none.Tells())
	var one stats.PairedChance
	one.AddBlock(4, 2, 10)
	assert.True(t, math.IsNaN(one.EffectiveTrials(0.95)), "one block has no spread")
}

func TestPairedChanceForgetsTheOrder(t *testing.T) {
	blocks := [][3]int{{3, 0, 500}, {17, 5, 500}, {8, 9, 500}, {0, 0, 500}, {5, 1, 120}, {11, 30, 500}, {0, 0, 0}}
	var forward, backward, left, right stats.PairedChance
	for i, b := range blocks {
		forward.AddBlock(b[0], b[1], b[2])
		back := blocks[len(blocks)-1-i]
		backward.AddBlock(back[0], back[1], back[2])
		if i%2 == 0 {
			left.AddBlock(b[0], b[1], b[2])
		} else {
			right.AddBlock(b[0], b[1], b[2])
		}
	}
	right.Merge(left)
	assert.Equal(t, forward, backward)
	assert.Equal(t, forward, right)
	assert.EqualValues(t, 2620, forward.Trials())
}

// Events and differences swap sides together.
func TestPairedDifferenceTurns(t *testing.T) {
	var c, turned stats.PairedChance
	for _, k := range [][2]int{{3, 9}, {4, 12}, {1, 9}, {2, 8}, {2, 7}, {5, 11}} {
		c.AddBlock(k[0], k[1], 500)
		turned.AddBlock(k[1], k[0], 500)
	}
	d := c.Estimate(0.95, stats.FromReplicates)
	assert.Equal(t, turned.Estimate(0.95, stats.FromReplicates), d.Turned())
	assert.Equal(t, d, d.Turned().Turned())
	assert.True(t, d.Tells() && d.Turned().Tells())
	zero := stats.PairedDifference{}.Turned()
	assert.False(t, math.Signbit(zero.Difference), "no negative zero")
}

// After so many realizations of the same shares and spread, to the two digits that are
// shown, the interval leaves out 0; a twentieth fewer, and it does not.
func TestPairedChanceTrialsToTell(t *testing.T) {
	repeat := func(times int, method stats.Method, ks [][2]int) stats.PairedDifference {
		var c stats.PairedChance
		for range times {
			for _, k := range ks {
				c.AddBlock(k[0], k[1], 500)
			}
		}
		return c.Estimate(0.95, method)
	}
	for _, ks := range [][][2]int{
		{{21, 22}, {30, 28}, {19, 21}, {22, 25}, {27, 24}, {20, 26}, {22, 22}, {25, 24}},
		{{5, 2}, {3, 4}, {2, 5}, {4, 3}, {3, 3}, {3, 1}},
	} {
		for _, method := range []stats.Method{stats.FromReplicates, stats.FromWilson} {
			d := repeat(1, method, ks)
			assert.False(t, d.Tells())
			times := d.TrialsToTell / float64(500*len(ks))
			t.Logf("%s: %v realizations, %.1f times as many", method, d.TrialsToTell, times)
			assert.Greater(t, times, 4.0, "so that whole times show")
			assert.True(t, repeat(int(math.Ceil(times)), method, ks).Tells())
			// Repeated, the same blocks spread less by the (b-1)/b of a sample's variance.
			assert.False(t, repeat(int(0.9*times*float64(len(ks)-1)/float64(len(ks))), method, ks).Tells())
		}
	}
	told := repeat(1, stats.FromWilson, [][2]int{{10, 40}, {11, 38}})
	assert.True(t, told.Tells())
	assert.LessOrEqual(t, told.TrialsToTell, 1000.0)
	even := repeat(1, stats.FromWilson, [][2]int{{10, 12}, {12, 10}})
	assert.True(t, math.IsInf(even.TrialsToTell, 1))
	assert.Zero(t, even.Difference)
}

// Whatever is counted, TrialsToTell is above the realizations there are unless the
// interval leaves out 0.
func TestTrialsToTellStandsByTheInterval(t *testing.T) {
	told := 0
	for seed := range uint64(2000) {
		var c stats.PairedChance
		s := sampling.NewStream(seed, 7, 0)
		p, q := 0.05*s.Float64(), 0.05*s.Float64()
		for range 1 + int(12*s.Float64()) {
			first, second := 0, 0
			for range 200 {
				switch u := s.Float64(); {
				case u < p:
					first++
				case u < p+q:
					second++
				}
			}
			c.AddBlock(first, second, 200)
		}
		for _, method := range []stats.Method{stats.FromReplicates, stats.FromWilson} {
			d := c.Estimate(0.95, method)
			if d.Tells() {
				told++
			}
			assert.Equal(t, d.Tells(), d.TrialsToTell <= float64(d.Trials), "%s %+v", method, d)
			assert.LessOrEqual(t, d.Low, d.Difference)
			assert.GreaterOrEqual(t, d.High, d.Difference)
		}
	}
	assert.Greater(t, told, 500)
}
