package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Lap luck stretches full throttle alone, one factor a lap, of mean 1.
func TestCourseOfLaps(t *testing.T) {
	car := larkmoor()
	var sum, squares float64
	const laps = 20000
	c := NewCourse(car, 1, 0)
	for range laps {
		factor := 0.0
		for i := range car.Lap {
			leg := c.Next()
			duration := leg.Duration
			assert.Equal(t, i, leg.Phase)
			if car.Lap[i].Load < 1 {
				assert.Equal(t, car.Lap[i].Duration, duration)
				continue
			}
			if factor == 0 {
				factor = duration / car.Lap[i].Duration
			}
			assert.InDelta(t, factor, duration/car.Lap[i].Duration, 1e-12, "one factor a lap")
		}
		sum += factor
		squares += factor * factor
	}
	mean := sum / laps
	sd := math.Sqrt(squares/laps - mean*mean)
	assert.InDelta(t, 1, mean, 4*0.12/math.Sqrt(laps), "mean 1, within four standard errors")
	assert.InDelta(t, 0.12, sd, 4*0.12/math.Sqrt(2*laps)*1.1, "coefficient of variation")

	again, other := NewCourse(car, 1, 0), NewCourse(car, 1, 1)
	a, b := again.Next(), other.Next()
	first := NewCourse(car, 1, 0)
	d := first.Next()
	assert.Equal(t, d, a)
	assert.NotEqual(t, a, b)
}

// Several laps in a row have a factor each.
func TestCourseOfSeveralLaps(t *testing.T) {
	car := larkmoor()
	car.Laps = []int{0, 3}
	c := NewCourse(car, 1, 0)
	first := c.Next().Duration
	for range 2 {
		c.Next()
	}
	second := c.Next().Duration
	assert.NotEqual(t, first/car.Lap[0].Duration, second/car.Lap[3].Duration)
}

// A pattern starts with a rest; durations have the stated means and spread.
func TestCourseOfBursts(t *testing.T) {
	car := larkmoor()
	car.Lap = []Phase{{Duration: 7, Load: 1}, {Duration: 5, Load: 0.25}}
	car.Pattern = &Pattern{Burst: 7, Rest: 5, Spread: 0.5}
	c := NewCourse(car, 3, 9)
	const n = 20000
	var sum, squares [2]float64
	for i := range 2 * n {
		leg := c.Next()
		phase, d := leg.Phase, leg.Duration
		assert.Equal(t, 1-i%2, phase, "rest first")
		sum[phase] += d
		squares[phase] += d * d
	}
	for phase, mean := range []float64{7, 5} {
		got := sum[phase] / n
		assert.InDelta(t, mean, got, 4*0.5*mean/math.Sqrt(n))
		cv := math.Sqrt(squares[phase]/n-got*got) / got
		assert.InDelta(t, 0.5, cv, 4*0.5/math.Sqrt(n)) // sd of a gamma's cv is below cv/sqrt(n)
	}
}
