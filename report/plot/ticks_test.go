package plot

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func texts(a axis) []string {
	var list []string
	for _, t := range a.ticks {
		if t.text != "" {
			list = append(list, t.text)
		}
	}
	return list
}

func TestTicksAreRound(t *testing.T) {
	assert.Equal(t, []string{"0", "10", "20", "30", "40", "50", "60"}, texts(exact("", 0, 60, 10)))
	assert.Equal(t, []string{"0", "5", "10", "15", "20", "25"}, texts(exact("", 0, 25, 8)))
	assert.Equal(t, []string{"0", "25", "50", "75", "100"}, texts(exact("", 0, 105, 5)))
	assert.Equal(t, []string{"-0.10", "-0.05", "0.00", "0.05"}, texts(rounded("", -0.1, 0.04, 3)))
	assert.Equal(t, []string{"0.0", "2.5", "5.0"}, texts(rounded("", 0, 4.9, 2)))
	assert.Equal(t, []string{"0.1", "1", "10", "100"}, texts(decades("", 0.05, 97)))
	a := decades("", 0.07, 1234)
	assert.InDelta(t, 0.05, a.low, 1e-12)
	assert.InDelta(t, 2000, a.high, 1e-9)
}

// TestAxesHoldWhatTheyAreFor draws ranges at random.
func TestAxesHoldWhatTheyAreFor(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		low := (random.Float64() - 0.5) * math.Pow(10, random.Float64()*8-4)
		high := low + math.Pow(10, random.Float64()*8-4)
		for _, a := range []axis{exact("", low, high, 6), rounded("", low, high, 6)} {
			assert.LessOrEqual(t, a.low, low+1e-9*(high-low))
			assert.GreaterOrEqual(t, a.high, high-1e-9*(high-low))
			require.NotEmpty(t, a.ticks)
			assert.LessOrEqual(t, len(a.ticks), 9)
			for _, tk := range a.ticks {
				share := (tk.at - a.low) / (a.high - a.low)
				assert.True(t, share > -1e-6 && share < 1+1e-6)
			}
		}
		if low > 0 {
			a := decades("", low, high)
			assert.True(t, a.low <= low*(1+1e-9) && a.high >= high*(1-1e-9), "%g to %g: %g to %g", low, high, a.low, a.high)
			assert.True(t, a.low > low/3 && a.high < high*3)
		}
	}
}

func TestARangeWithoutWidth(t *testing.T) {
	for _, v := range []float64{0, 5, -3} {
		a := exact("", v, v, 5)
		assert.InDelta(t, 0.5, a.share(v), 1e-12)
		assert.NotEmpty(t, a.ticks)
	}
}

func TestShareStaysOnTheAxis(t *testing.T) {
	a := decades("", 0.1, 100)
	assert.InDelta(t, 1.0/3, a.share(1), 1e-12)
	assert.Zero(t, a.share(0))
	assert.Zero(t, a.share(-5))
	assert.Equal(t, 1.0, a.share(1e9))
	b := exact("", 10, 20, 5)
	assert.InDelta(t, 0.25, b.share(12.5), 1e-12)
	assert.Zero(t, b.share(3))
	assert.Equal(t, 1.0, b.share(30))
}
