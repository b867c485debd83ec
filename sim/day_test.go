package sim_test

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/internal/exact"
	"sumpward/sim/internal/still"
)

// bowl is a circuit that always turns one way, with a hose that is led to one
// side; LEFT is the side that it turns to, SIDE where the hose goes.
const bowl = `
scenario: 1
title: Larkmoor bowl, car 42
engine: {blow_by: {full_throttle: 90 +- 12 L/min, closed_throttle: 4 L/min}, intake_depression: 3 kPa}
carry_over: {full_throttle: 0.9 x/ 1.5 g/s, corner_share: 40 %}
breathers:
  - {name: block, to: separator, bore: 16 mm, length: 500 mm, loss_coefficient: 2.5}
separator:
  usable_volume: 0.25 L
  diameter: 75 mm
  efficiency: 60 %
  pressure_loss: {loss: 0.8 kPa, at: 110 L/min}
drain:
  return: above_oil
  seal: valve
  valve_opens_at: 0.2 .. 0.5 kPa
  bore: 12.7 mm
  route: [[0, 0, 0], [0, SIDE, -25 mm], [0, SIDE, -50 mm]]
duty:
  circuit:
    segments:
      - {straight: 220 m}
      - {corner: 90 m, angle: 180 deg, turns: LEFT}
      - {straight: 120 m}
      - {corner: 45 m, angle: 90 deg, turns: LEFT}
      - {straight: 172 m}
      - {corner: 60 m, angle: 90 deg, turns: LEFT}
  car: {mass: 1180 kg, power: 220 +- 15 kW, grip: 1.0 .. 1.3, driver: 92 %, drag_area: 0.7 m2, top_speed: 250 km/h}
sessions: [20 min, 40 min]
simulation: {realizations: 500}
`

func bowlTo(side, turns string) string {
	return strings.NewReplacer("SIDE", side, "LEFT", turns).Replace(bowl)
}

// chances are what a result says, in one comparable value, to 4 digits: where a phase is
// cut in two, its temperature is that of two halves.
func chances(r *sim.Result) string {
	text := fmt.Sprintf("%.4g %.4g\n", r.Balance, r.PeakPressure)
	for _, s := range r.Sessions {
		text += fmt.Sprintf("%.4g\n", []any{s.Overflow, s.DrainChoked, s.OverPressure, s.OilLost, s.PeakFill, s.HeldShare, s.OilToIntake})
	}
	return text
}

// On a circuit that always turns left, a hose led to the left and one led to the
// right are told apart, in what is simulated and in the drain's check.
func TestRoutingsAreToldApart(t *testing.T) {
	left, right := still.Read(t, bowlTo("180", "left")), still.Read(t, bowlTo("-180", "left"))
	a, b := run(t, left, 500), run(t, right, 500)
	t.Logf("40 min, drain choked: hose to the left %.3f, to the right %.3f", a.Sessions[1].DrainChoked.Probability, b.Sessions[1].DrainChoked.Probability)
	// In a left turn oil is thrown to the right: a hose to the left climbs.
	assert.Greater(t, a.Sessions[1].DrainChoked.Low, b.Sessions[1].DrainChoked.High)
	worst := func(s *scenarios.Scenario) float64 {
		m, err := sim.NewModel(s)
		require.NoError(t, err)
		c, err := m.CheckDrain(context.Background())
		require.NoError(t, err)
		margin := math.Inf(1)
		for _, p := range c.Phases {
			if p.Phase.Left > 0.5*9.81 {
				margin = min(margin, p.Margin)
			}
		}
		return margin
	}
	inTurn := worst(left) - worst(right)
	t.Logf("worst margin in left turns: %.0f mm less to the left", -1000*inTurn)
	assert.Less(t, inTurn, -0.3, "180 mm to either side at about 1 g")
}

// A mirrored circuit with a mirrored hose gives the same result to the last bit.
func TestMirroredCircuitMirrors(t *testing.T) {
	for _, side := range []string{"180", "-180"} {
		mirrored := map[string]string{"180": "-180", "-180": "180"}[side]
		a, b := run(t, still.Read(t, bowlTo(side, "left")), 500), run(t, still.Read(t, bowlTo(mirrored, "right")), 500)
		assert.Equal(t, chances(a), chances(b), side)
	}
}

// One stint is the plain session; a stop of no time is none.
func TestOneStintIsThePlainSession(t *testing.T) {
	for _, kind := range []string{"sealed-drain", "lost-circuit", "sealed-can"} {
		plain := run(t, ready(t, kind, change("sessions", "[15 min, 40 min]")), 200)
		for _, schedule := range []string{
			"[{drive: 40 min}]",
			"[{drive: 11 min}, {stop: 0 s}, {drive: 29 min}]",
			"[{drive: 11 min}, {stop: 0 s, engine: running}, {drive: 11 min}, {stop: 0 s}, {drive: 18 min}]",
		} {
			s := run(t, ready(t, kind, change("duty.schedule", schedule), change("sessions", "[15 min, 40 min]")), 200)
			assert.Equal(t, chances(plain), chances(s), "%s: %s", kind, schedule)
			assert.Len(t, s.Stints, 1)
		}
	}
}

