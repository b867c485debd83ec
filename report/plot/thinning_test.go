package plot

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestThinningKeepsEveryPeak compares, column by column, what is left with all
// there was.
func TestThinningKeepsEveryPeak(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	var points []point
	for x := 0.0; x < 100; x += random.Float64() * 0.004 {
		points = append(points, point{x, random.NormFloat64()})
	}
	const columns = 250
	kept := thinned(points, 0, 100, columns)
	assert.LessOrEqual(t, len(kept), 4*columns)
	assert.Less(t, len(kept), len(points)/20)
	assert.Equal(t, points[0], kept[0])
	assert.Equal(t, points[len(points)-1], kept[len(kept)-1])

	type seen struct{ low, high, first, last float64 }
	sum := func(list []point) map[int]seen {
		found := map[int]seen{}
		for _, p := range list {
			c := int(p.x / 100 * columns)
			s, there := found[c]
			if !there {
				s = seen{p.y, p.y, p.y, p.y}
			}
			found[c] = seen{min(s.low, p.y), max(s.high, p.y), s.first, p.y}
		}
		return found
	}
	assert.Equal(t, sum(points), sum(kept))
	for i := 1; i < len(kept); i++ {
		assert.GreaterOrEqual(t, kept[i].x, kept[i-1].x)
	}
}

func TestThinningLeavesFewPointsAlone(t *testing.T) {
	points := []point{{0, 1}, {1, 5}, {2, 2}, {2, 7}}
	assert.Equal(t, points, thinned(points, 0, 2, 1000))
}

func TestRunsPartAtWhatIsNotFinite(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	got := runs([]point{{0, nan}, {1, 1}, {2, 2}, {3, inf}, {4, -inf}, {5, 5}, {nan, 6}, {7, 7}})
	assert.Equal(t, [][]point{{{1, 1}, {2, 2}}, {{5, 5}}, {{7, 7}}}, got)
	assert.Empty(t, runs(nil))
}

// TestRunningSumsUpAStep has a mean, a lowest and a highest value that can be
// worked out by hand: 0 until 5, then 1.
func TestRunningSumsUpAStep(t *testing.T) {
	points := []point{{0, 0}, {5, 0}, {5, 1}, {10, 1}}
	r := runningOf(points, 2)
	require.Len(t, r.mean, samples+1)
	for i, m := range r.mean {
		from, to := max(0, m.x-1), min(10, m.x+1)
		want := (to - min(max(5, from), to)) / (to - from)
		assert.InDelta(t, want, m.y, 1e-12, "mean at %g", m.x)
		if m.x > 6.001 {
			assert.Equal(t, 1.0, r.low[i].y)
		}
		if m.x < 3.999 {
			assert.Equal(t, 0.0, r.high[i].y)
		}
		if m.x > 4.001 && m.x < 5.999 {
			assert.Equal(t, 0.0, r.low[i].y)
			assert.Equal(t, 1.0, r.high[i].y)
		}
	}
}

// TestRunningSeesBetweenPoints cuts a ramp at the ends of the window.
func TestRunningSeesBetweenPoints(t *testing.T) {
	r := runningOf([]point{{0, 0}, {10, 20}}, 1)
	for i, m := range r.mean {
		from, to := max(0, m.x-0.5), min(10, m.x+0.5)
		assert.InDelta(t, from+to, m.y, 1e-9)
		assert.InDelta(t, 2*from, r.low[i].y, 1e-9)
		assert.InDelta(t, 2*to, r.high[i].y, 1e-9)
	}
}
