package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim/learn"
	"sumpward/sim/stats"
)

// learned is a report as if so much had been learned of the drain's fall and its valve.
func learned(t *testing.T, change func(*learn.Learned)) Learn {
	t.Helper()
	s := ready(t, "sealed-drain")
	fall, valve, port := s.Input("drain.fall"), s.Input("drain.valve_opens_at"), s.Input("drain.port_pressure")
	tube := &scenarios.Observation{Kind: scenarios.UTube, Value: 0.062, Error: 0.003, Load: 1, Fluid: "oil"}
	wet := &scenarios.Observation{Kind: scenarios.VentHose, Value: 1, Error: 0.05, Over: []float64{1500}}
	chance := func(p, low, high float64, events int64) learn.Chance {
		return learn.Chance{Estimate: stats.Estimate{Probability: p, Low: low, High: high}, Events: events, Draws: 2000}
	}
	draws := &learn.Draws{Weight: make([]float64, 2000)}
	l := &learn.Learned{
		Scenario: s, Seen: &scenarios.Seen{Title: "seen", SHA256: "ab", Observations: []scenarios.Observation{*tube, *wet}}, Seed: 4, Own: 700,
		Posterior: &learn.Posterior{Draws: draws, Levels: make([]learn.Level, 5), LogEvidence: -3.5, LogEvidenceError: 0.1},
		Inputs: []learn.Input{
			{Quantity: fall, Before: learn.Spread{P05: 0.0312, P50: 0.0425, P95: 0.0537}, After: learn.Spread{P05: 0.040, P50: 0.0459, P95: 0.052}, Mean: 0.046, Error: 1e-4, Moved: 0.4, Told: true},
			{Quantity: valve, Before: learn.Spread{P05: 210, P50: 300, P95: 390}, After: learn.Spread{P05: 212, P50: 304, P95: 388}, Mean: 301, Error: 2, Moved: 0.03},
		},
		Pairs:    []learn.Pair{{First: fall, Second: valve, Before: 0.01, After: 0.52}, {First: port, Second: valve, Before: 0, After: -0.4}},
		Readings: []learn.Reading{{Observation: tube, Before: learn.Spread{P05: 0.03, P50: 0.06, P95: 0.11}, After: learn.Spread{P05: 0.058, P50: 0.0625, P95: 0.067}, Predicted: 0.0625, Residual: -0.2, Chance: math.NaN(), Rare: 0.6}, {Observation: wet, Before: learn.Spread{P50: 0.09, P95: 0.4}, After: learn.Spread{P50: 0.3, P95: 0.6}, Residual: math.NaN(), Chance: 0.3, Rare: 0.1}},
		Sessions: []learn.Session{{Length: 1500, Drains: true,
			Before: [3]learn.Chance{chance(0.04, 0.032, 0.05, 80), chance(0.3, 0.28, 0.32, 600), chance(0.3, 0.28, 0.32, 600)},
			After:  [3]learn.Chance{chance(0, 0, 0.0055, 0), chance(0.1, 0.08, 0.12, 200), chance(0.1, 0.08, 0.12, 200)}}},
	}
	if change != nil {
		change(l)
	}
	return Learn{Learned: l}
}

func TestWhatWasLearned(t *testing.T) {
	text := flat(plainText(t, learned(t, nil)))
	for _, want := range []string{
		"What was seen fits the inputs. It tells most of the drain's fall. A choked drain within 25 min: 30 % before, 10 % after.",
		"25 min 4.0 % none of 2,000 30 % 10 %",
		"up to 0.5 %",
		"the drain's fall 31.2 .. 42.5 .. 53.7 mm 40 .. 45.9 .. 52 mm 47 %",
		"tells nothing, or too little to make out, of: the cracking pressure of the drain's valve.",
		"the drain's fall and the cracking pressure of the drain's valve: where one is high the other is high too (rank correlation 0.52, before 0.01)",
		"pressure at the return port and the cracking pressure of the drain's valve: where one is high the other is low (rank correlation -0.40, before 0.00)",
		"2,000 draws, which took it in by 5 steps, seed 4; they know every input's mean as well as 700 independent ones.",
		"wet in", "30 of 100",
	} {
		assert.Contains(t, text, want)
	}
	assert.NotRegexp(t, `[^0-9.]0 %`, text)
	us := learned(t, nil)
	us.Units = units.US
	assert.NotRegexp(t, `[0-9] (k?Pa|mm|m?L)\b`, plainText(t, us))
}

