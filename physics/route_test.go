package physics

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestPotentialHeight(t *testing.T) {
	p := Point{X: 0.3, Y: -0.2, Z: 0.1}
	assert.Equal(t, 0.1, PotentialHeight(p, Acceleration{}))
	assert.InDelta(t, 0.4, PotentialHeight(p, Acceleration{X: StandardGravity}), 1e-15, "accelerating forward: oil goes back, the front is high")
	assert.InDelta(t, -0.1, PotentialHeight(p, Acceleration{Y: StandardGravity}), 1e-15, "a left corner: oil goes right, the right is low")
}

func TestRoutes(t *testing.T) {
	r := StraightRoute(0.12, 0.5)
	assert.Equal(t, []float64{0.12, 0}, r.Heights(Acceleration{X: 5, Y: 5}, nil), "no horizontal position: acceleration doesn't act")
	assert.Equal(t, 0.5, r.Length())

	r = DippedRoute(0.12, 0.03, 0.54)
	assert.InDeltaSlice(t, []float64{0.12, 0.06, 0.03, 0.06, 0}, r.Heights(Acceleration{}, nil), 1e-15)
	assert.InDeltaSlice(t, []float64{0.18, 0.09, 0.09, 0.18}, r.Lengths, 1e-15, "shared in proportion to the heights")
	assert.InDelta(t, 0.54, r.Length(), 1e-15)

	r = PointsRoute([]Point{{0, 0, 0.4}, {0.3, 0, 0}, {0.3, 0.2, 0}})
	assert.InDeltaSlice(t, []float64{0.5, 0.2}, r.Lengths, 1e-15)
	assert.Equal(t, []float64{0.2}, StraightRoute(0, 0.2).Lengths, "a level hose")

	storage := make([]float64, 0, 8)
	assert.Zero(t, testing.AllocsPerRun(10, func() { storage = r.Heights(Acceleration{X: 1}, storage) }))
	assert.Len(t, storage, 3)
}

func TestWeightedFall(t *testing.T) {
	const bore = 0.0127
	for _, c := range []struct {
		name       string
		heights    []float64
		fall, rise float64
	}{
		{"straight", []float64{0.12, 0}, 0.12, 0},
		{"a level piece does nothing", []float64{0.12, 0.05, 0.05, 0}, 0.12, 0},
		{"half a bore up leaves half of the rest", []float64{0.1, 0.05, 0.05 + bore/2, 0}, 0.05 + 0.5*(0.05+bore/2), bore / 2},
		{"a bore up leaves nothing of the rest", []float64{0.1, 0.05, 0.05 + bore, 0}, 0.05, bore},
		{"two rising segments are one climb", []float64{0.1, 0.05, 0.05 + bore/2, 0.05 + bore, 0}, 0.05, bore},
		{"a level piece doesn't break a climb", []float64{0.1, 0.05, 0.05 + bore/2, 0.05 + bore/2, 0.05 + bore, 0}, 0.05, bore},
		{"two half climbs leave a quarter", []float64{0.1, 0.05, 0.05 + bore/2, 0.05, 0.05 + bore/2, 0}, 0.05 + 0.5*bore/2 + 0.25*(0.05+bore/2), bore},
		{"a climb at the end only resists", []float64{0.1, 0, 0.02}, 0.1, 0.02},
		{"no hose", nil, 0, 0},
	} {
		fall, rise := WeightedFall(c.heights, bore)
		assert.InDelta(t, c.fall, fall, 1e-15, c.name)
		assert.InDelta(t, c.rise, rise, 1e-15, c.name)
	}
}

