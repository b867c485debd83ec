package sim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/physics"
	"sumpward/scenarios"
	"sumpward/sim"
)

// What the trade knows: common practice, no source.

const (
	tradeRealizations = 500
	nearBounds        = 1500 // where a chance is near what it is held against
)

// Half a US quart in a 20 min session is much oil: a sealed can of 0.45 L is
// about a coin toss or worse; at 0.1 L it hardly ever overflows.
func TestSealedCanAgainstOilUse(t *testing.T) {
	chance := func(used string) float64 {
		s := ready(t, "sealed-can", change("carry_over.oil_used", used), change("carry_over.during", "20 min"), change("sessions", "[20 min]"))
		return run(t, s, nearBounds).Sessions[0].Overflow.Probability
	}
	much, quarter, little := chance("0.47 L"), chance("0.24 L"), chance("0.1 L")
	t.Logf("0.47 L %.3f, 0.24 L %.3f, 0.1 L %.3f", much, quarter, little)
	assert.Greater(t, much, 0.4)
	assert.Less(t, quarter, 0.1)
	assert.Less(t, little, 0.01)
}

// A sealed can fills in proportion to oil use.
func TestSealedCanFillsWithOilUse(t *testing.T) {
	s := func(used string) *sim.Result {
		return run(t, ready(t, "sealed-can", change("carry_over.oil_used", used), change("separator.usable_volume", "2 L"), change("separator.cross_section", "200 cm2"), change("carry_over.mist", "0 g/m3"), change("sessions", "[20 min]")), tradeRealizations)
	}
	one, two := s("{distribution: uniform, low: 0.3 L, high: 0.32 L}"), s("{distribution: uniform, low: 0.6 L, high: 0.64 L}")
	assert.InEpsilon(t, 2, two.Sessions[0].PeakFill.P50/one.Sessions[0].PeakFill.P50, 0.01)
}

// Raising the fall takes a sealed drain from one that chokes in most sessions to
// one that hardly ever does.
func TestFallDecides(t *testing.T) {
	last := 1.0
	for i, fall := range []string{"20 mm", "45 mm", "70 mm", "120 mm"} {
		got := run(t, ready(t, "sealed-drain", change("drain.fall", fall), change("sessions", "[40 min]")), tradeRealizations).Sessions[0].DrainChoked.Probability
		t.Logf("fall %s: choked in %.3f of the sessions", fall, got)
		assert.LessOrEqual(t, got, last)
		last = got
		if i == 0 {
			assert.Greater(t, got, 0.5)
		}
	}
	assert.Less(t, last, 0.01)
}

// Losing the circuit beside an unsealed drain raises both the crankcase's
// pressure and the chance of flooding.
func TestLostCircuitHurtsTwice(t *testing.T) {
	s := ready(t, "lost-circuit", change("sessions", "[40 min]"))
	kept, err := s.Variant("breather kept")
	require.NoError(t, err)
	lost, with := run(t, s, tradeRealizations), run(t, kept, tradeRealizations)
	assert.Greater(t, lost.PeakPressure.P50, with.PeakPressure.P50)
	assert.Greater(t, lost.FloodShare.P50, with.FloodShare.P50)
	assert.Greater(t, lost.Sessions[0].DrainChoked.Probability, with.Sessions[0].DrainChoked.Probability)
}

// A low point in the hose, or a cornering force against it, holds the drain.
func TestLowPointAndCorneringHoldTheDrain(t *testing.T) {
	chance := func(r *sim.Result) float64 { return r.Sessions[0].DrainChoked.Probability }
	plain := chance(run(t, ready(t, "sealed-drain", change("drain.fall", "80 mm"), change("sessions", "[40 min]")), tradeRealizations))
	dipped := chance(run(t, ready(t, "sealed-drain", change("drain.fall", "80 mm"), change("drain.dip", "10 mm"), change("sessions", "[40 min]")), tradeRealizations))
	t.Logf("80 mm of fall: %.3f; with a dip of 10 mm: %.3f", plain, dipped)
	assert.Greater(t, dipped, plain+0.1)

	still := `[{for: 10 s, load: 100 %}, {for: 40 s, load: 50 %}]`
	corners := `[{for: 10 s, load: 100 %}, {for: 40 s, load: 50 %, left: 1.1 g}]`
	route := func(y string) []string { return []string{"[[0 mm, 0 mm, 100 mm], [0 mm, " + y + ", 0 mm]]"} }
	for _, c := range []struct {
		lap, y string
		hold   bool
	}{{still, "250 mm", false}, {corners, "0 mm", false}, {corners, "250 mm", true}} {
		s := ready(t, "sealed-drain", change("drain", "{return: above_oil, seal: valve, bore: 12.7 mm, route: "+route(c.y)[0]+", valve_opens_at: 0.2 .. 0.4 kPa}"), change("duty", "{lap: "+c.lap+"}"), change("sessions", "[40 min]"))
		got := chance(run(t, s, 500))
		t.Logf("lap %s, return %s to the left: %.3f", c.lap, c.y, got)
		assert.Equal(t, c.hold, got > 0.5)
	}
}

