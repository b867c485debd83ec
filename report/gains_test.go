package report

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

func withGains(t *testing.T, s *scenarios.Scenario, u units.System) DrainCheck {
	t.Helper()
	r := checked(t, s)
	g, err := decide.WhatToChange(context.Background(), s, u)
	require.NoError(t, err)
	r.Gains, r.Units = g, u
	return r
}

func TestWhatToChangeFirst(t *testing.T) {
	s, err := scenarios.Ready("sealed-drain")
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, withGains(t, s, units.Metric).Document().WriteText(&b))
	text := b.String()
	assert.Contains(t, text, "What to change first: full throttle in hand from empty, at nominal values,\nwithout sampling (never: not within 2 h)\n")
	lines := strings.Split(text[strings.Index(text, "as it is"):], "\n")
	assert.Regexp(t, `^as it is +[0-9.]+ min +- +[0-9.]+ min +- +85 % +-73$`, lines[0])
	assert.Regexp(t, `^ +never$`, lines[1])
	assert.Regexp(t, `^a can that +never +for good +never +for good +57 % +-3$`, lines[2])
	assert.Regexp(t, `(?m)^50 mm more .* 83 % +-23\nfall \(92\.5 mm\) +never$`, text)
	assert.Regexp(t, `(?m)^a valve that .*none.* -52\nopens at +never\n0\.15 kPa$`, text)
	for _, line := range strings.Split(text, "\n") {
		assert.LessOrEqual(t, len([]rune(line)), Width)
	}
	b.Reset()
	require.NoError(t, withGains(t, s, units.US).Document().WriteText(&b))
	assert.Regexp(t, `(?m)^next larger .*\nhose +never\n\(0\.625 in\)$`, b.String())
	assert.NotRegexp(t, `[0-9] (mm|kPa|L)\b`, b.String())
}

// Without a drain nothing is said of standing oil, margin or drain.
func TestWhatToChangeWithoutADrain(t *testing.T) {
	s, err := scenarios.Ready("sealed-can")
	require.NoError(t, err)
	tab := gains{withGains(t, s, units.Metric).Gains, s, units.Metric}.table()
	assert.Equal(t, []string{"one change at a time", "goes over\nafter", "gained"}, tab.head)
	require.Len(t, tab.rows, 2)
	assert.Equal(t, "twice the volume (0.9 L)", tab.rows[1][0])
}

// Full throttle on end doesn't show what drains at part load: a wider bore gains none
// of it and yet the drain is held for less of a lap.
func TestStepsThatHelpOnLapsAlone(t *testing.T) {
	s, err := scenarios.Ready("lost-circuit")
	require.NoError(t, err)
	g := gains{withGains(t, s, units.Metric).Gains, s, units.Metric}
	assert.Contains(t, g.onLaps(), "gained by this, yet it helps on laps: next larger hose (16 mm) (held: 57 % instead of 79 %).")
	made := *g.Gains
	g.Gains = &made
	made.Now.BacksUpAfter = 600
	made.Steps = []decide.Gain{{Step: decide.ValveFitted, InHand: decide.InHand{HeldShare: 1, BacksUpAfter: sim.Never}},
		{Step: decide.TrapFitted, StandLater: 60, InHand: decide.InHand{BacksUpAfter: sim.Never}}}
	assert.Contains(t, g.onLaps(), "helps on laps: a valve in the drain (backs up after: never instead of 10 min). How often")
	made.Steps[0].BacksUpAfter, made.Now.HeldShare, made.Now.PeakFill = 600, 1, 0.5
	assert.Contains(t, g.onLaps(), "a valve in the drain (can filled to less than 1 % at most instead of 50 %)")
	made.Now.PeakFill = 0
	assert.NotContains(t, g.onLaps(), "helps")
	assert.Equal(t, "not held", g.held(decide.InHand{}))
	assert.Equal(t, "under 1 %", g.held(decide.InHand{HeldShare: 0.004}))
}

func TestWordsOfGains(t *testing.T) {
	g := gains{units: units.Metric}
	for seconds, want := range map[float64]string{
		math.Inf(1): "for good", math.Inf(-1): "all lost", 0: "none", 0.3: "none", -0.3: "none", 47.33: "+47.3 s", -90: "-90 s", 292: "+4.87 min",
	} {
		assert.Equal(t, want, g.gained(seconds), seconds)
	}
	assert.Equal(t, "-", g.gained(math.NaN()))
	assert.Equal(t, "never", g.time(sim.Never))
	assert.Equal(t, "-", g.time(math.NaN()))
}

func TestGainsForPrograms(t *testing.T) {
	s, err := scenarios.Ready("lost-circuit")
	require.NoError(t, err)
	r := withGains(t, s, units.Metric)
	var b bytes.Buffer
	require.NoError(t, r.WriteJSON(&b))
	var out struct {
		Steps []map[string]any `json:"what_to_change_first"`
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &out))
	require.Len(t, out.Steps, len(r.Gains.Steps))
	assert.Equal(t, "breather circuit and valve", out.Steps[0]["step"])
	assert.Nil(t, out.Steps[0]["until_oil_stands_s"])
	assert.Equal(t, true, out.Steps[0]["never_stands"])
	assert.InDelta(t, r.Gains.Steps[0].HeldShare, out.Steps[0]["held_share"], 1e-12)
	assert.Equal(t, true, out.Steps[0]["never_backs_up"])
	assert.InDelta(t, r.Gains.Steps[2].ToOver, out.Steps[2]["until_it_goes_over_s"], 1e-9)
}
