package main

import (
	"bytes"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios/datalog"
)

// The log that is kept is the one that the program writes.
func TestKeptLogIsMadeByThisProgram(t *testing.T) {
	kept, err := os.ReadFile("../../larkmoor-laps.csv")
	require.NoError(t, err)
	assert.True(t, bytes.Equal(kept, makeLog()), "run go generate ./scenarios/ready/...")
	assert.Less(t, len(kept), 400_000)
}

// The log is a plausible lap. Sources of the bounds: full throttle 45 % of a
// lap, 1.0 g across, -1.0 g braking are usual values for a road car on track
// (derived, measured on one lap); top speed and lap time are those of the
// invented circuit.
func TestLogIsPlausible(t *testing.T) {
	l, err := datalog.Read(bytes.NewReader(makeLog()), "larkmoor-laps.csv", datalog.Spec{
		Positive: map[string]string{"longitudinal": "forward", "lateral": "left"}})
	require.NoError(t, err)
	_, r, err := l.Lap(datalog.Tolerance{})
	require.NoError(t, err)
	assert.Equal(t, 3, r.Laps)
	assert.InDelta(t, 88, r.LapTime, 1)
	assert.InDelta(t, 20, r.Rate, 1e-6)
	assert.InDelta(t, 0.45, r.FullThrottleShare, 0.03)
	assert.Greater(t, r.TimeRight, r.TimeLeft, "Larkmoor is driven clockwise")
	assert.Empty(t, r.Warnings)
	var top, brake, across float64
	for _, s := range l.Samples {
		top, brake, across = max(top, s.Speed), min(brake, s.Forward), max(across, math.Abs(s.Left))
	}
	assert.InDelta(t, 190, 3.6*top, 6)
	assert.InDelta(t, -1.05, brake/datalog.StandardGravity, 0.1)
	assert.InDelta(t, 1.12, across/datalog.StandardGravity, 0.1)
}