// Stints apart by stops at which the can is emptied are sessions of their own:
// each overflows with the chance of the closed form for a rate that is log-normal.
func TestEmptiedStintsAreSessions(t *testing.T) {
	s := still.Read(t, still.Text, change("carry_over.full_throttle", "0.1 x/ 1.5 g/s"), change("separator.usable_volume", "0.15 L"),
		change("duty.schedule", "[{drive: 20 min}, {stop: 5 min, can: emptied}]"), change("duty.event", "70 min"), change("sessions", "[70 min]"))
	got := run(t, s, 5000)
	require.Len(t, got.Stints, 3)
	// rate · time > volume · density, by the log-normal distribution
	threshold := 0.15e-3 * hotDensity / 1200
	want := exact.NormalAbove(math.Log(0.1e-3), math.Log(1.5), math.Log(threshold))
	for i, stint := range got.Stints {
		tolerance := 4 * math.Sqrt(want*(1-want)/5000)
		assert.InDelta(t, want, stint.Overflow.Probability, tolerance, "stint %d", i+1)
		assert.Equal(t, float64(i)*1500, stint.Start)
		assert.Equal(t, float64(i)*1500+1200, stint.End)
	}
}

// A can that isn't emptied goes on filling from stint to stint.
func TestStintsThatAreNotEmptiedAddUp(t *testing.T) {
	s := still.Read(t, still.Text, change("duty.schedule", "[{drive: 20 min}, {stop: 5 min}]"), change("duty.event", "75 min"), change("sessions", "[25 min, 50 min, 75 min]"))
	got := run(t, s, 500)
	fill := 0.1e-3 * 1200 / (0.15e-3 * hotDensity)
	assert.InEpsilon(t, fill, got.Sessions[0].PeakFill.P50, 2e-3)
	assert.InDelta(t, 1, got.Sessions[1].PeakFill.P50, 1e-9)
	assert.Equal(t, []int64{0, 500, 500}, []int64{got.Stints[0].OverflowEvents, got.Stints[1].OverflowEvents, got.Stints[2].OverflowEvents})
}

// The oil warms up in a stint and cools at a stop: exponentials.
func TestOilCoolsAtStops(t *testing.T) {
	s := still.Read(t, still.Text, change("oil.temperature", "{start: 20 C, settled: 110 C, time_constant: 6 min, cooling_time_constant: 20 min}"),
		change("duty.schedule", "[{drive: 18 min}, {stop: 30 min}]"), change("duty.event", "80 min"), change("sessions", "[80 min]"))
	got := run(t, s, 500)
	require.Len(t, got.Stints, 2)
	k := func(c float64) float64 { return c + 273.15 }
	end := k(110) - 90*math.Exp(-3)
	cooled := k(25) + (end-k(25))*math.Exp(-1.5)
	for i, want := range [][2]float64{{k(20), end}, {cooled, k(110) + (cooled-k(110))*math.Exp(-3)}} {
		assert.InDelta(t, want[0], got.Stints[i].StartTemperature, 1e-3)
		assert.InDelta(t, want[1], got.Stints[i].EndTemperature, 1e-3)
	}
}

// Oil that is topped up is no longer missing.
func TestToppedUpOilIsNotMissing(t *testing.T) {
	lost := func(topped string) float64 {
		s := still.Read(t, still.Text, change("carry_over.full_throttle", "0.2 g/s"), change("limits.oil_lost", "0.4 L"), change("separator.usable_volume", "2 L"),
			change("duty.schedule", "[{drive: 20 min}, {stop: 5 min, oil: "+topped+"}]"), change("duty.event", "75 min"), change("sessions", "[75 min]"))
		return run(t, s, 500).Sessions[0].OilLost.Probability
	}
	assert.Equal(t, 1.0, lost("left"), "0.2 g/s in three stints of 20 min is 0.8 L")
	assert.Equal(t, 0.0, lost("topped_up"), "0.28 L in one of them")
}

// Slow laps come in the stated share of the stints, and carry less over.
func TestSlowLaps(t *testing.T) {
	changes := func(slow string) []scenarios.Change {
		return []scenarios.Change{
			change("separator.usable_volume", "2 L"), change("duty.slow_laps", slow),
			change("duty.schedule", "[{drive: 30 min}, {stop: 0 s, can: emptied}]"), change("duty.event", "60 min"), change("sessions", "[60 min]"),
		}
	}
	always := run(t, still.Read(t, still.Text, changes("{chance: 100 %, for: 12 min, spread: 0 %, load: 0 %}")...), 500)
	never := run(t, still.Read(t, still.Text, changes("{chance: 0 %, for: 12 min, load: 0 %}")...), 500)
	// No gas at closed throttle, no oil. The stint may end before slow laps do:
	// they begin anywhere in it, so that on average 12 - 12²/2/30 min are driven.
	driven := 12 - 12.0*12/2/30
	assert.InEpsilon(t, never.Balance.Carried*(1-driven/30), always.Balance.Carried, 4*0.1/math.Sqrt(1000))
	half := run(t, still.Read(t, still.Text, changes("{chance: 50 %, for: 12 min, spread: 0 %, load: 0 %}")...), 2000)
	assert.InEpsilon(t, never.Balance.Carried*(1-driven/60), half.Balance.Carried, 4*0.18/math.Sqrt(4000))
}

// A lap's own engine stops empty the can with slow laps or a schedule as without.
func TestStopsOfTheLapStillEmptyTheCan(t *testing.T) {
	changes := []scenarios.Change{
		change("drain", "{return: emptied_by_hand, emptied: at stops}"), change("sessions", "[60 min]"), change("separator.usable_volume", "0.2 L"),
		change("duty.lap", "[{for: 10 min, load: 100 %}, {for: 5 min, engine: stopped}]"),
	}
	plain := run(t, still.Read(t, still.Text, changes...), 500)
	assert.Zero(t, plain.Sessions[0].Overflow.Probability)
	for _, more := range []scenarios.Change{change("duty.slow_laps", "{chance: 0 %}"), change("duty.schedule", "[{drive: 60 min}]")} {
		assert.Equal(t, chances(plain), chances(run(t, still.Read(t, still.Text, append(changes, more)...), 500)), more.Path)
	}
}
