package report

import (
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
)

func around(p05, p50, p95 float64) sim.Spread { return sim.Spread{P05: p05, P50: p50, P95: p95} }

func TestSpreadsInOneUnit(t *testing.T) {
	lpm := units.DisplayUnit(units.VolumeFlow, units.Metric)
	perMinute := 1.0 / 60000
	for want, s := range map[string]sim.Spread{
		"96 L/min (71 .. 121)":        around(71*perMinute, 96*perMinute, 121*perMinute),
		"14.0 L/min (8.6 .. 19.4)":    around(8.6*perMinute, 14*perMinute, 19.4*perMinute),
		"110 L/min":                   around(110*perMinute, 110*perMinute, 110*perMinute),
		"0.28 L/min (0.02 .. 1.45)":   around(0.02*perMinute, 0.28*perMinute, 1.45*perMinute),
		"0.28 L/min (0 .. 1.45)":      around(0, 0.28*perMinute, 1.45*perMinute),
		"96.0 L/min (95.9 .. 96.1)":   around(95.9*perMinute, 96*perMinute, 96.1*perMinute),
		"0 L/min":                     around(0, 0, 0),
		"-":                           around(math.NaN(), math.NaN(), math.NaN()),
		"1000 L/min (900 .. 1100)":    around(900*perMinute, 1000*perMinute, 1100*perMinute),
		"0.0012 L/min (0 .. 0.0025)":  around(0, 0.0012*perMinute, 0.0025*perMinute),
		"-86 L/min (-149 .. -34)":     around(-149*perMinute, -86*perMinute, -34*perMinute),
		"0.50 L/min (-0.11 .. 10.00)": around(-0.11*perMinute, 0.5*perMinute, 10*perMinute),
	} {
		assert.Equal(t, want, ranged(s, lpm))
	}
	assert.Equal(t, "96 L/min", ranged(around(95.999*perMinute, 96*perMinute, 96.001*perMinute), lpm))
	assert.Equal(t, "104.0 .. 113.1 s", interval(around(104.04, 108, 113.06), units.DisplayUnit(units.Time, units.Metric)))
}

func followed(t *testing.T, s *scenarios.Scenario, n int) Inputs {
	t.Helper()
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	f, err := m.Follows(context.Background(), 1, n)
	require.NoError(t, err)
	c, err := m.CircuitLap()
	require.NoError(t, err)
	return Inputs{Scenario: s, Follows: f, Circuit: c}
}

// TestConversionsAreThoseOfTheModel: oil used by hand, on laps of which a share p
// is at full throttle and the rest passes no gas,
//
//	m = ρ V b/(T p)
//
// 870 kg/m3 · 0.35 L · 80 % / (25 min · 0.4) = 0.406 g/s; 0.35 L · 80 % · 100 s/25 min
// = 18.7 mL a lap, 0.35 L · 80 % · 60/25 = 0.672 L in 60 min.
func TestConversionsAreThoseOfTheModel(t *testing.T) {
	const laps = "{lap: [{for: 40 s, load: 100 %}, {for: 60 s, load: 0 %}]}"
	const used = "{distribution: uniform, low: 0.34999 L, high: 0.35001 L}" // 0.35 L alone is taken for rounded
	s := ready(t, "sealed-drain",
		scenarios.Change{Path: "engine.blow_by.closed_throttle", Value: "0 L/min"}, scenarios.Change{Path: "oil.density", Value: "870 kg/m3"},
		scenarios.Change{Path: "correlations"}, scenarios.Change{Path: "carry_over", Value: "{oil_used: " + used + ", during: 25 min, through_breathers: 80 %, mist: 0 g/m3, corner_share: 0 %}"},
		scenarios.Change{Path: "duty", Value: laps}, scenarios.Change{Path: "sessions", Value: "[60 min]"})
	text := factsText(followed(t, s, 20).follows())
	assert.Contains(t, text, " in 25 min on these laps (80 % of it through the breathers) = 0.406 g/s of liquid at full throttle\n")
	assert.Contains(t, text, ": out of the crankcase: 0.162 g/s on average, 18.7 mL a lap, 0.672 L in 60 min of these laps\n")
	assert.NotContains(t, text, "mist")
	assert.NotContains(t, text, "cornering")
	assert.Contains(t, text, "lap: 100 s a lap, 40 % of it at full throttle")

	// The other way round: 0.406 g/s at full throttle is 0.672 L in 60 min.
	s = ready(t, "sealed-drain",
		scenarios.Change{Path: "engine.blow_by.closed_throttle", Value: "0 L/min"}, scenarios.Change{Path: "oil.density", Value: "870 kg/m3"},
		scenarios.Change{Path: "correlations"}, scenarios.Change{Path: "carry_over", Value: "{full_throttle: 0.406 g/s}"},
		scenarios.Change{Path: "duty", Value: laps}, scenarios.Change{Path: "sessions", Value: "[60 min]"})
	text = factsText(followed(t, s, 20).follows())
	assert.Contains(t, text, "carry-over: 0.406 g/s at full throttle = 0.672 L in 60 min of these laps, 18.7 mL a lap, 0.162 g/s on average\n")

	// A road reading says nothing of a track.
	s = ready(t, "sealed-drain",
		scenarios.Change{Path: "carry_over", Value: "{oil_used: 0.35 L, during: {distance: 6000 km, mean_speed: 60 km/h, full_throttle: 2 %}}"})
	text = factsText(followed(t, s, 20).follows())
	assert.Regexp(t, `0.35 .* over 6000 km .* would be, by the law of flow on these laps, .* of liquid at full throttle, were none of it driven by cornering; what it is on track is not known`, text)
}