func TestWhatDoesNotFitIsToldFirst(t *testing.T) {
	r := learned(t, func(l *learn.Learned) {
		l.Readings[0].Residual, l.Warnings = 4.2, []string{"observation 1 does not fit"}
	})
	text := flat(plainText(t, r))
	assert.Contains(t, text, "What was seen does not fit together under these inputs: U-tube. Read that again")
	assert.Contains(t, text, "Beware: observation 1 does not fit.")
	assert.Regexp(t, ` 4\.2 no `, text)
	r = learned(t, func(l *learn.Learned) { l.Readings[0].Residual = 2.4 })
	assert.Contains(t, flat(plainText(t, r)), "What was seen fits, but for U-tube, which is off further")
	r = learned(t, func(l *learn.Learned) { l.Readings[0].Rare = 0.004 })
	assert.Contains(t, flat(plainText(t, r)), "but few cars would show as much: U-tube (4 of 1,000). Look whether it was read right")
	r = learned(t, func(l *learn.Learned) { l.Inputs[0].Told = false })
	text = flat(plainText(t, r))
	assert.Contains(t, text, "It tells nothing of any input that could be made out from chance.")
	assert.NotContains(t, text, "narrower")
}

// A can without a drain can't back up, and the words for it are left out.
func TestLearnedWithoutADrain(t *testing.T) {
	r := learned(t, func(l *learn.Learned) {
		l.Sessions[0].Drains = false
		l.Sessions[0].Before[learn.DrainChoked], l.Sessions[0].After[learn.DrainChoked] = learn.Chance{}, learn.Chance{}
	})
	text := flat(plainText(t, r))
	assert.Contains(t, text, "Overflow within 25 min: 4.0 % before, none of 2,000 after.")
	assert.NotContains(t, text, "choked")
	var b bytes.Buffer
	require.NoError(t, r.WriteJSON(&b))
	assert.Contains(t, b.String(), `"drain_choked": null`)
}

func TestUnfit(t *testing.T) {
	tube := &scenarios.Observation{Kind: scenarios.UTube, Value: 0.24, Error: 0.003, Load: 1, Fluid: "oil"}
	text := Unfit(&learn.UnfitError{Index: 2, Observation: tube, Low: 0.02, High: 0.095, Off: 31.4}, units.Metric)
	assert.Contains(t, text, "U-tube between crankcase and can at full throttle, oil: 240 mm (± 3 mm); under these inputs 20 mm .. 95 mm; the nearest of all draws is 31 errors off")
	assert.Contains(t, text, "sumpward diagnose")
	assert.Contains(t, Unfit(&learn.UnfitError{Observation: tube, Low: 0.02, High: 0.095, Off: 8, Together: true}, units.Metric), "but not together with what else was seen")
	yes := &scenarios.Observation{Kind: scenarios.Overflew, Value: 1, Over: []float64{600}}
	assert.Contains(t, Unfit(&learn.UnfitError{Observation: yes, Off: math.Inf(1)}, units.Metric), "overflowed within 10 min: yes")
}

func TestLearnedForPrograms(t *testing.T) {
	var b bytes.Buffer
	r := learned(t, nil)
	require.NoError(t, r.WriteJSON(&b))
	var out map[string]any
	require.NoError(t, json.Unmarshal(b.Bytes(), &out))
	assert.Equal(t, "sumpward/learn", out["format"])
	assert.InDelta(t, 700, out["independent_draws"], 0)
	in := out["inputs"].([]any)[0].(map[string]any)
	assert.Equal(t, "drain.fall", in["path"])
	assert.InDelta(t, 1-0.012/0.0225, in["narrower"], 1e-9)
	reading := out["observations"].([]any)[1].(map[string]any)
	assert.Nil(t, reading["residual"])
	assert.InDelta(t, 0.3, reading["chance_after"], 1e-12)
	b.Reset()
	require.NoError(t, r.WriteCSV(&b))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 3)
	assert.Equal(t, []string{"drain.fall", "true", "0.0312", "0.0425", "0.0537", "0.04", "0.0459", "0.052"}, rows[1][:8])
	require.NoError(t, r.Document().WriteMarkdown(&b))
}

// Three values stand in one unit, that of the largest.
func TestSpreadsStandInOneUnit(t *testing.T) {
	for want, s := range map[string]learn.Spread{
		"0.0903 .. 0.251 .. 0.413 L": {P05: 90.3e-6, P50: 251e-6, P95: 413e-6},
	} {
		assert.Equal(t, want, spreadIn(units.Volume, s, units.Metric))
	}
	assert.Equal(t, "8.95 .. 17 L/min per L", sharingUnit("8.95 L/min per L", "17 L/min per L"))
	assert.Equal(t, "90 mL .. 1 L", sharingUnit("90 mL", "1 L"))
	assert.Equal(t, "110 .. 118 .. 126 °C", spreadIn(units.Temperature, learn.Spread{P05: 383.15, P50: 391.15, P95: 399.15}, units.Metric))
	assert.Equal(t, "-90 .. 0.5 .. 90 Pa", spreadIn(units.Pressure, learn.Spread{P05: -90, P50: 0.5, P95: 90}, units.Metric))
}
