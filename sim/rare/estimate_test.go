package rare

import (
	"context"
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The same for any number of workers.
func TestWorkersChangeNothing(t *testing.T) {
	o := Options{Seed: 3, Realizations: 200}
	one := chanceOf(t, linear(5, 3.5), o)
	o.Workers = 4
	assert.Equal(t, one, chanceOf(t, linear(5, 3.5), o))
	o.Seed = 4
	assert.NotEqual(t, one.Chances, chanceOf(t, linear(5, 3.5), o).Chances)
}

// A closeness that tells nothing short of the event stalls, and that is said.
func TestStallIsTold(t *testing.T) {
	step := formula{2, func(z []float64) float64 {
		if z[0] > 4 {
			return 1
		}
		return 0
	}}
	e := chanceOf(t, step, Options{Realizations: 200})
	assert.Zero(t, e.Probability)
	require.Len(t, e.Warnings, 1)
	assert.Contains(t, e.Warnings[0], "10 of 10 repeats stalled")
}

// A plateau that is not too wide is passed: closeness in steps of a tenth still gives
// the exact chance.
func TestStepsArePassed(t *testing.T) {
	stairs := formula{2, func(z []float64) float64 { return 1 + math.Floor(10*(z[0]-3.5))/10 }}
	e := chanceOf(t, stairs, Options{Repeats: 60})
	assert.InEpsilon(t, 2.3262907904e-4, e.Probability, 0.2)
	assert.Empty(t, e.Warnings)
}

// Where the nearer of two ways leads nowhere, repeats that miss the other disagree, and
// that is said. (After the warning of Breitung 2017: what comes nearest first need not be
// where it happens.)
func TestTwoWaysAreTold(t *testing.T) {
	astray := formula{2, func(z []float64) float64 {
		return max(min(0.2*z[0], 0.8), 1+(z[1]-4.5)/3) // up z[0] to a dead end, or out along z[1]
	}}
	e := chanceOf(t, astray, Options{Realizations: 300})
	assert.NotEmpty(t, e.Warnings)
}

// Below the least chance it gives up, and says no more than that.
func TestBeyondTheLeastChance(t *testing.T) {
	e := chanceOf(t, linear(1, 30), Options{Realizations: 200, Least: 1e-6})
	assert.Zero(t, e.Probability)
	assert.Equal(t, 1e-6, e.High)
	assert.Zero(t, e.Reached)
	assert.Len(t, e.Chances, 3)
	assert.Empty(t, e.Warnings)
}

type failing struct{ formula }

func (f failing) Closeness(z []float64) (float64, error) {
	if z[0] < -1 {
		return 0, errors.New("no")
	}
	return f.g(z), nil
}

// Realizations that fail are left out, and counted.
func TestFailuresAreCounted(t *testing.T) {
	e := chanceOf(t, failing{linear(1, 3)}, Options{Repeats: 50})
	assert.InEpsilon(t, 1.35e-3, e.Probability, 0.2)
	assert.Greater(t, e.Left, 1000)
	require.Len(t, e.Warnings, 1)
	assert.Contains(t, e.Warnings[0], "could not be worked out")
}

// The context's end is its error.
func TestContextEnds(t *testing.T) {
	ctx, cancel := context.WithCancelCause(context.Background())
	because := errors.New("enough")
	n := 0
	stop := formula{1, func(z []float64) float64 {
		if n++; n == 500 {
			cancel(because)
		}
		return z[0] / 5
	}}
	_, err := Chance(ctx, func() Event { return stop }, Options{})
	assert.ErrorIs(t, err, because)
	assert.Equal(t, 500, n)
}

// A chance that is not small takes one level.
func TestLargeChance(t *testing.T) {
	e := chanceOf(t, linear(3, 0), Options{})
	assert.InDelta(t, 0.5, e.Probability, 0.02)
	assert.Equal(t, 1.0, e.Levels)
}
