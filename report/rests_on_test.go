package report

import (
	"bytes"
	"encoding/json"
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
	assert.Equal(t, "Whether a 60 min session keeps the limit of 1 % depends on the cracking pressure of the drain's valve: it does below 0.34 kPa (0.335 kPa to 0.344 kPa).", d.verdict())
	assert.Equal(t, "Depending on what is not measured, the can overflows or its drain backs up in fewer than 4 of 1,000 to 85 of 100 simulated 60 min sessions (one input at a time, across its own range).", d.band())
	assert.Equal(t, "The one left moves it by 4 of 100 at the most, between the lowest and the highest tenth of the draws.", d.others())
	table := d.table()
	require.Len(t, table.rows, 2)
	assert.Equal(t, []string{"the cracking pressure of the drain's valve", "0.2 kPa\nup to 0.37 %", "0.4 kPa\n85 %", "below 0.34 kPa (0.335 kPa to 0.344 kPa)"}, table.rows[0])

	run := Run{Result: ran(t, ready(t, "sealed-drain", short)), Dependence: d.Dependence}
	assert.Contains(t, run.verdict(), "depends on the cracking pressure")
	assert.Contains(t, run.verdict(), " With all inputs drawn: in ")

	d.Inputs[0].Tips = false
	assert.Contains(t, d.verdict(), "No input that is not measured changes that")
	d.Pairs = []decide.PairDependence{{A: d.Inputs[0].Input, B: d.Inputs[1].Input, AtA: 200, AtB: 0.055}}
	assert.Contains(t, d.verdict(), "depends on two inputs together, on none alone: it does with the cracking pressure of the drain's valve at 0.2 kPa and the drain's fall at 55 mm.")
	d.Chance = stats.Estimate{Probability: 0.001}
	assert.Contains(t, d.verdict(), "it doesn't with the cracking")
	d.High = d.Low
	assert.Contains(t, d.band(), "Whatever is not measured, ")
	d.Inputs, d.Pairs = nil, nil
	assert.Empty(t, d.verdict()+d.band()+d.others())
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
