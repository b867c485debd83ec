package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mathext"

	"sumpward/sim/sampling"
)

// Given the luck that was drawn for a realization, laps and stints are those of it.
func TestGivenLuckIsTheDrawnLuck(t *testing.T) {
	car := larkmoor()
	car.Schedule = &Schedule{
		Items: []ScheduleItem{{Duration: 700}, {Duration: 60, Stop: true}, {Duration: 400}, {Duration: 30, Stop: true}},
		Slow:  SlowLaps{Chance: 0.6, Mean: 120, Spread: 0.5, Load: 0.2},
	}
	laps, stints, bursts := car.luckNeeded(3600)
	assert.Zero(t, bursts)
	luck := Luck{Laps: make([]float64, laps), Stints: make([]float64, stints)}
	variance := math.Log1p(car.Spread * car.Spread)
	for i := range luck.Laps {
		f := sampling.LapFactor(3, 17, uint64(i), sampling.SpreadOf(car.Spread))
		luck.Laps[i] = (math.Log(f) + variance/2) / math.Sqrt(variance)
	}
	for i := range stints / 3 {
		l := sampling.StintLuck(3, 17, uint64(i))
		luck.Stints[3*i], luck.Stints[3*i+1], luck.Stints[3*i+2] = mathext.NormalQuantile(l.Chance), mathext.NormalQuantile(l.Place), l.Normal
	}
	drawn, given := NewCourse(car, 3, 17), NewCourse(car, 0, 0)
	given.luck = &luck
	slow := 0
	for at := 0.0; at < 3600; {
		a, b := drawn.Next(), given.Next()
		require.Equal(t, a.Phase, b.Phase)
		require.InDelta(t, a.Duration, b.Duration, 1e-9)
		at += a.Duration
		if a.Phase == len(car.Lap)+slowLaps {
			slow++
		}
	}
	assert.Positive(t, slow)
	assert.False(t, luck.short)
}

// Gamma variates given by a normal have the law's mean and variance (both the shape),
// and at shape 1 they are -ln(1 - u).
func TestGammaByNormal(t *testing.T) {
	for _, shape := range []float64{0.3, 1, 4, 25} {
		const n = 20000
		var sum, squares float64
		for i := range n {
			x := gammaAt(mathext.NormalQuantile((float64(i)+0.5)/n), shape)
			sum += x
			squares += x * x
		}
		mean := sum / n
		assert.InEpsilon(t, shape, mean, 2e-3)
		assert.InEpsilon(t, shape, squares/n-mean*mean, 2e-2)
	}
	for _, z := range []float64{-7, -1, 0, 2, 7} {
		want := -math.Log1p(-0.5 * math.Erfc(-z/math.Sqrt2))
		if z > 0 {
			want = -math.Log(0.5 * math.Erfc(z/math.Sqrt2))
		}
		assert.InEpsilon(t, want, gammaAt(z, 1), 1e-9, "%g", z)
	}
}

// Luck that runs out is told.
func TestShortOfLuck(t *testing.T) {
	car := larkmoor()
	c := NewCourse(car, 0, 0)
	luck := Luck{Laps: []float64{0}}
	c.luck = &luck
	for range len(car.Lap) + 1 {
		c.Next()
	}
	assert.True(t, luck.short)
}

// There is luck enough for bursts and rests eight standard deviations short.
func TestLuckSuffices(t *testing.T) {
	car := larkmoor()
	car.Pattern = &Pattern{Burst: 20, Rest: 40, Spread: 1}
	car.Lap = []Phase{{Duration: 20, Load: 1}, {Duration: 40}}
	_, _, bursts := car.luckNeeded(3600)
	assert.Greater(t, float64(bursts)/2, 60+8*math.Sqrt(60))
}
