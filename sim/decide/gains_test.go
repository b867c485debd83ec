package decide_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

func gains(t *testing.T, s *scenarios.Scenario, u units.System) (*decide.Gains, map[decide.Step]decide.Gain) {
	t.Helper()
	g, err := decide.WhatToChange(context.Background(), s, u)
	require.NoError(t, err)
	by := map[decide.Step]decide.Gain{}
	for i, step := range g.Steps {
		t.Logf("%-32s %8.4g: stands %8.5g (+%.5g), over %8.5g (+%.5g), margin %.4g", step.Step, step.Value, step.ToStand, step.StandLater, step.ToOver, step.OverLater, step.Margin)
		by[step.Step] = step
		if i > 0 {
			assert.GreaterOrEqual(t, g.Steps[i-1].StandLater, step.StandLater, "in order")
		}
	}
	assert.Len(t, by, len(g.Steps), "each step once")
	return g, by
}

func example(t *testing.T, name, variant string, changes ...scenarios.Change) *scenarios.Scenario {
	t.Helper()
	s, err := scenarios.Ready(name)
	require.NoError(t, err)
	if variant != "" {
		s, err = s.Variant(variant)
		require.NoError(t, err)
	}
	s, err = s.With(changes...)
	require.NoError(t, err)
	return s
}

func checked(t *testing.T, s *scenarios.Scenario) *sim.DrainCheck {
	t.Helper()
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	c, err := m.CheckDrain(context.Background())
	require.NoError(t, err)
	return c
}

// sameTime compares two times, s, either of which may be never.
func sameTime(t *testing.T, want, got float64, step decide.Step) {
	t.Helper()
	if math.IsInf(want, 0) {
		assert.Equal(t, want, got, step)
		return
	}
	assert.InDelta(t, want, got, 1e-6, step)
}

// Each step brings what the drain check says of a layout changed by hand.
func TestGainsAreThoseOfLayoutsChangedByHand(t *testing.T) {
	s := example(t, "sealed-drain", "")
	g, by := gains(t, s, units.Metric)
	now := checked(t, s)
	assert.Equal(t, decide.InHand{ToStand: now.ToStand, ToOver: now.ToOver, Margin: now.FullThrottle.Margin,
		HeldShare: now.HeldShare, PeakFill: now.PeakFill, BacksUpAfter: now.BacksUpAfter}, g.Now)
	for step, changes := range map[decide.Step][]scenarios.Change{
		decide.MoreFall:         {{Path: "drain.fall", Value: "80 .. 105 mm"}, {Path: "drain.length", Value: "550 mm"}},
		decide.TwiceTheVolume:   {{Path: "separator.usable_volume", Value: "0.9 L"}},
		decide.LargerBore:       {{Path: "drain.bore", Value: "16 mm"}},
		decide.CollectsBefore:   {{Path: "separator.oil_collects", Value: "before"}},
		decide.ValveOpensAtLess: {{Path: "drain.valve_opens_at", Value: "0.1 .. 0.2 kPa"}},
	} {
		require.Contains(t, by, step)
		want := checked(t, example(t, "sealed-drain", "", changes...))
		got := by[step]
		assert.Equal(t, []float64{want.HeldShare, want.PeakFill, want.BacksUpAfter}, []float64{got.HeldShare, got.PeakFill, got.BacksUpAfter}, step)
		sameTime(t, want.ToStand, got.ToStand, step)
		sameTime(t, want.ToOver, got.ToOver, step)
		assert.InDelta(t, want.FullThrottle.Margin, got.Margin, 1e-12, step)
		sameTime(t, want.ToStand-now.ToStand, got.StandLater, step)
		sameTime(t, want.ToOver-now.ToOver, got.OverLater, step)
	}
	assert.Len(t, by, 5, "two circuits go to the can, and the drain is sealed")
	assert.InDelta(t, 0.0925, by[decide.MoreFall].Value, 1e-12)
	assert.InDelta(t, 0.9e-3, by[decide.TwiceTheVolume].Value, 1e-15)
	assert.InDelta(t, 150, by[decide.ValveOpensAtLess].Value, 1e-9)
	assert.InDelta(t, g.Now.Margin+0.05, by[decide.MoreFall].Margin, 1e-12)
}

