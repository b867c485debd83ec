package stats

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/stat"

	"sumpward/sim/sampling"
)

func TestMoments(t *testing.T) {
	var m Moments
	assert.True(t, math.IsNaN(m.Mean()) && math.IsNaN(m.Variance()))
	for _, x := range []float64{2, 4, 4, 4, 5, 5, 7, 9} { // mean 5, squares about it 32
		m.Add(x)
	}
	assert.EqualValues(t, 8, m.Count())
	assert.InDelta(t, 5, m.Mean(), 1e-15)
	assert.InDelta(t, 32.0/7, m.Variance(), 1e-15)
	assert.InDelta(t, math.Sqrt(32.0/7/8), m.StandardError(), 1e-15)
}

// A small spread on a great mean is where sums of squares fail.
func TestMomentsKeepDigits(t *testing.T) {
	var whole Moments
	parts := make([]Moments, 7)
	var values []float64
	for i := range uint64(7000) {
		x := 1e9 + sampling.Uniform(1, 2, i)
		values = append(values, x-1e9)
		whole.Add(x)
		parts[i/1000].Add(x)
	}
	var merged Moments
	for _, p := range parts {
		merged.Merge(p)
	}
	merged.Merge(Moments{})
	mean, variance := stat.MeanVariance(values, nil)
	for _, m := range []Moments{whole, merged} {
		assert.InDelta(t, mean, m.Mean()-1e9, 1e-6)
		assert.InEpsilon(t, variance, m.Variance(), 1e-6)
		assert.EqualValues(t, 7000, m.Count())
	}
}

// Whatever the order in which blocks arrive, the sums are the same to the last bit.
func TestInOrder(t *testing.T) {
	const blocks = 60
	reduce := func(order func(i int) int) (Moments, []int) {
		var total Moments
		var handed []int
		o := NewInOrder(func(block int, m Moments) {
			handed = append(handed, block)
			total.Merge(m)
		})
		for i := range blocks {
			block := order(i)
			var m Moments
			for j := range uint64(50) {
				m.Add(math.Exp(20 * sampling.Uniform(1, sampling.Key(block), j)))
			}
			o.Put(block, m)
		}
		assert.Equal(t, blocks, o.Next())
		assert.Zero(t, o.Waiting())
		return total, handed
	}
	straight, handed := reduce(func(i int) int { return i })
	for i, block := range handed {
		assert.Equal(t, i, block)
	}
	reversed, _ := reduce(func(i int) int { return blocks - 1 - i })
	jumping, again := reduce(func(i int) int { return i * 37 % blocks })
	assert.Equal(t, straight, reversed)
	assert.Equal(t, straight, jumping)
	assert.Equal(t, handed, again)

	// The sums do depend on the order of merging: that is what InOrder is for.
	var backwards Moments
	for block := blocks - 1; block >= 0; block-- {
		var m Moments
		for j := range uint64(50) {
			m.Add(math.Exp(20 * sampling.Uniform(1, sampling.Key(block), j)))
		}
		backwards.Merge(m)
	}
	assert.NotEqual(t, straight, backwards)
}

func TestInOrderHoldsTheEarly(t *testing.T) {
	var handed []string
	o := NewInOrder(func(_ int, s string) { handed = append(handed, s) })
	o.Put(2, "c")
	o.Put(1, "b")
	assert.Empty(t, handed)
	assert.Equal(t, 2, o.Waiting())
	o.Put(0, "a")
	o.Put(1, "late")
	assert.Equal(t, []string{"a", "b", "c"}, handed)
}
