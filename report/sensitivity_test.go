package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/sim/sensitivity"
)

func madeIndex(v, half float64) sensitivity.Index {
	return sensitivity.Index{Value: v, Low: v - half, High: v + half, Error: half / 2}
}

// madeSensitivity is a split as it might have come out: the fall, two tied inputs of
// which one is measured, a measured one, luck, and one that doesn't count.
func madeSensitivity(t *testing.T) *sensitivity.Result {
	t.Helper()
	s := ready(t, "sealed-drain")
	input := func(path string) *scenarios.Quantity {
		q := s.Input(path)
		require.NotNil(t, q, path)
		return q
	}
	s.Input("oil.aeration").Basis = scenarios.Measured
	r := &sensitivity.Result{Scenario: s, Seed: 7, Sampling: "latin-hypercube", Length: 3600, Points: 2250, Realizations: 15_750, Drivers: []sensitivity.Driver{
		{Inputs: []*scenarios.Quantity{input("drain.fall")}},
		{Inputs: []*scenarios.Quantity{input("engine.blow_by.full_throttle"), input("carry_over.oil_used")}, Tied: true},
		{Inputs: []*scenarios.Quantity{input("oil.aeration")}},
		{Inputs: []*scenarios.Quantity{input("carry_over.mist")}},
		{},
	}}
	parts := []sensitivity.Share{
		{First: madeIndex(0.2, 0.04), Total: madeIndex(0.5, 0.05)},
		{First: madeIndex(0.01, 0.04), Total: madeIndex(0.21, 0.03)},
		{First: madeIndex(0.3, 0.02), Total: madeIndex(0.32, 0.02)},
		{First: madeIndex(0, 0), Total: madeIndex(0, 0)},
		{First: madeIndex(0.04, 0.01), Total: madeIndex(0.08, 0.02)},
	}
	r.Outputs = []sensitivity.OutputResult{
		{Output: sensitivity.OverflowOrChoked, Events: 1500, Sampled: 4500, Indices: sensitivity.Indices{Mean: 1. / 3, Variance: 2. / 9, Parts: parts, Alone: madeIndex(0.55, 0.06)}},
		{Output: sensitivity.Overflow, Events: 3, Sampled: 9000, Telling: sensitivity.TooRare},
		{Output: sensitivity.DrainChoked, Events: 1500, Sampled: 4500, Indices: sensitivity.Indices{Mean: 1. / 3, Variance: 2. / 9, Parts: parts, Alone: madeIndex(0.55, 0.06)}},
		{Output: sensitivity.PeakFill, Events: -1, Sampled: 4500, Telling: sensitivity.NeverMoves},
	}
	return r
}

func sensitivityText(t *testing.T, r Sensitivity) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, r.Document().WriteText(&b))
	return strings.Join(strings.Fields(b.String()), " ")
}

func TestSensitivityInWords(t *testing.T) {
	text := sensitivityText(t, Sensitivity{Result: madeSensitivity(t)})
	for _, want := range []string{
		"What drives overflow or a choked drain within 60 min (in 1,500 of 4,500)",
		"the drain's fall 20 % 50 % 30 .. 55 mm, stated 16 to 24 45 to 55",
		"blow-by at full throttle under 5.0 % 21 % 96 +- 15 L/min, measured; with oil used (go",
		"Taken one by one they account for 55 % of it (49 to 61 %); the rest takes several at once.",
		"luck from lap to lap 8.0 % (6.0 to 10.0)",
		"choked drain as overflow or a choked drain",
		"Overflow (gets past): too rare to tell what drives it: 3 of 9,000.",
		"The highest fill: the same in all 4,500.",
		"Luck from lap to lap has 8.0 % with others: no measuring takes that away, only more in hand.",
		"Gas in the oil in the can has 32 % with others, and is measured already: only a better reading narrows it.",
		"The drain's fall (30 .. 55 mm, stated): known exactly, 20 % of the variance would go, on average. How: tape the fall from the can to the return (10 min): sumpward measure --sheet tape.",
		"it has 21 %, but only together with others: knowing it alone takes nothing off for sure. How to read oil used:",
		"Blow-by at full throttle with oil used: these two go together by a rank correlation, so their index is that of both.",
	} {
		assert.Contains(t, text, want)
	}
	assert.Less(t, strings.Index(text, "The drain's fall (30"), strings.Index(text, "it has 21 %, but only"), "what tells alone first")
	assert.NotContains(t, text, "First overflow: cut")
	assert.NotRegexp(t, `[^0-9.]0 %`, text)
}

func TestSensitivityOfNothingTold(t *testing.T) {
	r := madeSensitivity(t)
	r.Outputs = r.Outputs[1:2]
	text := sensitivityText(t, Sensitivity{Result: r})
	assert.Contains(t, text, "3 of 9,000")
	assert.NotContains(t, text, "pin down")
	r.Outputs[0].Events = 0
	assert.Contains(t, sensitivityText(t, Sensitivity{Result: r}), "none of 9,000")
	r.Outputs[0].Telling, r.Outputs[0].Events = sensitivity.TooCommon, 9000
	assert.Contains(t, sensitivityText(t, Sensitivity{Result: r}), "too common to tell what keeps it away: all of 9,000")
}

