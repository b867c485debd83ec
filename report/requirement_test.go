package report

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios/units"
	"sumpward/sim"
)

func TestRequirementIsJudgedByTheInterval(t *testing.T) {
	// Of 5,000: 25 min 50 overflow: 0.74 .. 1.32 %, 500 choke: 9.2 .. 10.9 %; 15 min none: up to 0.07 %.
	res := made(t, sim.Sealed, 5000, sim.Events{}, sim.Events{Overflow: 50, DrainChoked: 500, Fails: 500})
	for text, want := range map[string]Outcome{
		"overflow < 1 % at 25 min":        Undecided,
		"overflow<1%":                     Undecided,
		"overflow < 2 % at 25 min":        Met,
		"Overflow <= 0.5 % at 25 min":     NotMet,
		"overflow < 0.1 % at 15 min":      Met,
		"overflow < 0.01 % at 900 s":      Undecided,
		"drain choked ≤ 11 %":             Met,
		"drain_choked < 10 % at 25 min":   Undecided,
		"drain choked < 0.05 at 25 min":   NotMet,
		"drain choked < 9 % at 15 min":    Met,
		"over-pressure < 0.1 %":           Met,
		"over pressure < 0.1 % at 25 min": Met,
		"oil lost < 0.1 % at 25 min":      Met,
	} {
		r, err := ParseRequirement(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, r.Check(res).Outcome, text)
		assert.NoError(t, r.SessionLengths(res.Scenario.Sessions), text)
	}
}

func TestRequirementAtTheEdge(t *testing.T) {
	res := made(t, sim.Sealed, 5000, sim.Events{Overflow: 50, Fails: 50})
	e := res.Sessions[0].Overflow
	for _, x := range []struct {
		limit   float64
		orEqual bool
		want    Outcome
	}{
		{e.High, false, Undecided}, {e.High, true, Met}, {e.Low, false, NotMet}, {e.Low, true, Undecided},
	} {
		assert.Equal(t, x.want, Requirement{limit: x.limit, orEqual: x.orEqual}.Check(res).Outcome, "%+v", x)
	}
}

func TestRequirementThatCannotFailIsMet(t *testing.T) {
	res := made(t, sim.NoDrain, 100, sim.Events{})
	r, err := ParseRequirement("drain choked < 0.1 %")
	require.NoError(t, err)
	got := r.Check(res)
	assert.Equal(t, Met, got.Outcome)
	assert.Equal(t, "drain choked < 0.1 %: met (cannot occur)", got.Text(units.Metric))
}

func TestRequirementErrors(t *testing.T) {
	for text, want := range map[string]string{
		"overflow":                    "can't be read",
		"":                            "can't be read",
		"overflow > 1 %":              "can't be read",
		"flow < 1 %":                  `nothing called "flow" can be required: use overflow, drain choked, over-pressure, oil lost`,
		"overflow < 5":                "a bare fraction is at most 1",
		"overflow < 0 %":              "a chance lies above 0",
		"overflow < 120 %":            "a chance lies above 0",
		"overflow < 1 kPa":            "kPa",
		"overflow < 1 % at 25":        "unit",
		"overflow < 1 % at noon":      "noon",
		"overflow < 1 % at 25 kg/m3 ": "kg/m3",
	} {
		_, err := ParseRequirement(text)
		assert.ErrorContains(t, err, want, text)
	}
	r, err := ParseRequirement("overflow < 1 % at 33 min")
	require.NoError(t, err)
	assert.EqualError(t, r.SessionLengths([]float64{900, 1500}),
		`requirement "overflow < 1 % at 33 min": there is no such session length (sessions: 15 min, 25 min): put it into --sessions`)
}
