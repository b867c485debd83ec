package report

import (
	"context"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

func checked(t *testing.T, s *scenarios.Scenario) DrainCheck {
	t.Helper()
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	c, err := m.CheckDrain(context.Background())
	require.NoError(t, err)
	return DrainCheck{Scenario: s, Check: c}
}

func TestExplanationOfADrain(t *testing.T) {
	const drawn = " The command run tells how often it backs up, with what is not known drawn at random."
	nan := math.NaN()
	barely := sim.PhaseCheck{Index: 2, Column: 0.0421, Fall: 0.0425, Margin: 0.0004, GasLimit: nan}
	little := sim.PhaseCheck{Index: 3, Column: 0.0405, Fall: 0.0425, Margin: 0.002, GasLimit: nan}
	near := sim.PhaseCheck{Index: -1, Column: 0.0423, Fall: 0.0419, Margin: -0.0004, GasLimit: nan, Held: true}
	sealed := sim.PhaseCheck{Index: -1, Column: 0.115, Fall: 0.042, Margin: -0.073, GasLimit: nan, Held: true}
	runs := sim.PhaseCheck{Index: 1, Column: 0.02, Fall: 0.042, Margin: 0.022, GasLimit: nan}
	open := sim.PhaseCheck{Index: -1, Margin: nan, Fall: 0.15, GasUp: 11.2, GasLimit: 5.9, Held: true}
	level := sim.PhaseCheck{Index: -1, Margin: nan, Fall: 0, GasUp: 1, GasLimit: 5.9, Held: true}
	slow := sim.PhaseCheck{Index: -1, Margin: nan, Fall: 0.15, GasUp: 2.95, GasLimit: 5.9}
	for name, x := range map[string]struct {
		check sim.DrainCheck
		want  string
	}{
		"no drain": {sim.DrainCheck{Kind: sim.NoDrain}, "There is no drain: the can fills until it is emptied by hand."},
		"held on the straight, yet never backs up": {
			sim.DrainCheck{Kind: sim.Sealed, FullThrottle: sealed, Phases: []sim.PhaseCheck{sealed, runs}, LapTime: 90, HeldShare: 0.6, PeakFill: 0.03, HoseDensity: 800},
			"At full throttle on a straight the drain is held: it takes 115 mm of oil to get past crankcase pressure, and the fall is 42 mm. " +
				"Yet at these nominal values it never backs up: it runs for 36 s of each lap, which empties what gathered meanwhile (3 % of the can)." + drawn,
		},
		"what gathers stays in the hose": {
			sim.DrainCheck{Kind: sim.Sealed, FullThrottle: sealed, Phases: []sim.PhaseCheck{sealed, runs}, LapTime: 90, HeldShare: 0.6, HoseDensity: 800},
			"At full throttle on a straight the drain is held: it takes 115 mm of oil to get past crankcase pressure, and the fall is 42 mm. " +
				"Yet at these nominal values it never backs up: it runs for 36 s of each lap, and what gathers meanwhile stays in the hose." + drawn,
		},
		"runs only just": {
			sim.DrainCheck{Kind: sim.Sealed, FullThrottle: sealed, Phases: []sim.PhaseCheck{sealed, barely, barely}, LapTime: 90, HeldShare: 0.6, HoseDensity: 800},
			"At full throttle on a straight the drain is held: it takes 115 mm of oil to get past crankcase pressure, and the fall is 42 mm. " +
				"Yet at these nominal values it never backs up: it runs for 36 s of each lap, and what gathers meanwhile stays in the hose. " +
				"Only just: the margin is 0.4 mm in the phases that let it run." + drawn,
		},
		"runs only just, here and there, and is held only just": {
			sim.DrainCheck{Kind: sim.Sealed, FullThrottle: near, Phases: []sim.PhaseCheck{near, barely, little}, LapTime: 90, HeldShare: 0.6, HoseDensity: 800},
			"At full throttle on a straight the drain is held: it takes 42.3 mm of oil to get past crankcase pressure, and the fall is 41.9 mm. " +
				"Yet at these nominal values it never backs up: it runs for 36 s of each lap, and what gathers meanwhile stays in the hose. " +
				"Only just: the margin is at most 2 mm in the phases that let it run." + drawn,
		},
		"does not catch up": {
			sim.DrainCheck{Kind: sim.Sealed, FullThrottle: sealed, Phases: []sim.PhaseCheck{sealed, runs}, LapTime: 90, HeldShare: 0.9, PeakFill: 0.3, HoseDensity: 800, BacksUpAfter: 1800},
			"At full throttle on a straight the drain is held: it takes 115 mm of oil to get past crankcase pressure, and the fall is 42 mm. " +
				"It backs up: after 30 min on these laps oil stands in the can and does not leave it; it comes to 30 % of the can.",
		},
		"fills up": {
			sim.DrainCheck{Kind: sim.Sealed, FullThrottle: sealed, Phases: []sim.PhaseCheck{sealed, runs}, LapTime: 90, HeldShare: 0.9, PeakFill: 1, HoseDensity: 800, BacksUpAfter: 1800, OverflowsAfter: 3600},
			"At full throttle on a straight the drain is held: it takes 115 mm of oil to get past crankcase pressure, and the fall is 42 mm. " +
				"It does not catch up: on these laps oil goes over after 60 min.",
		},
		"gas up an open drain": {
			sim.DrainCheck{Kind: sim.Unsealed, FullThrottle: open, Phases: []sim.PhaseCheck{open}, LapTime: 90, HeldShare: 1, PeakFill: 1, HoseDensity: 800},
			"At full throttle on a straight the drain is held: gas goes up it at 11.2 m/s, and no oil comes down from 5.9 m/s on. It runs in no part of the lap.",
		},
		"an open drain that doesn't fall": {
			sim.DrainCheck{Kind: sim.Unsealed, FullThrottle: level, LapTime: 90, HeldShare: 1, HoseDensity: 800},
			"At full throttle on a straight the drain is held: it does not fall. It runs in no part of the lap.",
		},
		"never held": {
			sim.DrainCheck{Kind: sim.Sealed, FullThrottle: sim.PhaseCheck{Index: -1, Margin: 0.1}, Phases: []sim.PhaseCheck{{Index: 0, Margin: 0.1}, runs}, LapTime: 90},
			"The drain is held in no phase of the lap: the least margin is 22 mm, in phase 2.",
		},
		"open and never flooded": {
			sim.DrainCheck{Kind: sim.Unsealed, FullThrottle: slow, Phases: []sim.PhaseCheck{{Index: 0, Margin: nan, GasUp: 1, GasLimit: 5.9}}, LapTime: 90},
			"The drain is held in no phase of the lap: gas goes up it at 50 % of the speed that holds all oil up at most, at full throttle on a straight.",
		},
		"held in corners only": {
			sim.DrainCheck{Kind: sim.Sealed, FullThrottle: runs, Phases: []sim.PhaseCheck{runs, {Index: 2, Margin: -0.01, Held: true}}, LapTime: 90, HeldShare: 0.1, PeakFill: 0.001, HoseDensity: 800},
			"At full throttle on a straight the drain runs, but it is held elsewhere on the lap. " +
				"Yet at these nominal values it never backs up: it runs for 81 s of each lap, which empties what gathered meanwhile (less than 1 % of the can)." + drawn,
		},
	} {
		for _, never := range []*float64{&x.check.BacksUpAfter, &x.check.OverflowsAfter} {
			if *never == 0 {
				*never = sim.Never
			}
		}
		t.Run(name, func(t *testing.T) { assert.Equal(t, x.want, DrainCheck{Check: &x.check}.explanation()) })
	}
}

func TestLowPointsByName(t *testing.T) {
	r := checked(t, ready(t, "sealed-drain", scenarios.Change{Path: "drain.dip", Value: "10 mm"}, scenarios.Change{Path: "drain.seal", Value: "none"}, scenarios.Change{Path: "drain.valve_opens_at"}))
	require.NotEmpty(t, r.Check.LowPoints)
	text := written(t, r, Text)
	assert.Contains(t, text, "low point")
	assert.Contains(t, text, "the dip: climbs 10 mm after it; air stays in it")

	assert.Equal(t, "low point 1: climbs 30 mm after it; air stays in it, and none of the fall behind it helps; it holds oil and seals the hose",
		lowPoint(sim.LowPointCheck{Name: "low point 1", Climb: 0.03, WeightLost: 1, Trap: true}, units.Metric))
	assert.Contains(t, written(t, checked(t, ready(t, "sealed-drain")), Text), "none, the hose falls all the way")
}

func TestBoreAndSlopeAreJudged(t *testing.T) {
	r := DrainCheck{Scenario: &scenarios.Scenario{}, Check: &sim.DrainCheck{Kind: sim.Unsealed, SelfVentingFlow: 1e-5, MeanDrainFlow: 2e-5, Froude: 0.6, Slope: 0.03, LeastSlope: 0.04}}
	assert.Contains(t, r.bore(), "too narrow")
	assert.Contains(t, r.bore(), "600 mL/min (Fr 0.3)")
	facts := r.facts()
	slope := ""
	for _, f := range facts {
		if f.name == "slope" {
			slope = f.value
		}
	}
	assert.Equal(t, "1:33.3; at least 1:25 is asked of a drain line: too flat", slope)
	r.Check.MeanDrainFlow, r.Check.Slope = 1e-6, 0.05
	assert.Contains(t, r.bore(), "wide enough")
}

// TestDrainCheckOfALogListsTheTightest holds the choice of phases.
func TestDrainCheckOfALogListsTheTightest(t *testing.T) {
	s, err := ready(t, "sealed-can").Variant("drained back")
	require.NoError(t, err)
	r := checked(t, s)
	list, some := r.phases()
	require.True(t, some)
	require.Len(t, list, fewPhases)
	worst := list[fewPhases-1].Margin
	tighter := 0
	for _, p := range r.Check.Phases {
		if p.Margin < worst {
			tighter++
		}
	}
	assert.Less(t, tighter, fewPhases)
	r.All = true
	list, some = r.phases()
	assert.False(t, some)
	assert.Len(t, list, len(r.Check.Phases))
}

func TestDrainCheckForPrograms(t *testing.T) {
	r := checked(t, ready(t, "sealed-drain"))
	var j struct {
		Drain        string
		FullThrottle struct {
			Margin float64 `json:"margin_m"`
			GasUp  *float64
			Held   bool
		} `json:"full_throttle"`
		Phases []json.RawMessage
	}
	require.NoError(t, json.Unmarshal([]byte(written(t, r, JSON)), &j))
	assert.Equal(t, "sealed", j.Drain)
	assert.Equal(t, r.Check.FullThrottle.Margin, j.FullThrottle.Margin)
	assert.Nil(t, j.FullThrottle.GasUp)
	assert.Len(t, j.Phases, len(r.Check.Phases))
	assert.Equal(t, len(r.Check.Phases)+2, strings.Count(written(t, r, CSV), "\n"))
}

func TestMarginsBelowAMillimetreAreNotZero(t *testing.T) {
	for si, want := range map[float64][2]string{
		0.0004: {"0.4 mm", "0.016 in"}, -0.0004: {"-0.4 mm", "-0.016 in"}, 0: {"0 mm", "0.00 in"}, 0.0012: {"1 mm", "0.05 in"}, -0.073: {"-73 mm", "-2.87 in"},
	} {
		assert.Equal(t, want[0], words.FineLengths(units.Metric).WithUnit(si))
		assert.Equal(t, want[1], words.FineLengths(units.US).WithUnit(si))
	}
}

// TestDrainCheckInUSUnits: 1 kPa is 4.0146 inH2O (at 4 degrees C), so that
// 120 mm a kPa are 1.18 in an inH2O; 1 US fl oz is 29.5735 mL.
func TestDrainCheckInUSUnits(t *testing.T) {
	r := checked(t, ready(t, "sealed-drain"))
	r.Units = units.US
	r.Check.SelfVentingFlow, r.Check.MeanDrainFlow, r.Check.ColumnPerKPa = 29.5735e-6/60*25, 29.5735e-6/60*0.0123, 0.12
	assert.Contains(t, r.bore(), "vents itself up to 25 US fl oz/min (Fr 0.3); what it has to carry on average is 0.0123 US fl oz/min")
	text := written(t, r, Text)
	assert.Contains(t, text, "1.18 in of oil for each 1 inH2O")
	assert.NotRegexp(t, `kPa|cfm|\bmm\b|mL|\b0\.000\b`, text)
	r.Units = units.Metric
	assert.Contains(t, written(t, r, Text), "120 mm of oil for each 1 kPa")
}