// A can without a drain, empty at the start, fills in proportion to its volume.
func TestTwiceTheVolumeAddsItsOwnTime(t *testing.T) {
	s := example(t, "sealed-can", "")
	g, by := gains(t, s, units.Metric)
	require.Len(t, g.Steps, 1)
	twice := by[decide.TwiceTheVolume]
	assert.InEpsilon(t, 2*g.Now.ToOver, twice.ToOver, 1e-6)
	assert.True(t, math.IsNaN(twice.ToStand))
}

// A drain without a seal whose circuit was lost: the circuit is offered, and a valve
// only along with it, for a seal alone would leave the gas no way into the can.
func TestGainsOfAPlainDrain(t *testing.T) {
	_, by := gains(t, example(t, "lost-circuit", ""), units.Metric)
	assert.NotContains(t, by, decide.ValveFitted)
	assert.NotContains(t, by, decide.TrapFitted)
	assert.NotContains(t, by, decide.ValveOpensAtLess)
	assert.NotContains(t, by, decide.CollectsBefore)
	circuit := scenarios.Change{Path: "breathers", Value: "[{name: kept, to: separator}]"}
	want := checked(t, example(t, "lost-circuit", "", circuit))
	sameTime(t, want.ToOver, by[decide.CircuitAdded].ToOver, decide.CircuitAdded)
	want = checked(t, example(t, "lost-circuit", "", circuit, scenarios.Change{Path: "drain.seal", Value: "valve"}, scenarios.Change{Path: "drain.flooding_constant"}))
	assert.Equal(t, want.ToStand, by[decide.CircuitAndValve].ToStand)
	assert.InDelta(t, want.FullThrottle.Margin, by[decide.CircuitAndValve].Margin, 1e-12)

	_, by = gains(t, example(t, "lost-circuit", "breather kept"), units.US)
	second := scenarios.Change{Path: "breathers", Value: "[{name: a, to: separator, bore: 16 mm, length: 700 mm, loss_coefficient: 3}, {name: b, to: separator, bore: 16 mm, length: 700 mm, loss_coefficient: 3}]"}
	want = checked(t, example(t, "lost-circuit", "breather kept", second))
	assert.Equal(t, want.ToOver, by[decide.CircuitAdded].ToOver, "as the first one is")
	assert.Contains(t, by, decide.ValveFitted)
	assert.Contains(t, by, decide.TrapFitted)
	assert.InDelta(t, 15.875e-3, by[decide.LargerBore].Value, 1e-12, "5/8 in")
}

// What can't be is left out: a can above what a scenario may hold; the largest hose.
func TestStepsThatCannotBeAreLeftOut(t *testing.T) {
	_, by := gains(t, example(t, "sealed-drain", "", scenarios.Change{Path: "separator.usable_volume", Value: "60 L"}, scenarios.Change{Path: "drain.bore", Value: "32 mm"}), units.Metric)
	assert.NotContains(t, by, decide.TwiceTheVolume)
	assert.NotContains(t, by, decide.LargerBore)
	assert.Contains(t, by, decide.MoreFall)
}

// A route gains its fall at its first point; below the oil there is no seal to fit.
func TestGainsAlongARouteAndBelowTheOil(t *testing.T) {
	route := scenarios.Change{Path: "drain", Value: "{return: above_oil, seal: trap, bore: 12.7 mm, route: [[0, 0, 0], [0, 0, -60 mm]]}"}
	g, by := gains(t, example(t, "sealed-drain", "", route), units.Metric)
	assert.InDelta(t, 0.11, by[decide.MoreFall].Value, 1e-12)
	assert.InDelta(t, g.Now.Margin+0.05, by[decide.MoreFall].Margin, 1e-9)
	_, by = gains(t, example(t, "sealed-drain", "below the oil"), units.Metric)
	assert.NotContains(t, by, decide.ValveFitted)
	assert.Contains(t, by, decide.MoreFall)
}
