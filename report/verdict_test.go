package report

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/stats"
)

// made is a result as it might have come out: of n realizations, so many
// events by session.
func made(t *testing.T, kind sim.DrainKind, n int64, sessions ...sim.Events) *sim.Result {
	t.Helper()
	s, err := scenarios.Ready(scenarios.DefaultReady)
	require.NoError(t, err)
	res := &sim.Result{Scenario: s, Realizations: int(n), Kind: kind}
	estimate := func(k int64) stats.Estimate {
		i := stats.ClopperPearson(float64(k), float64(n), sim.Level)
		return stats.Estimate{Probability: float64(k) / float64(n), Low: i.Low, High: i.High}
	}
	for i, e := range sessions {
		out := sim.SessionResult{
			Length: s.Sessions[i], Overflow: estimate(e.Overflow), OverPressure: estimate(e.OverPressure),
			OilLost: estimate(e.OilLost), Fails: estimate(e.Fails), Events: e,
		}
		if kind != sim.NoDrain {
			out.DrainChoked = estimate(e.DrainChoked)
		}
		res.Sessions = append(res.Sessions, out)
	}
	return res
}

func TestVerdict(t *testing.T) {
	for name, x := range map[string]struct {
		res  *sim.Result
		want string
	}{
		"does not meet it from the second session on": {
			made(t, sim.Sealed, 5000, sim.Events{Overflow: 1, DrainChoked: 5, Fails: 5}, sim.Events{Overflow: 350, DrainChoked: 600, Fails: 700}),
			"In about 7 of 100 simulated 25 min sessions the can overflows; the drain backs up in about 12 of 100. " +
				"The limit is 1 of 100: this layout does not meet it from 25 min on. Sessions of up to 15 min meet it.",
		},
		"the shortest can't be told, a longer one surely fails": {
			made(t, sim.Sealed, 500, sim.Events{DrainChoked: 4, Fails: 4}, sim.Events{DrainChoked: 6, Fails: 6}, sim.Events{Overflow: 1, DrainChoked: 100, Fails: 100}),
			"In fewer than 1 of 100 simulated 40 min sessions the can overflows; the drain backs up in about 20 of 100. " +
				"The limit is 1 of 100: this layout does not meet it from 40 min on. " +
				"For sessions of 15 min or 25 min, 500 simulated ones can't tell: run more of them.",
		},
		"meets it, can't be told, fails": {
			made(t, sim.Sealed, 5000, sim.Events{}, sim.Events{DrainChoked: 50, Fails: 50}, sim.Events{DrainChoked: 1000, Fails: 1000}),
			"In none of 5,000 simulated 40 min sessions does the can overflow; the drain backs up in about 20 of 100. " +
				"The limit is 1 of 100: this layout does not meet it from 40 min on. " +
				"Sessions of up to 15 min meet it; for sessions of 25 min, 5,000 simulated ones can't tell: run more of them.",
		},
		"fails from the shortest on, and how the longest fares": {
			made(t, sim.Sealed, 5000, sim.Events{DrainChoked: 600, Fails: 600}, sim.Events{DrainChoked: 900, Fails: 900}, sim.Events{Overflow: 1500, DrainChoked: 4000, Fails: 4000}),
			"In none of 5,000 simulated 15 min sessions does the can overflow; the drain backs up in about 12 of 100. " +
				"The limit is 1 of 100: this layout does not meet it. " +
				"In about 30 of 100 simulated 40 min sessions the can overflows; the drain backs up in about 80 of 100.",
		},
		"can't be told from the second on": {
			made(t, sim.Sealed, 5000, sim.Events{}, sim.Events{DrainChoked: 45, Fails: 45}, sim.Events{DrainChoked: 55, Fails: 55}),
			"In none of 5,000 simulated 25 min sessions does the can overflow; the drain backs up in about 9 of 1,000. " +
				"The limit is 10 of 1,000, and from 25 min on, 5,000 simulated sessions can't tell whether this layout meets it: run more of them. " +
				"Sessions of up to 15 min meet it.",
		},
		"can't be told of any length": {
			made(t, sim.Sealed, 100, sim.Events{}, sim.Events{}),
			"In none of 100 simulated 15 min sessions does the can overflow or the drain back up. " +
				"The limit is 1 of 100, and from 15 min on, 100 simulated sessions can't tell whether this layout meets it: run more of them.",
		},
		"meets it": {
			made(t, sim.Sealed, 5000, sim.Events{}, sim.Events{Overflow: 2, DrainChoked: 15, Fails: 15}),
			"In fewer than 1 of 100 simulated 25 min sessions the can overflows; the drain backs up in fewer than 1 of 100. " +
				"The limit is 1 of 100: this layout meets it.",
		},
		"nothing happened at all": {
			made(t, sim.Unsealed, 5000, sim.Events{}, sim.Events{}),
			"In none of 5,000 simulated 25 min sessions does the can overflow or the drain back up. " +
				"The limit is 1 of 100: this layout meets it.",
		},
		"none overflows, some back up": {
			made(t, sim.Sealed, 5000, sim.Events{DrainChoked: 1500, Fails: 1500}),
			"In none of 5,000 simulated 15 min sessions does the can overflow; the drain backs up in about 30 of 100. " +
				"The limit is 1 of 100: this layout does not meet it.",
		},
		"too few realizations to tell": {
			made(t, sim.Sealed, 500, sim.Events{Overflow: 6, DrainChoked: 2, Fails: 6}),
			"In about 12 of 1,000 simulated 15 min sessions the can overflows; the drain backs up in about 4 of 1,000. " +
				"The limit is 10 of 1,000, and 500 simulated sessions can't tell whether this layout meets it: run more of them.",
		},
		"none of too few": {
			made(t, sim.Sealed, 100, sim.Events{}),
			"In none of 100 simulated 15 min sessions does the can overflow or the drain back up. " +
				"The limit is 1 of 100, and 100 simulated sessions can't tell whether this layout meets it: run more of them.",
		},
		"emptied by hand": {
			made(t, sim.NoDrain, 5000, sim.Events{Overflow: 1000, Fails: 1000}),
			"In about 20 of 100 simulated 15 min sessions the can, which has to be emptied by hand, overflows. " +
				"The limit is 1 of 100: this layout does not meet it.",
		},
		"emptied by hand, never over": {
			made(t, sim.NoDrain, 5000, sim.Events{}),
			"In none of 5,000 simulated 15 min sessions does the can, which has to be emptied by hand, overflow. " +
				"The limit is 1 of 100: this layout meets it.",
		},
		"always": {
			made(t, sim.NoDrain, 5000, sim.Events{Overflow: 5000, Fails: 5000}),
			"In all of 5,000 simulated 15 min sessions the can, which has to be emptied by hand, overflows. " +
				"The limit is 1 of 100: this layout does not meet it.",
		},
		"nearly always": {
			made(t, sim.NoDrain, 5000, sim.Events{Overflow: 4990, Fails: 4990}),
			"In nearly all of 100 simulated 15 min sessions the can, which has to be emptied by hand, overflows. " +
				"The limit is 1 of 100: this layout does not meet it.",
		},
		"the can is fine, the crankcase is not": {
			made(t, sim.Sealed, 5000, sim.Events{OverPressure: 2000}),
			"In none of 5,000 simulated 15 min sessions does the can overflow or the drain back up; " +
				"crankcase pressure goes over its limit in about 40 of 100. The limit is 1 of 100: this layout does not meet it.",
		},
		"a chance that isn't spoken of doesn't choose the count": {
			made(t, sim.NoDrain, 5000, sim.Events{Overflow: 370, OverPressure: 26, Fails: 370}),
			"In about 7 of 100 simulated 15 min sessions the can, which has to be emptied by hand, overflows. " +
				"The limit is 1 of 100: this layout does not meet it.",
		},
		"oil is lost": {
			made(t, sim.Sealed, 5000, sim.Events{OilLost: 500}),
			"In none of 5,000 simulated 15 min sessions does the can overflow or the drain back up; " +
				"more oil is lost than allowed in about 10 of 100. The limit is 1 of 100: this layout does not meet it.",
		},
		"close above the limit": {
			made(t, sim.Sealed, 100_000, sim.Events{Overflow: 1200, Fails: 1200}),
			"In about 12 of 1,000 simulated 15 min sessions the can overflows; the drain backs up in none of 100,000. " +
				"The limit is 10 of 1,000: this layout does not meet it.",
		},
	} {
		t.Run(name, func(t *testing.T) { assert.Equal(t, x.want, Verdict(x.res, units.Metric)) })
	}
}

func TestVerdictWithASmallLimit(t *testing.T) {
	res := made(t, sim.Sealed, 20_000, sim.Events{Overflow: 400, Fails: 400})
	s, err := res.Scenario.With(scenarios.Change{Path: "limits.risk", Value: "0.25 %"})
	require.NoError(t, err)
	res.Scenario = s
	assert.Contains(t, Verdict(res, units.Metric), "The limit is 2.5 of 1,000: this layout does not meet it")
}
