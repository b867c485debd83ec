package sim

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
)

// spoil makes some realizations of a run fail, each in another way.
func spoil(t *testing.T, every uint64) {
	t.Helper()
	afterRealization = func(realization uint64, o *Outcome) {
		switch realization % (3 * every) {
		case every:
			panic("index out of range")
		case 2 * every:
			o.Balance.Held = math.NaN()
		case 2*every + every/2:
			o.Sessions[0].PeakFill = -0.1
		}
	}
	t.Cleanup(func() { afterRealization = nil })
}

// A realization that fails is counted and named, and leaves all others as they were.
func TestFailingRealizationsAreLeftOut(t *testing.T) {
	s, err := scenarios.Ready("sealed-drain")
	require.NoError(t, err)
	s, err = s.With(scenarios.Change{Path: "sessions", Value: "[10 min]"})
	require.NoError(t, err)
	m, err := NewModel(s)
	require.NoError(t, err)
	clean, err := m.Run(context.Background(), Options{Realizations: 2000, Keep: 2000})
	require.NoError(t, err)
	spoil(t, 160)
	var first string
	for _, workers := range []int{1, 2} {
		got, err := m.Run(context.Background(), Options{Realizations: 2000, Keep: 2000, Workers: workers})
		require.NoError(t, err)
		assert.Equal(t, 2000-12, got.Realizations)
		require.Len(t, got.Warnings, 1)
		assert.Contains(t, got.Warnings[0], "12 of 2000 realizations could not be worked out and were left out: realization 160 of seed 1: fault of the program: index out of range; realization 320 of seed 1: oil balance: NaN kg; realization 400 of seed 1: peak fill -0.1")
		failed := 0
		for i := range got.Kept {
			if math.IsNaN(got.Kept[i].Overflow) {
				failed++
				continue
			}
			assert.Equal(t, clean.Kept[i], got.Kept[i])
		}
		assert.Equal(t, 12, failed)
		got.Scenario = nil
		text := fmt.Sprintf("%#v", got.Sessions)
		if first == "" {
			first = text
		}
		assert.Equal(t, first, text)
	}
	times := make([]float64, 2000)
	warning, err := m.First(context.Background(), Options{}, Overflow, nil, times)
	require.NoError(t, err)
	assert.Contains(t, warning, "12 of 2000 realizations could not be worked out and were taken as failing: realization 160")
	assert.Equal(t, Unknown, times[160])
	assert.Equal(t, clean.Kept[161].Overflow, times[161])
}

// Where more than one in a hundred fails, something is wrong: an error, no result.
func TestTooManyFailures(t *testing.T) {
	s, err := scenarios.Ready("sealed-drain")
	require.NoError(t, err)
	spoil(t, 30)
	_, err = Run(context.Background(), s, Options{Realizations: 500})
	require.Error(t, err)
	assert.Contains(t, err.Error(), "realization 30 of seed 1")
	assert.Contains(t, err.Error(), "of 500 realizations could not be worked out")
}
