package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim/diagnose"
)

// diagnosed is a diagnosis of the ready-made scenario from a pressure alone.
func diagnosed(t *testing.T, o diagnose.Options) Diagnose {
	t.Helper()
	s, err := scenarios.Ready("sealed-drain")
	require.NoError(t, err)
	seen := []scenarios.Observation{{Kind: scenarios.Crankcase, Value: -2500, Error: 100, Load: 1}}
	o.Draws, o.Boosted = 200, true
	for _, c := range diagnose.Checks() {
		if c.Looks() {
			o.Checks = append(o.Checks, c)
		}
	}
	found, err := diagnose.Diagnose(t.Context(), s, seen, o)
	require.NoError(t, err)
	return Diagnose{Found: found, Seen: &scenarios.Seen{SHA256: "abc", Observations: seen}}
}

func TestDiagnoseText(t *testing.T) {
	r := diagnosed(t, diagnose.Options{})
	var b bytes.Buffer
	require.NoError(t, r.Document().WriteText(&b))
	text := b.String()
	for line := range strings.Lines(text) {
		assert.LessOrEqual(t, columns(strings.TrimSuffix(line, "\n")), Width, line)
	}
	flat := strings.Join(strings.Fields(text), " ")
	for _, part := range []string{
		"What was seen fits ", "and doesn't tell them apart.", "crankcase pressure at full throttle -2.5 kPa ± 100 Pa",
		"doesn't fit 3 < 0.1 crankcase pressure: -1", "What to check next", "Next: ", "--looked", "prior, no published source",
	} {
		assert.Contains(t, flat, part)
	}
	assert.NotRegexp(t, `\b0 of 100\b|\b0 %|\b0 \(`, flat, "never a bare 0")
	var m bytes.Buffer
	require.NoError(t, r.Document().WriteMarkdown(&m))
	assert.Contains(t, m.String(), "| fault ")
}

func TestDiagnoseData(t *testing.T) {
	r := diagnosed(t, diagnose.Options{Looked: []diagnose.Look{{Check: "hose", Found: "low point"}}})
	var b bytes.Buffer
	require.NoError(t, r.WriteJSON(&b))
	var got diagnoseJSON
	require.NoError(t, json.Unmarshal(b.Bytes(), &got))
	assert.Equal(t, []any{"sumpward/diagnose", 1, "abc"}, []any{got.Format, got.Version, got.SeenHash})
	total := 0.0
	for i, f := range got.Faults {
		total += float64(f.Chance)
		assert.LessOrEqual(t, f.Low, f.Chance)
		assert.GreaterOrEqual(t, f.High, f.Chance)
		if i > 0 {
			assert.LessOrEqual(t, f.Chance, got.Faults[i-1].Chance)
		}
	}
	assert.InDelta(t, 1, total, 1e-9)
	assert.Equal(t, "low point", got.Faults[0].Fault)
	assert.Equal(t, []diagnoseLookJSON{{"hose", "low point"}}, got.Looked)
	for _, c := range got.Checks {
		assert.NotEqual(t, "hose", c.Check)
		assert.GreaterOrEqual(t, float64(c.After), float64(c.Now)-1e-9)
	}
	b.Reset()
	require.NoError(t, r.WriteCSV(&b))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	assert.Len(t, rows, len(got.Faults)+1)
}

// A fault's name comes from a file: it steers no terminal and no spreadsheet.
func TestDiagnoseUntrusted(t *testing.T) {
	faults := append(diagnose.Faults(), diagnose.Fault{Name: "=evil\x1b[2J", Words: "\x1b]0;x", Mend: "<b>\x1b", BaseRate: 500, Source: "\x1b[0m"})
	r := diagnosed(t, diagnose.Options{Faults: faults})
	var b bytes.Buffer
	require.NoError(t, r.Document().WriteText(&b))
	assert.NotContains(t, b.String(), "\x1b")
	b.Reset()
	require.NoError(t, r.Document().WriteMarkdown(&b))
	assert.NotContains(t, b.String(), "\x1b")
	assert.NotContains(t, b.String(), "<b>")
	b.Reset()
	require.NoError(t, r.WriteCSV(&b))
	assert.Contains(t, b.String(), "'=evil")
}

