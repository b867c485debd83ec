package scenarios

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// onTrack is a scenario of a circuit with the least in it.
func onTrack(circuit string) string {
	return strings.Replace(least, "duty: {pattern: {full_throttle: 50 %, burst: 7 s}}",
		"duty: {circuit: {"+circuit+"}, car: {mass: 1180 kg, power: 180 kW}}", 1)
}

// TestLayouts drives round every built-in circuit: it turns by one full circle,
// ends where it begins, level, and doesn't cross itself.
func TestLayouts(t *testing.T) {
	for name, want := range map[string]struct {
		length, longest, tightest, widest float64 // m
		left                              bool    // always
	}{
		"larkmoor-long":  {4582, 1300, 30, 150, false},
		"larkmoor-short": {1796, 248, 12, 45, false},
		"larkmoor-bowl":  {2200, 359, 60, 180, true},
	} {
		s := parsed(t, onTrack("layout: "+name))
		c := s.Duty.Circuit
		assert.Equal(t, name, c.Layout)
		assert.NotContains(t, warned(s), "duty.circuit")
		w := follow(c.Segments)
		assert.InDelta(t, 2*math.Pi, math.Abs(w.turned), 1e-9, name)
		assert.Less(t, math.Hypot(w.x, w.y), 3.0, "%s: gap, m", name)
		assert.Less(t, math.Abs(w.z), 1.0, "%s: climb, m", name)
		assert.InDelta(t, want.length, w.length, 2, name)
		longest, tightest, widest, climbs, banks := 0.0, math.Inf(1), 0.0, false, false
		for _, g := range c.Segments {
			climbs, banks = climbs || g.Gradient > 0, banks || g.Banking > 0
			if g.Radius == 0 {
				longest = max(longest, g.Length)
				continue
			}
			tightest, widest = min(tightest, g.Radius), max(widest, g.Radius)
			assert.False(t, want.left && g.Right, name)
		}
		assert.Equal(t, [3]float64{want.longest, want.tightest, want.widest}, [3]float64{longest, tightest, widest}, name)
		assert.True(t, climbs && banks, name)
		assert.False(t, crosses(plan(c.Segments)), "%s crosses itself", name)
	}
	assert.Len(t, layoutNames, 3)
	assert.True(t, crosses([][2]float64{{0, 0}, {2, 0}, {1, -1}, {1, 1}, {0, 1}}), "the check sees a crossing")
}

// plan draws segments as a polygon, corners in steps of 10° or less.
func plan(segments []Segment) [][2]float64 {
	points := [][2]float64{{0, 0}}
	for i, g := range segments {
		steps := max(1, int(math.Ceil(g.Angle*18/math.Pi)))
		for k := 1; k <= steps; k++ {
			part := g
			part.Length, part.Angle = g.Length*float64(k)/float64(steps), g.Angle*float64(k)/float64(steps)
			w := follow(append(segments[:i:i], part))
			points = append(points, [2]float64{w.x, w.y})
		}
	}
	return points
}

// crosses reports whether two sides of an open polygon cross.
func crosses(p [][2]float64) bool {
	side := func(a, b, c [2]float64) bool {
		return (b[0]-a[0])*(c[1]-a[1])-(b[1]-a[1])*(c[0]-a[0]) > 0
	}
	for i := 0; i+1 < len(p); i++ {
		for j := i + 2; j+1 < len(p); j++ {
			if i == 0 && j+2 == len(p) {
				continue // they meet at the beginning
			}
			if side(p[i], p[i+1], p[j]) != side(p[i], p[i+1], p[j+1]) && side(p[j], p[j+1], p[i]) != side(p[j], p[j+1], p[i+1]) {
				return true
			}
		}
	}
	return false
}

// TestFollow drives round a stadium by hand: two straights of 100 m and two half
// circles of 50 m radius make 200 + 100π m and end where they begin; half of it
// ends 100 m to the left, heading back.
func TestFollow(t *testing.T) {
	half := []Segment{{Length: 100, Gradient: 0.02}, {Length: 50 * math.Pi, Radius: 50, Angle: math.Pi}}
	w := follow(half)
	assert.InDeltaSlice(t, []float64{100 + 50*math.Pi, math.Pi, 100, 100, 2}, []float64{w.length, w.turned, w.x, w.y, w.z}, 1e-9)
	half[1].Right = true
	w = follow(half)
	assert.InDeltaSlice(t, []float64{-math.Pi, 100, -100}, []float64{w.turned, w.x, w.y}, 1e-9)
	whole := follow(append(half, half...))
	assert.InDeltaSlice(t, []float64{-2 * math.Pi, 0, 0}, []float64{whole.turned, whole.x, whole.y}, 1e-9)
	require.Len(t, plan(half), 1+1+18)
}
