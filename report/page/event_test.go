package page

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// dayAtLarkmoor is the page of a short event with a can that is emptied by hand.
func dayAtLarkmoor(t *testing.T, changes ...scenarios.Change) Page {
	t.Helper()
	s, err := scenarios.Ready("sealed-drain")
	require.NoError(t, err)
	s, err = s.With(append([]scenarios.Change{
		{Path: "sessions"}, {Path: "drain", Value: "{return: emptied_by_hand, emptied: at stops}"},
		{Path: "duty.schedule", Value: "[{drive: 10 min}, {stop: 5 min}]"}, {Path: "duty.event", Value: "40 min"},
		{Path: "oil.temperature.start", Value: "25 C"},
	}, changes...)...)
	require.NoError(t, err)
	p := Page{Program: "sumpward (test)", Command: "run"}
	p.Model, err = sim.NewModel(s)
	require.NoError(t, err)
	p.Result, err = p.Model.Run(t.Context(), sim.Options{Realizations: 300})
	require.NoError(t, err)
	p.Check, err = p.Model.CheckDrain(t.Context())
	require.NoError(t, err)
	p.Emptying, err = decide.EmptyingIntervals(t.Context(), p.Model, sim.Options{Realizations: 200})
	require.NoError(t, err)
	p.Fan, err = p.Model.Fan(t.Context(), 1, 50, 30, 0)
	require.NoError(t, err)
	return p
}

func TestPageOfAnEvent(t *testing.T) {
	p := dayAtLarkmoor(t)
	html := htmlOf(t, p)
	text := textOf(html)
	for _, want := range []string{
		"emptied by hand at stops", "Event of 40 min: stints of 10 min, stops of 5 min (engine stopped)",
		"simulated 40 min events", ", 40 min events", "Chance by the end of …, option A", "Chance in each stint and the stop after it",
		"1 0:00–0:10 25→", "0:30–0:40", "In the first stint, with oil from 25 °C and an empty can, the can overflows in ",
		"How often the can must be emptied", "at every stop as written", "at every 2nd stop", "before the event alone",
		"Chance that the can overflows, by how often it is emptied: 200 simulated 40 min events of each", "time into the event",
		"Each simulated event draws", "expected, a 40 min event",
	} {
		assert.Contains(t, text, want)
	}
	assert.NotContains(t, text, "simulated session")
	assert.Contains(t, html, `aria-labelledby="stints-title stints-desc"`)
	v := viewed(t, p)
	require.Len(t, v.Stints.Rows, 3)
	require.Len(t, v.Emptying.Rows, 3, "two stops, and once before")
	assert.NotRegexp(t, `(^|[^0-9.])0(\.0+)? %`, textOf(string(v.StintChart)))
}

func TestPageOfSessionsHasNoStints(t *testing.T) {
	v := viewed(t, sealedDrain(t))
	assert.Nil(t, v.Stints)
	assert.Nil(t, v.Emptying)
	assert.Empty(t, v.StintChart)
	assert.Empty(t, v.Event)
	assert.Contains(t, textOf(htmlOf(t, sealedDrain(t))), "Chance within a session, option A")
}

const byRoad = "{oil_used: 1 L, during: {distance: 6000 km}}"

// A page gives no verdict on track from a road reading, with or without what it rests
// on.
func TestPageOnARoadReading(t *testing.T) {
	p := dayAtLarkmoor(t, scenarios.Change{Path: "carry_over", Value: byRoad}, scenarios.Change{Path: "correlations"})
	quick := textOf(htmlOf(t, p))
	assert.Contains(t, quick, "Depends on what is not measured, 40 min events")
	assert.Contains(t, quick, "depends on the carry-over on track, which a reading over a road interval does not tell. Weigh first what a sealed can catches in one session.")
	assert.Contains(t, quick, "carry-over is the road reading, carried to the track by the law of flow")
	assert.Contains(t, quick, "no verdict on a session is given from it")
	assert.NotContains(t, quick, "✓ ", "nothing is met for sure")
	assert.NotContains(t, quick, "this layout meets")

	p.Dependence = &decide.Dependence{
		Question: decide.Question{Event: sim.OverflowOrChoked, Session: len(p.Result.Sessions) - 1, Limit: 0.01}, Scenario: p.Result.Scenario, Length: 2400,
		Track: &decide.TrackCarryOver{From: 5e-6, To: 20e-3, AtFrom: estimate(0, 0, 0.004), AtTo: estimate(0.99, 1, 1),
			Tipping: decide.TippingValue{Value: 0.21e-3, Low: 0.19e-3, High: 0.24e-3, KeptBelow: true}},
	}
	text := textOf(htmlOf(t, p))
	assert.Contains(t, text, "It meets the limit below 0.21 g/s of liquid oil at full throttle (0.19 g/s to 0.24 g/s): weigh first what a sealed can catches in one session.")

	p.Dependence.Track.AtTo = estimate(0, 0, 0.004)
	assert.NotContains(t, textOf(htmlOf(t, p)), "depends on the carry-over on track", "it holds with any")
}

func TestCardOfAnEvent(t *testing.T) {
	for emptied, want := range map[string]string{"at stops": "at every stop, as planned", "every 2 stops": "at every 2 stops, as planned"} {
		p := dayAtLarkmoor(t, scenarios.Change{Path: "drain.emptied", Value: emptied})
		c := Card{Program: "sumpward (test)", Model: p.Model, Result: p.Result, Check: p.Check}
		assert.Contains(t, c.empty().Why, want)
		assert.Contains(t, c.basis(), "Limit of risk 1 % an event. 300 simulated events of up to 40 min")
		assert.Contains(t, c.inHand(), "of the simulated events")
		assert.NotContains(t, c.basis(), "No verdict on track")
	}
	p := dayAtLarkmoor(t, scenarios.Change{Path: "drain.emptied", Value: "every session"},
		scenarios.Change{Path: "duty.schedule", Value: "[{drive: 10 min}, {stop: 5 min, can: emptied}]"},
		scenarios.Change{Path: "carry_over", Value: byRoad}, scenarios.Change{Path: "correlations"})
	c := Card{Program: "sumpward (test)", Model: p.Model, Result: p.Result, Check: p.Check}
	assert.Contains(t, c.plan(), "at the stops that the schedule says, as planned")
	assert.Contains(t, c.basis(), "No verdict on track: carry-over is the road reading, carried to the track by the law of flow; weigh what the can catches in the first session.")
}