func TestOfHundred(t *testing.T) {
	for share, want := range map[float64]string{0: "< 0.1", 0.0009: "< 0.1", 0.004: "0.4", 0.0096: "1", 0.42: "42", 0.994: "99", 0.996: "> 99", 1: "> 99"} {
		assert.Equal(t, want, ofHundred(share), "%g", share)
	}
}

// What was seen, in words.
func TestDiagnoseSeenWords(t *testing.T) {
	for want, o := range map[string]scenarios.Observation{
		"drained from the can after 25 min|40 mL|± 10 mL":                     {Kind: scenarios.Drained, Value: 40e-6, Error: 10e-6, Over: []float64{1500}},
		"topped up after 2 sessions of 25 min|0.2 L|± 0.1 L":                  {Kind: scenarios.ToppedUp, Value: 0.2e-3, Error: 0.1e-3, Over: []float64{1500, 1500}},
		"topped up after 15 min and 25 min|0.2 L|± 0.1 L":                     {Kind: scenarios.ToppedUp, Value: 0.2e-3, Error: 0.1e-3, Over: []float64{900, 1500}},
		"crankcase pressure at closed throttle|-50 Pa|± 20 Pa":                {Kind: scenarios.Crankcase, Value: -50, Error: 20},
		"vent hose after 25 min|dry|wrong in 5 of 100":                        {Kind: scenarios.VentHose, Error: 0.05, Over: []float64{1500}},
		"overflowed within 25 min|yes|wrong in 2 of 100":                      {Kind: scenarios.Overflew, Value: 1, Error: 0.02, Over: []float64{1500}},
		"U-tube between crankcase and can at full throttle, oil|62 mm|± 3 mm": {Kind: scenarios.UTube, Value: 0.062, Error: 0.003, Load: 1, Fluid: "oil"},
		"pour of 0.2 L at 40 °C ran away in|110 s|± 5 s":                      {Kind: scenarios.Poured, Value: 110, Error: 5, Volume: 0.2e-3, Temperature: 313.15},
	} {
		w := diagnoseSeen{o, units.Metric}
		assert.Equal(t, want, w.name()+"|"+w.value(o.Value)+"|"+w.error())
	}
	pour := diagnoseSeen{scenarios.Observation{Kind: scenarios.Poured, Value: 110}, units.Metric}
	assert.Equal(t, "never ends in 90 of 100", pour.would(diagnose.Shown{Never: 0.9, P05: math.Inf(1)}))
	assert.Equal(t, "37 s to 58 s expected", pour.would(diagnose.Shown{P05: 37, P95: 58}))
	dry := diagnoseSeen{scenarios.Observation{Kind: scenarios.VentHose}, units.Metric}
	assert.Equal(t, "dry in 30 of 100", dry.would(diagnose.Shown{P50: 0.7}))
}

// The verdict names what fits, and says where nothing listed does.
func TestDiagnoseVerdicts(t *testing.T) {
	fault := func(name string, fit diagnose.Fit, chance float64) diagnose.Standing {
		return diagnose.Standing{Fault: &diagnose.Fault{Name: name, Words: "the " + name}, Fit: fit, Chance: chance}
	}
	none := diagnose.Standing{Fit: diagnose.Fits, Chance: 0.6}
	for want, list := range map[string][]diagnose.Standing{
		"None of the faults listed fits what was seen: look at the readings again, and for something else. Whether it fits a can't be told.": {none, fault("a", diagnose.CantTell, 0.3)},
		"What was seen fits a and b, and doesn't tell them apart. It may be something else that isn't listed, too. The likeliest is a, with a chance of 70 of 100.": {
			fault("a", diagnose.Fits, 0.7), fault("b", diagnose.Fits, 0.2), {Fit: diagnose.Fits, Chance: 0.1}},
	} {
		r := Diagnose{Found: &diagnose.Report{Diagnosis: &diagnose.Diagnosis{Standings: list}, Bank: &diagnose.Bank{}, Next: &diagnose.Next{}}}
		assert.Equal(t, want, r.verdict())
	}
}
