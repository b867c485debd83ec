package decide

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// Step is something that can be changed about a layout.
type Step string

// The steps that Gains looks at.
const (
	MoreFall         Step = "more fall"
	TwiceTheVolume   Step = "twice the volume"
	LargerBore       Step = "larger bore"
	ValveFitted      Step = "valve fitted"
	TrapFitted       Step = "trap fitted"
	CircuitAdded     Step = "breather circuit added"
	CircuitAndValve  Step = "breather circuit and valve"
	CollectsBefore   Step = "collects ahead of the element"
	ValveOpensAtLess Step = "valve opens at less"
)

// How far each step goes. Chosen, no published source.
const (
	fallStep  = 0.05 // m
	valveStep = 0.5  // of the cracking pressure
)

// InHand is what a layout has in hand at nominal values.
type InHand struct {
	ToStand float64 // s of full throttle until oil stands in the can; sim.Never: not within sim.HandHorizon
	ToOver  float64 // s until it goes over
	Margin  float64 // m of oil column at full throttle on a straight; NaN without a sealed drain

	// On laps, oil settled: full throttle on end is blind to what drains at part load.
	// NaN without a drain.
	HeldShare    float64 // of a lap
	PeakFill     float64 // highest fill of a lap
	BacksUpAfter float64 // s of laps from empty until the drain counts as choked; sim.Never: it does not
}

// Gain is one step, with what it brings.
type Gain struct {
	Step     Step
	Value    float64 // SI: the new fall, volume, bore or nominal cracking pressure; NaN for the others
	Scenario *scenarios.Scenario
	InHand
	StandLater float64 // s; sim.Never: oil stands in the can no more
	OverLater  float64 // s; sim.Never: it goes over no more
}

// Gains is what each step would bring, at nominal values.
type Gains struct {
	Now   InHand
	Steps []Gain // by how much later oil stands in the can, then it goes over, then by when laps back it up
}

// WhatToChange works out, at nominal values and without sampling, how much full
// throttle in hand each step that a layout allows would bring:
//
//   - MoreFall: 50 mm more, the hose longer by as much where its length is stated;
//   - TwiceTheVolume: on the same cross-section;
//   - LargerBore: the next size of hose that is sold in a system of units, the loss
//     coefficient as it is;
//   - ValveFitted, TrapFitted: in a drain above the oil that has no seal;
//   - CircuitAdded: a second breather circuit to the can, as the first one is; where
//     there is none, a hose with all defaults. CircuitAndValve where a drain without
//     a seal is the can's only way in;
//   - CollectsBefore: a can that collects its oil ahead of the element, for a sealed
//     drain of one that collects it behind;
//   - ValveOpensAtLess: a valve that opens at half its pressure.
//
// A step that can't be (a can above what a scenario may hold) is left out. When the
// context ends first it is the context's error.
func WhatToChange(ctx context.Context, s *scenarios.Scenario, u units.System) (*Gains, error) {
	now, err := inHand(ctx, s)
	if err != nil {
		return nil, err
	}
	g := &Gains{Now: now}
	for _, step := range stepsFor(s, u) {
		changed, err := s.With(step.changes...)
		if problems := (scenarios.Problems{}); errors.As(err, &problems) {
			continue // there can be no such layout
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", step.step, err)
		}
		hand, err := inHand(ctx, changed)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", step.step, err)
		}
		g.Steps = append(g.Steps, Gain{
			Step: step.step, Value: step.value, Scenario: changed, InHand: hand,
			StandLater: later(now.ToStand, hand.ToStand), OverLater: later(now.ToOver, hand.ToOver),
		})
	}
	slices.SortStableFunc(g.Steps, func(a, b Gain) int {
		return cmp.Or(cmp.Compare(b.StandLater, a.StandLater), cmp.Compare(b.OverLater, a.OverLater), cmp.Compare(b.BacksUpAfter, a.BacksUpAfter), cmp.Compare(b.Margin, a.Margin))
	})
	return g, nil
}

// inHand is what a scenario has in hand. Without a drain nothing is said of standing
// oil: all that is caught stands.
func inHand(ctx context.Context, s *scenarios.Scenario) (InHand, error) {
	m, err := sim.NewModel(s)
	if err != nil {
		return InHand{}, err
	}
	c, err := m.CheckDrain(ctx)
	if err != nil {
		return InHand{}, err
	}
	hand := InHand{
		ToStand: c.ToStand, ToOver: c.ToOver, Margin: c.FullThrottle.Margin,
		HeldShare: c.HeldShare, PeakFill: c.PeakFill, BacksUpAfter: c.BacksUpAfter,
	}
	if nan := math.NaN(); c.Kind == sim.NoDrain {
		hand.ToStand, hand.HeldShare, hand.PeakFill, hand.BacksUpAfter = nan, nan, nan, nan
	}
	return hand, nil
}

// later is by how much a time moves on. NaN stays NaN.
func later(now, then float64) float64 {
	if now == then { // both may be never
		return 0
	}
	return then - now
}