// Where only luck and what is measured count, there is nothing to pin down.
func TestSensitivityOfLuckAlone(t *testing.T) {
	r := madeSensitivity(t)
	for i := range r.Outputs {
		if o := &r.Outputs[i]; len(o.Parts) > 0 {
			o.Parts = []sensitivity.Share{o.Parts[3], o.Parts[3], o.Parts[3], o.Parts[3], {First: madeIndex(1, 0.01), Total: madeIndex(1, 0.01)}}
			o.Alone = madeIndex(1, 0.01)
		}
	}
	text := sensitivityText(t, Sensitivity{Result: r})
	assert.Contains(t, text, "Nothing that is not measured drives overflow or a choked drain for sure: there is nothing to pin down for it.")
	assert.Contains(t, text, "the other 5 inputs - none too little to tell")
	assert.Contains(t, text, "Taken one by one they account for all of it, as far as can be told: they add up.")
}

func TestSensitivityByGroup(t *testing.T) {
	r := madeSensitivity(t)
	r.Split = sensitivity.ByBlock
	for i, blocks := range [][]string{{"drain"}, {"engine", "carry_over"}, {"oil"}, {"carry_over"}} {
		r.Drivers[i].Blocks = blocks
	}
	text := sensitivityText(t, Sensitivity{Result: r})
	assert.Contains(t, text, "the engine with oil under 5.0 %", "tied blocks are one")
	assert.Contains(t, text, "2 uncertain inputs, 1")
	assert.Contains(t, text, "Which input of it: run again by input.")
	assert.NotContains(t, text, "rank correlation")
}

// What is measured, and luck, is not pinned down; what tells alone comes before what
// tells only with others, however much that is.
func TestWhatToPinDown(t *testing.T) {
	r := Sensitivity{Result: madeSensitivity(t)}
	list := r.pinDown(&r.Result.Outputs[0])
	require.Len(t, list, 4)
	for i, begins := range []string{"Gas in the oil in the can has", "Luck from lap to lap has", "The drain's fall (", "Blow-by at full throttle with oil used ("} {
		assert.True(t, strings.HasPrefix(list[i], begins), list[i])
	}
	assert.Greater(t, gain(sensitivity.Share{First: madeIndex(0.1, 0.05), Total: madeIndex(0.1, 0.05)}), gain(sensitivity.Share{First: madeIndex(0.01, 0.05), Total: madeIndex(0.9, 0.05)}))
	r.Result.Outputs[0].Parts[0].Total = madeIndex(0.5, 0.3)
	assert.Contains(t, r.pinDown(&r.Result.Outputs[0])[0], "told only roughly")
}

func TestShareTexts(t *testing.T) {
	for want, x := range map[string]sensitivity.Index{
		"23 %": madeIndex(0.2345, 0.01), "2.3 %": madeIndex(0.0234, 0.001), "under 3.0 %": madeIndex(0.01, 0.02), "under 2.0 %": madeIndex(-0.01, 0.03),
		"none": madeIndex(0, 0), "all": madeIndex(1.02, 0.05), "under 0.1 %": madeIndex(0.0003, 0.0001),
	} {
		if want == "under 3.0 %" {
			x.Error = 0.02
		}
		assert.Equal(t, want, shareText(x))
	}
	assert.Equal(t, "under 0.1 %", sharePercent(0.0001))
}

func TestSensitivityForPrograms(t *testing.T) {
	r := Sensitivity{Result: madeSensitivity(t)}
	var b bytes.Buffer
	require.NoError(t, r.WriteJSON(&b))
	var got struct {
		Format  string
		Drivers []struct {
			Driver  string
			Tied    bool
			LapLuck bool `json:"lap_luck"`
		}
		Outputs []struct {
			Output string
			Told   bool
			Why    string `json:"why_not"`
			Events *int
			Shares []struct {
				Driver string
				First  struct{ Value, Low, High float64 } `json:"first_order"`
				Total  struct{ Value float64 }
				Pooled bool
			}
		}
		PinDown []string `json:"what_to_pin_down_first"`
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &got))
	assert.Equal(t, "sumpward/sensitivity", got.Format)
	assert.Equal(t, "engine.blow_by.full_throttle+carry_over.oil_used", got.Drivers[1].Driver)
	assert.True(t, got.Drivers[1].Tied)
	assert.True(t, got.Drivers[4].LapLuck)
	assert.InDelta(t, 0.16, got.Outputs[0].Shares[0].First.Low, 1e-12)
	assert.True(t, got.Outputs[0].Shares[3].Pooled || got.Outputs[0].Shares[3].Total.Value == 0)
	assert.False(t, got.Outputs[1].Told)
	assert.Empty(t, got.Outputs[1].Shares)
	assert.Equal(t, "too rare to tell what drives it: 3 of 9,000", got.Outputs[1].Why)
	assert.Nil(t, got.Outputs[3].Events)
	assert.NotEmpty(t, got.PinDown)

	b.Reset()
	require.NoError(t, r.WriteCSV(&b))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	assert.Len(t, rows, 1+2*5, "two outcomes that can be told, five drivers")
	assert.Equal(t, []string{"drain_choked", "lap_luck", "", "0.04"}, rows[10][:4])
}
