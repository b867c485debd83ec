package cost

import (
	"context"
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/stats"
)

func short(t *testing.T, sessions string) *sim.Model {
	t.Helper()
	s, err := scenarios.Ready("sealed-can")
	require.NoError(t, err)
	s, err = s.With(scenarios.Change{Path: "sessions", Value: sessions})
	require.NoError(t, err)
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	return m
}

// Every realization counts once, points that can't be are left out, and a slower point
// shows: one of ten times the driving takes longer.
func TestMeasureLooksAtThePoints(t *testing.T) {
	quick, slow := short(t, "[1 min]"), short(t, "[20 min]")
	var asked []int
	e, err := Measure(context.Background(), Work{Points: 30, Each: 1000, Model: func(i int) (*sim.Model, error) {
		asked = append(asked, i)
		switch {
		case i < 10:
			return nil, nil
		case i < 20:
			return quick, nil
		}
		return slow, nil
	}}, sim.Options{}, time.Minute)
	require.NoError(t, err)
	assert.Equal(t, []int{1, 3, 6, 8, 11, 13, 16, 18, 21, 23, 26, 28}, asked)
	assert.Equal(t, 8*(batches+1)*batch, e.Measured)
	assert.Equal(t, 30_000, e.Realizations)
	assert.Greater(t, e.Slowest, e.Each)
	assert.Less(t, e.Low, e.Each)
	assert.Greater(t, e.Part, 100.0)
	mean, most := e.Task(7)
	assert.InEpsilon(t, 4286*e.Each, mean, 1e-9)
	assert.GreaterOrEqual(t, most, 4286*e.High)
	total, low, high := e.Total()
	assert.InEpsilon(t, 30_000*e.Each, total, 1e-9)
	assert.True(t, low < total && total < high)

	_, err = Measure(context.Background(), Work{Points: 2, Each: 10, Model: func(int) (*sim.Model, error) { return nil, nil }}, sim.Options{}, time.Second)
	assert.Error(t, err)
	_, err = Measure(context.Background(), Work{Points: 2, Each: 10, Model: func(int) (*sim.Model, error) { return nil, errors.New("no") }}, sim.Options{}, time.Second)
	assert.EqualError(t, err, "no")
}

// The interval is Student's on the points' means (worked by hand: 5, 6, 7 s; t = 4.303).
func TestIntervalIsStudents(t *testing.T) {
	var e Estimate
	var points stats.Moments
	for _, x := range []float64{5, 6, 7} {
		points.Add(x)
	}
	e.interval(points, stats.Moments{})
	assert.InDelta(t, 6, e.Each, 1e-12)
	assert.InDelta(t, 6+4.302653/1.7320508, e.High, 1e-5)
	assert.InDelta(t, 36/(6+4.302653/1.7320508), e.Low, 1e-5)
}
