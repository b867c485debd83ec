package sim_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/internal/still"
)

func follows(t *testing.T, s *scenarios.Scenario, n int) *sim.Follows {
	t.Helper()
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	f, err := m.Follows(context.Background(), 1, n)
	require.NoError(t, err)
	return f
}

// Oil used over a time of laps, and what it is at full throttle, by hand: on laps
// of which a share p is at full throttle and the rest passes no gas,
//
//	m = ρ V b/(T p)
func TestOilUsedBecomesARate(t *testing.T) {
	s := still.Read(t, still.Text,
		change("carry_over", "{oil_used: {distribution: uniform, low: 0.3499 L, high: 0.3501 L}, during: 25 min, through_breathers: 80 %, mist: 0 g/m3, flow_exponent: 2, corner_share: 0 %}"),
		change("duty.lap", "[{for: 40 s, load: 100 %}, {for: 60 s, load: 0 %}]"))
	f := follows(t, s, 100)
	rate := 870 * 0.35e-3 * 0.8 / (25 * 60 * 0.4)
	for _, x := range []sim.Spread{f.FullThrottle, f.AtFull} {
		assert.InEpsilon(t, rate, x.P50, 1e-3)
	}
	assert.InEpsilon(t, rate*0.4, f.Running.P50, 1e-3)
	assert.InEpsilon(t, rate*40/870, f.PerLap.P50, 1e-3)
	assert.InEpsilon(t, 0.35e-3*0.8*20/25, f.PerSession.P50, 1e-3)
	assert.InDelta(t, 0, f.Mist.P95, 1e-12)
	assert.InDelta(t, 100, f.LapTime.P50, 1e-9)
	assert.InDelta(t, 0.4, f.FullThrottleShare.P50, 1e-12)
}

// Blow-by by the law: 1.6 · 13 · 2.2 L · 2.11 bar · 1.15 at nominal values.
func TestBlowByByTheLaw(t *testing.T) {
	s := still.Read(t, still.Text, change("engine", "{displacement: 2.2 L, boost: 1.1 bar, wear: 1.6, blow_by_law: 13 L/min, shaft_seals: 1.15}"))
	f := follows(t, s, 10)
	want := 1.6 * 13 * 2.2 * (1.01325 + 1.1) * 1.15 / 60000
	assert.InEpsilon(t, want, f.BlowByFull.P50, 1e-12)
	uncertain := follows(t, still.Read(t, still.Text, change("engine", "{displacement: 2.2 L, boost: 1.1 bar, condition: used}")), 500)
	assert.Less(t, uncertain.BlowByFull.P05, 0.8*want)
	assert.Greater(t, uncertain.BlowByFull.P95, 1.3*want)
}

// A shape without tilt holds its cross-section times the mouth's height; a mouth
// off the axis loses to one side what it gains to the other.
func TestShapeHoldsByDirection(t *testing.T) {
	s := still.Read(t, still.Text, change("separator", "{diameter: 75 mm, height: 160 mm, efficiency: 60 %, outlet: {mouth: [0, 30, 90 mm], bore: 19 mm}}"))
	f := follows(t, s, 1)
	area := math.Pi / 4 * 0.075 * 0.075
	assert.InEpsilon(t, area*0.09, f.Usable.P50, 1e-9)
	assert.InEpsilon(t, area*0.12, f.UsableLeft.P50, 1e-9, "in a left turn oil goes to the right, away from the mouth")
	assert.InEpsilon(t, area*0.06, f.UsableRight.P50, 1e-9)
	assert.InEpsilon(t, area*0.09, f.UsableForward.P50, 1e-9)
	byVolume := follows(t, still.Read(t, still.Text, change("separator", "{usable_volume: 0.8 L, diameter: 75 mm, height: 160 mm, efficiency: 60 %, outlet: {mouth: [0, 30, 90 mm], bore: 19 mm}}")), 1)
	assert.InEpsilon(t, 0.8e-3, byVolume.Usable.P50, 1e-9)
	assert.InEpsilon(t, 0.8e-3-area*0.03, byVolume.UsableRight.P50, 1e-9)
}

// Separation from droplets falls as the jets slow down, and its loss goes with
// the square of the flow.
func TestSeparationMovesWithFlow(t *testing.T) {
	of := func(flow string) *sim.Follows {
		return follows(t, still.Read(t, still.Text, change("engine.blow_by.full_throttle", flow),
			change("separator", "{usable_volume: 0.3 L, diameter: 75 mm, elements: [{kind: impactor, jet: round, width: 2.5 mm, count: 8, sharpness: 3, loss_heads: 1.5}], droplets: {fine: {median: 1.2 um, spread: 2}, coarse_share: 0 %}}")), 1)
	}
	slow, fast := of("45 L/min"), of("90 L/min")
	t.Logf("caught: %.3f at 45 L/min, %.3f at 90; loss %.0f and %.0f Pa", slow.MistCaught.P50, fast.MistCaught.P50, slow.Loss.P50, fast.Loss.P50)
	assert.Less(t, slow.MistCaught.P50, fast.MistCaught.P50)
	assert.InEpsilon(t, 4, fast.Loss.P50/slow.Loss.P50, 1e-3)
}

// A circuit's lap moves with what is not known of the car.
func TestCircuitMovesWithTheCar(t *testing.T) {
	f := follows(t, still.Read(t, bowlTo("180", "left")), 200)
	assert.Less(t, f.LapTime.P05, f.LapTime.P95-0.5)
	m, err := sim.NewModel(still.Read(t, bowlTo("180", "left")))
	require.NoError(t, err)
	lap, err := m.CircuitLap()
	require.NoError(t, err)
	total := 0.0
	for _, p := range m.Nominal().Lap {
		total += p.Duration
	}
	assert.InEpsilon(t, lap.Time, total, 1e-9, "phases last as long as the lap")
	assert.InDelta(t, 2*math.Pi, lap.Turning, 1e-9)
}
