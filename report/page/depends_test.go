package page

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/decide"
	"sumpward/sim/stats"
)

func estimate(low, at, high float64) stats.Estimate {
	return stats.Estimate{Probability: at, Low: low, High: high}
}

func TestTippingValueHasItsInterval(t *testing.T) {
	v := answering(t, "sealed-drain", sessionOf(60, sim.Events{DrainChoked: 478, Fails: 478}))
	in := decide.InputDependence{Input: v.scenario().Input("drain.fall"), Tips: true}
	for _, c := range []struct {
		tips decide.TippingValue
		want string
	}{
		{decide.TippingValue{Value: 0.05, Low: 0.048, High: 0.053}, "above 50 mm (48 mm to 53 mm)"},
		{decide.TippingValue{Value: 0.05, Low: 0.048, High: 0.053, KeptBelow: true}, "below 50 mm (48 mm to 53 mm)"},
		{decide.TippingValue{Value: 0.05, Low: 0.05, High: 0.05}, "above 50 mm"},
		{decide.TippingValue{Value: 0.05, Low: 0.048, High: math.Inf(1)}, "above 50 mm (from 48 mm)"},
		{decide.TippingValue{Value: 0.05, Low: math.Inf(-1), High: 0.053}, "above 50 mm (up to 53 mm)"},
	} {
		in.Tipping = c.tips
		assert.Equal(t, c.want, v.tipping(in))
	}
}

// An input whose chances at the two ends may be the same moves nothing that could be
// told.
func TestOnlyInputsThatMoveTheChanceAreListed(t *testing.T) {
	v := answering(t, "sealed-drain", sessionOf(60, sim.Events{DrainChoked: 478, Fails: 478}))
	s := v.scenario()
	up := decide.InputDependence{Input: s.Input("drain.valve_opens_at"), AtFrom: estimate(0.08, 0.1, 0.12), AtTo: estimate(0.83, 0.85, 0.87)}
	down := decide.InputDependence{Input: s.Input("drain.fall"), AtFrom: estimate(0.8, 0.82, 0.84), AtTo: estimate(0.12, 0.14, 0.16)}
	still := decide.InputDependence{Input: s.Input("oil.aeration"), AtFrom: estimate(0.46, 0.48, 0.5), AtTo: estimate(0.49, 0.51, 0.53)}
	v.page.Dependence = &decide.Dependence{Question: decide.Question{Limit: 0.01}, Scenario: s, Length: 3600, Inputs: []decide.InputDependence{up, still, down}}
	rows := v.dependences()
	require.Len(t, rows, 2)
	assert.Equal(t, "The cracking pressure of the drain’s valve", rows[0].Input)
	assert.Equal(t, "The drain’s fall", rows[1].Input)
	near := decide.InputDependence{Input: s.Input("carry_over.oil_used"), AtFrom: estimate(0.008, 0.01, 0.012), AtTo: estimate(0.01, 0.012, 0.014), Unclear: true}
	v.page.Dependence.Inputs = append(v.page.Dependence.Inputs, near)
	rows = v.dependences()
	require.Len(t, rows, 3)
	assert.Equal(t, "can’t tell", rows[2].Keeps)

	p := sealedDrain(t)
	p.Dependence = v.page.Dependence
	assert.Contains(t, htmlOf(t, p), "What moves the answer most")
	p.Dependence = &decide.Dependence{Question: v.page.Dependence.Question, Scenario: s, Length: 3600, Inputs: []decide.InputDependence{still}}
	html := htmlOf(t, p)
	assert.NotContains(t, html, "What moves the answer most")
	assert.Contains(t, html, "none that was tried at the ends of its range moves the chance in 60 min for sure")
}

// The headline says that it depends; the table of sessions says no more than how it
// stands as drawn.
func TestSessionsStandAsDrawnWhereTheAnswerDepends(t *testing.T) {
	v := answering(t, "sealed-drain", sessionOf(15, sim.Events{}), sessionOf(60, sim.Events{DrainChoked: 478, Fails: 478}))
	stand := func() (list []string) {
		for _, r := range v.sessionRows() {
			list = append(list, r.Words)
		}
		return list
	}
	assert.Equal(t, []string{"meets the limit", "does not meet the limit"}, stand())
	v.page.Dependence = &decide.Dependence{Question: decide.Question{Session: 1, Limit: 0.01}, Scenario: v.scenario(), Length: 3600,
		Inputs: []decide.InputDependence{{Input: v.scenario().Input("drain.fall"), Tips: true, Tipping: decide.TippingValue{Value: 0.05}}}}
	assert.Equal(t, []string{"as drawn, met", "as drawn, not met"}, stand())

	p := sealedDrain(t)
	p.Dependence = v.page.Dependence
	text := textOf(htmlOf(t, p))
	assert.Contains(t, text, "✗ as drawn, not met")
}

func TestDrainIsLookedAtWhereThereIsOne(t *testing.T) {
	look := func(name string) string {
		return answering(t, name, sessionOf(60, sim.Events{})).logbook().Look[0]
	}
	assert.Equal(t, "Before the first start: every hose joint, dry and tight.", look("sealed-can"))
	assert.Equal(t, "Before the first start: every hose joint and the return, dry and tight; the drain hose falls all the way, without a low point.", look("sealed-drain"))
	v := answering(t, "sealed-drain", sessionOf(60, sim.Events{}))
	v.scenario().Drain.Seal = scenarios.TrapSeal
	assert.Contains(t, v.logbook().Look[0], "falls all the way but for its trap, without another low point.")
}
