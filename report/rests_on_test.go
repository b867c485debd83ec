package report

import (
	"bytes"
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
	"sumpward/sim/stats"
)

// rested is a dependence by hand: the valve tips it, the fall doesn't, the aeration
// is known from the draws alone.
func rested(t *testing.T) *decide.Dependence {
	t.Helper()
	s := ready(t, "sealed-drain")
	e := func(p, low, high float64) stats.Estimate { return stats.Estimate{Probability: p, Low: low, High: high} }
	return &decide.Dependence{
		Question: decide.Question{Event: sim.OverflowOrChoked, Session: 3, Limit: 0.01}, Scenario: s, Length: 3600,
		Chance: e(0.3, 0.29, 0.31), Low: e(0, 0, 0.0037), High: e(0.85, 0.83, 0.87),
		Inputs: []decide.InputDependence{
			{Input: s.Input("drain.valve_opens_at"), From: 200, To: 400, AtFrom: e(0, 0, 0.0037), AtTo: e(0.85, 0.83, 0.87), Tips: true,
				Tipping: decide.TippingValue{Value: 340, Low: 335, High: 344, KeptBelow: true}},
			{Input: s.Input("drain.fall"), From: 0.03, To: 0.055, AtFrom: e(0.5, 0.48, 0.52), AtTo: e(0.1, 0.08, 0.12)},
			{Input: s.Input("oil.aeration"), From: 0.05, To: 0.35, AtFrom: e(0.28, 0.2, 0.3), AtTo: e(0.32, 0.3, 0.4), Tenths: true},
		},
	}
}

func TestVerdictNamesWhatItDependsOn(t *testing.T) {
	d := dependence{rested(t), units.Metric}
	assert.Equal(t, "Whether a 60 min session meets the limit of 1 % depends on the cracking pressure of the drain's valve: met below 0.34 kPa (0.335 kPa to 0.344 kPa).", d.verdict())
	assert.Equal(t, "Depending on what is not measured, the can overflows or its drain backs up in fewer than 4 of 1,000 to 85 of 100 simulated 60 min sessions (one input at a time, across its own range).", d.band())
	assert.Equal(t, "The one other input does not move that chance by more than 4.0 %.", d.others())
	table := d.table()
	require.Len(t, table.rows, 2)
	assert.Equal(t, []string{"the cracking pressure of the drain's valve", "0.2 kPa\nup to 0.37 %", "0.4 kPa\n85 %", "below 0.34 kPa (0.335 kPa to 0.344 kPa)"}, table.rows[0])

	run := Run{Result: ran(t, ready(t, "sealed-drain", short)), Dependence: d.Dependence}
	assert.Contains(t, run.verdict(), "depends on the cracking pressure")
	assert.Contains(t, run.verdict(), " With all inputs drawn: in ")

	d.Inputs[0].Tips = false
	assert.Equal(t, "Of the 3 inputs that are not measured the 2 strongest were tried; none of them carries that across the limit of 1 % at the ends of its own range.", d.verdict())
	d.Tried, d.Open = 1, 1
	assert.Contains(t, d.verdict(), "; of 1 pairs of the strongest 1 can't be told.")
	d.Open = 0
	assert.Contains(t, d.verdict(), ", nor do two of the strongest together.")
	d.Inputs[1].Unclear = true
	assert.Equal(t, "Whether the drain's fall alone, at an end of its own range, carries that across the limit of 1 % these realizations can't tell.", d.verdict())
	assert.Equal(t, "can't tell", d.table().rows[1][3])
	d.Inputs[1].Unclear = false
	d.Pairs = []decide.PairDependence{{A: d.Inputs[0].Input, B: d.Inputs[1].Input, AtA: 200, AtB: 0.055}}
	assert.Contains(t, d.verdict(), "depends on two inputs together, on none alone: met with the cracking pressure of the drain's valve at 0.2 kPa and the drain's fall at 55 mm.")
	d.Chance = stats.Estimate{Probability: 0.001}
	assert.Contains(t, d.verdict(), "not met with the cracking")
	d.High = d.Low
	assert.Equal(t, "With one input at a time that is not measured moved across its own range, the can overflows or its drain backs up in fewer than 4 of 1,000 simulated 60 min sessions throughout.", d.band())
	d.Inputs, d.Pairs = nil, nil
	assert.Empty(t, d.verdict()+d.band()+d.others())
}

// An edge that isn't sure says so, and oil read on a dipstick is not told that well.
func TestTippingWords(t *testing.T) {
	d := dependence{rested(t), units.Metric}
	in := d.Inputs[0]
	in.Tipping.Low = math.Inf(-1)
	assert.Equal(t, "below 0.34 kPa (up to 0.344 kPa)", d.tipping(in))
	in.Tipping.Low, in.Tipping.High, in.Tipping.KeptBelow = 335, math.Inf(1), false
	assert.Equal(t, "above 0.34 kPa (from 0.335 kPa)", d.tipping(in))
	in.Input, in.Tipping = d.Scenario.Input("carry_over.oil_used"), decide.TippingValue{Value: 1e-4, Low: 1e-4, High: 1e-4, KeptBelow: true}
	assert.Equal(t, "below 0.1 L truly used", d.tipping(in))

	d.Event = sim.OverPressure
	assert.Contains(t, d.verdict(), "Whether a 60 min session meets the limit of 1 % for over-pressure depends on ")
	run := Run{Result: ran(t, ready(t, "sealed-drain", short)), Dependence: &decide.Dependence{Scenario: d.Scenario}, Besides: []*decide.Dependence{d.Dependence}}
	assert.Contains(t, run.verdict(), "for over-pressure depends on ")
	assert.Contains(t, run.verdict(), " With all inputs drawn: in ")
}

func TestRequirementThatDepends(t *testing.T) {
	r, err := ParseRequirement("drain choked < 1 % at 15 min")
	require.NoError(t, err)
	res := ran(t, ready(t, "sealed-drain", short))
	checked := r.Check(res)
	assert.Equal(t, decide.Question{Event: sim.DrainChoked, Session: 0, Limit: 0.01}, checked.Question())
	assert.Equal(t, NotMet, checked.DependsOn(nil).Outcome)
	depends := checked.DependsOn(rested(t))
	assert.Equal(t, Depends, depends.Outcome)
	assert.Contains(t, depends.Text(units.Metric), "drain choked < 1 % at 15 min: depends on what is not measured (as drawn ")
}

func TestDependenceInJSON(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, Run{Result: ran(t, ready(t, "sealed-drain", short)), Dependence: rested(t)}.WriteJSON(&b))
	var out struct {
		RestsOn struct {
			Depends bool
			Inputs  []struct {
				Path    string
				Tipping *struct {
					Value float64
					Kept  string `json:"limit_kept"`
				}
			}
		} `json:"rests_on"`
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &out))
	assert.True(t, out.RestsOn.Depends)
	require.Len(t, out.RestsOn.Inputs, 3)
	assert.Equal(t, 340.0, out.RestsOn.Inputs[0].Tipping.Value)
	assert.Equal(t, "below", out.RestsOn.Inputs[0].Tipping.Kept)
	assert.Nil(t, out.RestsOn.Inputs[1].Tipping)
}