// A can within a can closes its own gas path as it fills: crankcase pressure rises.
func TestCanWithinACanClosesItsGasPath(t *testing.T) {
	open := run(t, ready(t, "sealed-can"), 150)
	closing := run(t, ready(t, "sealed-can", change("separator.gas_path_closes_from", "60 %")), 150)
	t.Logf("peak pressure %.0f Pa open, %.0f Pa closing", open.PeakPressure.P95, closing.PeakPressure.P95)
	assert.Greater(t, closing.PeakPressure.P95, open.PeakPressure.P95+50)
}

// A return below the sump's oil keeps draining where one above it is held.
func TestBelowTheOilKeepsDraining(t *testing.T) {
	above := ready(t, "sealed-drain", change("sessions", "[40 min]"))
	below, err := above.Variant("below the oil")
	require.NoError(t, err)
	a, b := run(t, above, tradeRealizations), run(t, below, tradeRealizations)
	assert.Greater(t, a.Sessions[0].DrainChoked.Probability, 0.2)
	assert.Less(t, b.Sessions[0].DrainChoked.Probability, 0.01)
}

// Lowering the return by about 3 in, some 0.63 kPa of oil, makes a large difference.
func TestThreeInchesLower(t *testing.T) {
	assert.InDelta(t, 630, physics.ColumnPressure(0.0762, 845), 5)
	as := run(t, ready(t, "sealed-drain", change("drain.fall", "30 .. 55 mm"), change("sessions", "[40 min]")), tradeRealizations).Sessions[0].DrainChoked.Probability
	lower := run(t, ready(t, "sealed-drain", change("drain.fall", "106 .. 131 mm"), change("sessions", "[40 min]")), tradeRealizations).Sessions[0].DrainChoked.Probability
	assert.Greater(t, as, 0.4)
	assert.Less(t, lower, 0.02)
}

// A drain that stops turns the separator into a sealed can.
func TestStoppedDrainIsASealedCan(t *testing.T) {
	stopped := run(t, ready(t, "sealed-drain", change("drain.valve_opens_at", "5 kPa"), change("drain.length", "50 mm"), change("drain.fall", "50 mm"), change("drain.bore", "4 mm")), tradeRealizations)
	sealed := run(t, ready(t, "sealed-drain", change("drain", "{return: emptied_by_hand, emptied: every session}")), tradeRealizations)
	for i := range sealed.Sessions {
		a, b := stopped.Sessions[i].Overflow.Probability, sealed.Sessions[i].Overflow.Probability
		t.Logf("%4.0f s: %.3f with the drain stopped, %.3f sealed", sealed.Sessions[i].Length, a, b)
		assert.InDelta(t, b, a, 0.01)
	}
	assert.Greater(t, sealed.Sessions[3].Overflow.Probability, 0.3)
	assert.InDelta(t, 1, stopped.Sessions[0].HeldShare.P50, 1e-3)
}

// The longer at full throttle, the more the can fills while pressure holds the drain.
func TestMoreFullThrottleFillsMore(t *testing.T) {
	last := -1.0
	for _, share := range []string{"30 %", "60 %", "90 %"} {
		s := ready(t, "sealed-drain",
			change("duty", "{pattern: {full_throttle: "+share+", burst: 7 s, load_otherwise: 10 %}}"),
			change("drain.fall", "60 mm"), change("carry_over", "{full_throttle: 0.5 x/ 1.3 g/s}"),
			scenarios.Change{Path: "correlations"}, change("sessions", "[40 min]"))
		got := run(t, s, tradeRealizations).Sessions[0].PeakFill.P95
		t.Logf("full throttle for %s of the time: fill of %.2f at the most in 95 %%", share, got)
		assert.Greater(t, got, last)
		last = got
	}
}

// A fresh, healthy engine may move next to none: what is carried over follows
// from what was used, not from a hidden floor.
func TestHealthyEngineMovesNextToNone(t *testing.T) {
	s := ready(t, "sealed-can", change("carry_over", "{full_throttle: 0.001 g/s}"))
	r := run(t, s, 500)
	assert.Less(t, r.Sessions[3].PeakFill.P95, 0.02)
	assert.Zero(t, r.Sessions[3].Events.Overflow)
}
