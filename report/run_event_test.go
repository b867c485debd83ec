package report

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

func TestEventInOneLine(t *testing.T) {
	for schedule, want := range map[string]string{
		"[{drive: 50 .. 55 min}, {stop: 5 min}]":                          "stints of 50 .. 55 min, stops of 5 min (engine stopped)",
		"[{drive: 55 min}]":                                               "driven without a stop",
		"[{drive: 55 min}, {stop: 5 min, engine: running, can: emptied}]": "stints of 55 min, stops of 5 min (engine running, can emptied)",
		"[{drive: 55 min}, {stop: 5 min, oil: topped_up}, {drive: 55 min}, {stop: 5 min, oil: topped_up}]": "stints of 55 min, stops of 5 min (engine stopped, oil topped up)",
		"[{drive: 20 min}, {stop: 5 min}, {drive: 40 min}]":                                                "stint of 20 min, stop of 5 min (engine stopped), stint of 40 min, over again",
		"[{drive: 10 min}, {drive: 2 min}, {stop: 9 min}, {drive: 3 min}, {drive: 4 min}, {drive: 5 min}, {drive: 6 min}, {drive: 7 min}, {drive: 8 min}]": "stint of 10 min, stint of 2 min, " +
			"stop of 9 min (engine stopped), stint of 3 min, stint of 4 min, stint of 5 min, stint of 6 min, stint of 7 min and 1 more, over again",
	} {
		assert.Equal(t, "Event of 4 h: "+want, Event(event(t, "sealed-drain", schedule, "4 h"), units.Metric))
	}
	assert.Empty(t, Event(ready(t, "sealed-drain"), units.Metric))
	slow := ready(t, "sealed-drain", scenarios.Change{Path: "duty.slow_laps", Value: "{chance: 35 %, for: 5 .. 10 min}"})
	assert.Equal(t, "Slow laps of 5 .. 10 min in 35 % of the sessions", Event(slow, units.Metric))
}

func TestVerdictOnAnEvent(t *testing.T) {
	verdict := func(events ...sim.Events) string {
		res := made(t, sim.Sealed, 5000, events...)
		res.Scenario = event(t, "sealed-drain", fourStints, "3 h")
		for i := range res.Sessions {
			res.Sessions[i].Length = res.Scenario.Sessions[i]
		}
		return Verdict(res, units.Metric)
	}
	fine, near, bad := sim.Events{}, sim.Events{DrainChoked: 45, Fails: 45}, sim.Events{Overflow: 350, DrainChoked: 600, Fails: 700}
	assert.Equal(t, "In about 7 of 100 simulated events the can overflows in the first 2 h; the drain backs up in about 12 of 100. "+
		"The limit is 1 of 100: this layout does not meet it from 2 h on. The first 1 h of an event meets it.", verdict(fine, bad, bad))
	assert.Equal(t, "In about 7 of 100 simulated 3 h events the can overflows; the drain backs up in about 12 of 100. "+
		"The limit is 1 of 100: this layout does not meet it from 3 h on. "+
		"The first 1 h of an event meets it; for the first 2 h, 5,000 simulated ones can't tell: run more of them.", verdict(fine, near, bad))
	assert.Equal(t, "In none of 5,000 simulated 3 h events does the can overflow or the drain back up. The limit is 1 of 100: this layout meets it.", verdict(fine, fine, fine))
	assert.Contains(t, verdict(near, near, near), "from 1 h on, 5,000 simulated events can't tell whether this layout meets it: run more of them.")
}