func TestWeightedFallInvariants(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	for range 2000 {
		heights := make([]float64, 2+r.IntN(8))
		descending := make([]float64, len(heights))
		scaled := make([]float64, len(heights))
		shifted := make([]float64, len(heights))
		drops, climbs := 0.0, 0.0
		for i := range heights {
			heights[i] = 0.3 * r.Float64()
			scaled[i], shifted[i] = 3*heights[i], heights[i]+1
			if i > 0 {
				descending[i] = descending[i-1] - r.Float64()
				drops += max(0, heights[i-1]-heights[i])
				climbs += max(0, heights[i]-heights[i-1])
			}
		}
		fall, rise := WeightedFall(heights, 0.05)
		require.InDelta(t, climbs, rise, 1e-12, "rise is the sum of climbs")
		require.LessOrEqual(t, fall, drops+1e-12, "weights are at most 1")
		net := heights[0] - heights[len(heights)-1]
		require.LessOrEqual(t, fall-rise, net+1e-12, "trapped air never helps")

		f, c := WeightedFall(scaled, 0.15)
		require.InDelta(t, 3*fall, f, 1e-12, "heights and bore scale alike")
		require.InDelta(t, 3*rise, c, 1e-12)
		f, c = WeightedFall(shifted, 0.05)
		require.InDelta(t, fall, f, 1e-12, "only differences count")
		require.InDelta(t, rise, c, 1e-12)
		f, c = WeightedFall(heights, 1e9)
		require.InDelta(t, net, f-c, 1e-6, "climbs far under a bore cost nothing")
		f, c = WeightedFall(descending, 0.05)
		require.InDelta(t, -descending[len(descending)-1], f, 1e-12, "no climb: all of the drop")
		require.Zero(t, c)
	}
}

func TestHeldLengthAndLowPoints(t *testing.T) {
	const bore = 0.0127
	straight := StraightRoute(0.12, 0.5)
	length, trap := straight.HeldLength(bore)
	assert.Equal(t, 0.5, length)
	assert.False(t, trap)
	assert.Empty(t, straight.LowPoints(bore))

	dipped := DippedRoute(0.12, 0.03, 0.54)
	length, trap = dipped.HeldLength(bore)
	assert.InDelta(t, 0.36, length, 1e-15, "to the crest behind the dip")
	assert.True(t, trap)
	low := dipped.LowPoints(bore)
	require.Len(t, low, 1)
	assert.InDelta(t, 0.03, low[0].Climb, 1e-15)
	low[0].Climb = 0
	assert.Equal(t, LowPoint{Index: 2, Crest: 3, Point: Point{Z: 0.03}, WeightLost: 1, Trap: true}, low[0])

	shallow := DippedRoute(0.12, 0.005, 0.54)
	length, trap = shallow.HeldLength(bore)
	assert.InDelta(t, 0.54, length, 1e-15, "too shallow a dip to hold")
	assert.False(t, trap)
	assert.InDelta(t, 0.005/bore, shallow.LowPoints(bore)[0].WeightLost, 1e-12)

	for fall := 0.02; fall < 0.4; fall += 0.001 {
		_, trap = DippedRoute(fall, bore, 0.5).HeldLength(bore)
		require.True(t, trap, "a dip of one bore, whatever the rounding at a fall of %g m", fall)
	}

	steps := PointsRoute([]Point{{0, 0, 0.2}, {0, 0, 0.1}, {0, 0, 0.108}, {0.1, 0, 0.108}, {0.1, 0, 0.116}, {0.2, 0, 0.116}, {0.2, 0, 0}})
	length, trap = steps.HeldLength(bore)
	assert.InDelta(t, 0.1+0.008+0.1+0.008, length, 1e-15, "rising runs join over a level piece; the crest is where rising ends")
	assert.True(t, trap)
	require.Len(t, steps.LowPoints(bore), 1)
	assert.Equal(t, 1, steps.LowPoints(bore)[0].Index)

	two := PointsRoute([]Point{{0, 0, 0.2}, {0, 0, 0.1}, {0, 0, 0.105}, {0, 0, 0.05}, {0, 0, 0.07}, {0, 0, 0}})
	length, trap = two.HeldLength(bore)
	assert.InDelta(t, 0.1+0.005+0.055+0.02, length, 1e-15, "the first climb of a bore, not the first climb")
	assert.True(t, trap)
	assert.Len(t, two.LowPoints(bore), 2)
}
