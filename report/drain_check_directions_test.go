package report

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/uncertainty"
	"sumpward/sim"
)

func TestDirectionOfAPhase(t *testing.T) {
	for want, list := range map[direction][]sim.Phase{
		leftTurn:     {{Left: g}, {Left: 0.5 * g, Forward: -0.4 * g, Load: 1}, {Left: 0.31 * g}},
		rightTurn:    {{Left: -g, Load: 1}},
		braking:      {{Forward: -g}, {Forward: -g, Left: 0.9 * g}, {Forward: -0.31 * g, Load: 1}},
		fullThrottle: {{Load: 1}, {Load: 0.99, Left: 0.3 * g}, {Load: 1, Forward: 0.8 * g, Left: 0.5 * g}},
		otherwise:    {{Load: 0.5}, {Load: 1, Stopped: true}, {Forward: -0.29 * g}},
	} {
		for _, p := range list {
			assert.Equal(t, want, directionOf(p), "%+v", p)
		}
	}
}

// directedCheck is a hose of 50 mm of fall that leads 100 mm to the left: in a left
// turn of 1 g it loses 100 mm.
func directedCheck() DrainCheck {
	phase := func(i int, duration, load, forward, left, margin float64) sim.PhaseCheck {
		fall := 0.05 - 0.1*left
		return sim.PhaseCheck{
			Index: i, Phase: sim.Phase{Duration: duration, Load: load, Forward: forward * g, Left: left * g},
			Fall: fall, Column: fall - margin, Margin: margin, Held: margin <= 0, GasLimit: math.NaN(), Usable: 0.5e-3 + 1e-4*left,
		}
	}
	route := []scenarios.RoutePoint{routePoint(0), routePoint(0.1)}
	return DrainCheck{
		Scenario: &scenarios.Scenario{Drain: scenarios.Drain{Route: route}},
		Check: &sim.DrainCheck{
			Kind: sim.Sealed, FullThrottle: sim.PhaseCheck{Index: -1, Fall: 0.05, Margin: -0.04, Held: true},
			Phases: []sim.PhaseCheck{
				phase(0, 10, 1, 0.2, 0, -0.04), phase(1, 4, 0, 0, 1, -0.09), phase(2, 2, 0, 0, 0.5, -0.03),
				phase(3, 2, 0, 0, 0.4, 0.01), phase(4, 2, 0, 0, -1.2, 0.13),
			},
		},
	}
}

func routePoint(y float64) scenarios.RoutePoint {
	return scenarios.RoutePoint{X: exactly(0), Y: exactly(y), Z: exactly(0)}
}

func exactly(v float64) *scenarios.Quantity {
	return &scenarios.Quantity{Distribution: uncertainty.Exact(v)}
}

func TestWorstPhaseOfEachDirection(t *testing.T) {
	r := directedCheck()
	list := r.directed()
	require.Len(t, list, 3)
	left, right, full := list[0], list[1], list[2]
	assert.Equal(t, []direction{leftTurn, rightTurn, fullThrottle}, []direction{left.direction, right.direction, full.direction})
	assert.InDeltaSlice(t, []float64{0.4, 0.1, 0.5}, []float64{left.share, right.share, full.share}, 1e-12)
	assert.InDeltaSlice(t, []float64{0.75, 0, 1}, []float64{left.held, right.held, full.held}, 1e-12)
	assert.Equal(t, 1, left.worst.Index)
	assert.Equal(t, "the hose leads to the left: left turns take 100 mm of its fall at 1 g (phase 2), right turns add 120 mm to its fall at 1.2 g (phase 5)", r.sideways())

	mirrored := directedCheck()
	for i := range mirrored.Check.Phases {
		mirrored.Check.Phases[i].Phase.Left *= -1
	}
	assert.Equal(t, "the hose leads to the right: left turns add 120 mm to its fall at 1.2 g (phase 5), right turns take 100 mm of its fall at 1 g (phase 2)", mirrored.sideways())

	both := directedCheck()
	both.Check.Phases[4].Fall = -0.01
	assert.Contains(t, both.sideways(), "the hose leads to both sides: ")

	r.Scenario.Drain.Route[1].Y = exactly(0)
	assert.Equal(t, "the hose leads to no side: turning changes nothing", r.sideways(), "what changes comes from elsewhere")
	for i := range r.Check.Phases {
		r.Check.Phases[i].Fall = 0.05
	}
	assert.Equal(t, "the hose leads to no side: turning changes nothing", r.sideways())
	r.Scenario.Drain.Route = nil
	assert.Contains(t, r.sideways(), "not known: without a route")

	// Without a drain, the worst phase is that in which the can holds least.
	r = directedCheck()
	r.Check.Kind = sim.NoDrain
	assert.Equal(t, 3, r.directed()[0].worst.Index)
	assert.Empty(t, r.sideways())
}

// TestRoutingsOfAHoseAreToldApart: on a circuit that always turns left, the same
// hose led to the left and to the right.
func TestRoutingsOfAHoseAreToldApart(t *testing.T) {
	s := ready(t, "four-hours")
	look := func(name string) (margin, held float64, text string) {
		v, err := s.Variant(name)
		require.NoError(t, err)
		r := checked(t, v)
		text = written(t, r, Text)
		fits(t, text)
		var j struct {
			ByDirection []struct {
				Direction string
				Margin    float64 `json:"margin_m"`
				Held      float64 `json:"held_share"`
				Share     float64 `json:"share_of_lap"`
				Phase     int     `json:"worst_phase"`
			} `json:"by_direction"`
		}
		require.NoError(t, json.Unmarshal([]byte(written(t, r, JSON)), &j))
		total := 0.0
		for _, d := range j.ByDirection {
			total += d.Share
			assert.NotEqual(t, "right turns", d.Direction)
			assert.Equal(t, r.Check.Phases[d.Phase-1].Margin, d.Margin)
		}
		assert.InDelta(t, 1, total, 1e-12)
		require.Equal(t, "left turns", j.ByDirection[0].Direction)
		return j.ByDirection[0].Margin, j.ByDirection[0].Held, text
	}
	toLeft, heldLeft, textLeft := look("always to the left")
	toRight, heldRight, textRight := look("always to the left, drain led to the right")
	assert.Less(t, toLeft, -0.2)
	assert.Greater(t, toRight, 0.2)
	assert.Equal(t, 1.0, heldLeft)
	assert.Equal(t, 0.0, heldRight)
	assert.Contains(t, textLeft, "the hose leads to the left: left turns take ")
	assert.Contains(t, textRight, "the hose leads to the right: left turns add ")
	assert.Contains(t, textLeft, "laps on end, stints and stops left out")
}
