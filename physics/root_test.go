package physics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Where the slope is so steep that the value leaps from one number to the next, the root is
// as near as numbers stand; a value that leaps by more is no root.
func TestSteepRootBetweenNumbers(t *testing.T) {
	leaping := func(leap float64) rising {
		return func(x float64) (float64, float64) {
			if x < 1 {
				return x - 1 - leap, 1
			}
			return x - 1 + leap, 1
		}
	}
	x, found := stalledRoot(leaping(1e-7), 0.3, 1e-10)
	assert.True(t, found)
	assert.InDelta(t, 1, x, 1e-6)
	_, found = stalledRoot(leaping(1e-5), 0.3, 1e-10)
	assert.False(t, found)
	_, found = steepRoot(leaping(1e-7), 0.3, 1e-10)
	assert.False(t, found)
	x, found = steepRoot(func(x float64) (float64, float64) { return math.Expm1(x) + x, math.Exp(x) + 1 }, 3, 1e-12)
	assert.True(t, found)
	assert.InDelta(t, 0, x, 1e-12)
}
