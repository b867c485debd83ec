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
	"sumpward/sim/decide"
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
	}}, sim.Options{}, 100*time.Millisecond)
	require.NoError(t, err)
	assert.Equal(t, []int{15, 3, 22, 10, 29, 17, 6, 24, 13, 1, 20, 8}, asked)
	assert.GreaterOrEqual(t, e.Measured, 8*(batches+1)*firstBatch)
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

// A part holds the points that its shard reaches into, and the realizations that are kept
// one by one.
func TestPartBytes(t *testing.T) {
	run := Estimate{Points: 1, Realizations: 5000, Part: 700}
	assert.InDelta(t, 700, run.PartBytes(10), 1e-9)
	vary := Estimate{Points: 25, Realizations: 25_000, Part: 700}
	assert.InDelta(t, 4*700, vary.PartBytes(10), 1e-9)
	size := Estimate{Points: 1, Realizations: 1001, PartEach: 12}
	assert.InDelta(t, 101*12, size.PartBytes(10), 1e-9)
	task, merge := vary.Memory(10)
	assert.Greater(t, task, 4*700.0)
	assert.InDelta(t, 10, merge/task, 1e-9)
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

// Time of the process's own work counts, and time that it waits does not.
func TestProcessorTime(t *testing.T) {
	before, err := processorTime()
	require.NoError(t, err)
	for now := before; now < before+20*time.Millisecond; {
		now, err = processorTime()
		require.NoError(t, err)
	}
	waited, err := took(func() error {
		time.Sleep(300 * time.Millisecond)
		return nil
	})
	require.NoError(t, err)
	assert.Less(t, waited, 0.2)
}

// A sizing is timed with a few realizations, and what is kept of each tells the part.
func TestMeasureSize(t *testing.T) {
	s, err := scenarios.Ready("sealed-drain")
	require.NoError(t, err)
	s, err = s.With(scenarios.Change{Path: "sessions", Value: "[2 min]"})
	require.NoError(t, err)
	e, err := MeasureSize(context.Background(), s, decide.SizeOptions{}, 9000, time.Millisecond)
	require.NoError(t, err)
	assert.Equal(t, firstSized*(1+sizings), e.Measured)
	assert.Equal(t, 9000, e.Realizations)
	assert.True(t, e.Low < e.Each && e.Each < e.High)
	assert.Greater(t, e.PartBytes(3), 3000.0)
}