// TestLossIsThatOfFullThrottle: 0.8 kPa of air at 20 °C at 110 L/min, of gas at
// 90 °C less as its density is less, by the gas law (its pressure and composition
// aside, which are within 4 %), wherever full throttle stands in a lap.
func TestLossIsThatOfFullThrottle(t *testing.T) {
	for _, lap := range []string{"[{for: 9 s, load: 100 %}]", "[{for: 9 s, load: 100 %}, {for: 5 s, load: 0 %}]", "[{for: 9 s, load: 30 %}]"} {
		s := ready(t, "sealed-drain", scenarios.Change{Path: "correlations"}, scenarios.Change{Path: "engine.pulsation", Value: "0 %"},
			scenarios.Change{Path: "engine.gas_temperature", Value: "90 C"}, scenarios.Change{Path: "engine.blow_by.full_throttle", Value: "110 L/min"},
			scenarios.Change{Path: "separator.pressure_loss", Value: "{loss: 0.8 kPa, at: 110 L/min}"}, scenarios.Change{Path: "duty", Value: "{lap: " + lap + "}"})
		f := followed(t, s, 3).Follows
		t.Logf("%s: %.1f Pa", lap, f.Loss.P50)
		assert.InEpsilon(t, 800*293.15/363.15, f.Loss.P50, 0.04, lap)
	}
}

// TestFollowsInWords writes hand-made values.
func TestFollowsInWords(t *testing.T) {
	s := ready(t, "sealed-can") // displacement, boost and condition
	const perMinute = 1.0 / 60000
	r := Inputs{Scenario: s, Follows: &sim.Follows{
		Realizations: 500, BlowByFull: around(74*perMinute, 96*perMinute, 121*perMinute), BlowByClosed: around(2*perMinute, 4*perMinute, 8*perMinute),
		Loss: around(0, 0, 0), Mist: around(0.01, 0.03, 0.09),
	}}
	assert.Equal(t, "2.2 L, 1.1 bar, used: 96 L/min (74 .. 121) at full throttle, 4.0 L/min (2.0 .. 8.0) at closed throttle", r.blowBy())
	worn, err := s.With(scenarios.Change{Path: "engine.condition"}, scenarios.Change{Path: "engine.wear", Value: "1.8"})
	require.NoError(t, err)
	r.Scenario = worn
	assert.Contains(t, r.blowBy(), "2.2 L, 1.1 bar, 1.8 times the blow-by of a healthy engine: 96 L/min")
	stated := ready(t, "sealed-drain")
	r.Scenario = stated
	assert.Contains(t, r.blowBy(), "96 L/min (74 .. 121) at full throttle")
	assert.False(t, strings.Contains(r.blowBy(), ":"))
	assert.Equal(t, []string{"3.0 % (1.0 .. 9.0) of it is mist"}, r.mist())

	assert.Equal(t, "no pressure loss across it", r.separation())
	r.Follows.Loss = around(100, 150, 240)
	assert.Equal(t, "150 Pa (100 .. 240) lost across it at full throttle", r.separation())
	r.Follows.Loss = around(-149, -86, -34)
	assert.Equal(t, "-86 Pa (-149 .. -34) across it at full throttle: gas comes back through it", r.separation())
	assert.Empty(t, r.usable(), "its shape is not known")

	r.Scenario = ready(t, "four-hours")
	r.Follows.Loss = around(1000, 1000, 1000)
	r.Follows.MistCaught = around(0.55, 0.71, 0.83)
	assert.Equal(t, "catches 71 % (55 .. 83) of the mist at full throttle, can empty; 1 kPa lost across it at full throttle", r.separation())
	same := func(v float64) sim.Spread { return around(v, v, v) }
	r.Follows.Usable, r.Follows.UsableLeft, r.Follows.UsableRight = same(0.604e-3), same(0.73e-3), same(0.445e-3)
	r.Follows.UsableBraking, r.Follows.UsableForward = same(0.6e-3), same(0.59e-3)
	assert.Equal(t, "holds 0.604 L upright; at 1 g: 0.73 L in a left turn, 0.445 L in a right turn, 0.6 L when braking, 0.59 L when accelerating", r.usable())
	for _, s := range []*sim.Spread{&r.Follows.UsableLeft, &r.Follows.UsableRight, &r.Follows.UsableBraking, &r.Follows.UsableForward} {
		*s = r.Follows.Usable
	}
	assert.Equal(t, "holds 0.604 L, upright and at 1 g in any direction", r.usable())
}

// TestFollowsInEveryFormat: for people within 80 columns, for programs the values
// themselves.
func TestFollowsInEveryFormat(t *testing.T) {
	for _, name := range scenarios.ReadyNames() {
		s := ready(t, name)
		for _, s := range append(variants(t, s), s) {
			for _, u := range []units.System{units.Metric, units.US} {
				r := followed(t, s, 20)
				r.Units = u
				text := written(t, r, Text)
				fits(t, text)
				assert.Contains(t, text, "What follows from it: medians, and in brackets what holds 90 % of 20\n")
				for _, format := range []Format{Text, Markdown} {
					assert.NotContains(t, written(t, r, format), "NaN")
				}
				if u == units.US {
					after := text[strings.Index(text, "What follows from it"):]
					after, _, _ = strings.Cut(after, "schedule") // words of the file may stand there
					assert.NotRegexp(t, `kPa|L/min| mL| km/h`, after)
				}
			}
		}
	}
	r := followed(t, ready(t, "four-hours"), 20)
	var j struct {
		Follows struct {
			Realizations int
			Full         struct{ P05, P50, P95 float64 } `json:"blow_by_full_throttle_m3_s"`
			Right        struct{ P05, P50, P95 float64 } `json:"usable_1g_right_turn_m3"`
			PerSession   struct{ P05, P50, P95 float64 } `json:"carried_over_longest_session_m3"`
		}
	}
	require.NoError(t, json.Unmarshal([]byte(written(t, r, JSON)), &j))
	assert.Equal(t, 20, j.Follows.Realizations)
	assert.Equal(t, r.Follows.BlowByFull.P95, j.Follows.Full.P95)
	assert.Equal(t, r.Follows.UsableRight.P50, j.Follows.Right.P50)
	assert.Equal(t, r.Follows.PerSession.P05, j.Follows.PerSession.P05)
	r.Follows = nil
	assert.NotContains(t, written(t, r, JSON), "follows\"")
	assert.NotContains(t, written(t, r, Text), "What follows")
}
