package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
	"sumpward/sim/stats"
)

// measured is a settlement as if it had been found, of a valve that tips alone.
func measured(t *testing.T, change func(*decide.Settlement, *decide.Settling)) Measure {
	t.Helper()
	s, err := scenarios.Ready("sealed-drain")
	require.NoError(t, err)
	valve, port := s.Input("drain.valve_opens_at"), s.Input("drain.port_pressure")
	require.NotNil(t, valve)
	in := decide.InputDependence{
		Input: valve, From: 200, To: 400, AtFrom: stats.Estimate{Probability: 0.001, High: 0.004}, AtTo: stats.Estimate{Probability: 0.6, Low: 0.57, High: 0.63},
		Tips: true, Tipping: decide.TippingValue{Value: 300, Low: 290, High: 310, KeptBelow: true},
	}
	d := &decide.Dependence{
		Question: decide.Question{Event: sim.OverflowOrChoked, Limit: 0.01}, Scenario: s, Length: 900,
		Chance: stats.Estimate{Probability: 0.3, Low: 0.29, High: 0.31}, Inputs: []decide.InputDependence{in, {Input: port}},
	}
	test, err := decide.TestNamed("valve")
	require.NoError(t, err)
	x := decide.Settling{Test: test, Reading: test.Readings[0], Inputs: []*scenarios.Quantity{valve}, From: 200, To: 400, Tips: true, Tipping: in.Tipping,
		Decides: 0.7, Now: 0.6, Left: 0.05, AtWorst: 0.09}
	st := &decide.Settlement{Dependence: d}
	if change != nil {
		change(st, &x)
	}
	st.Tests = []decide.Settling{x}
	return Measure{Settlement: st, Seed: 1, Rested: 20000}
}

func plainText(t *testing.T, r Report) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, r.Document().WriteText(&b))
	for line := range strings.Lines(b.String()) {
		assert.LessOrEqual(t, len([]rune(strings.TrimRight(line, "\n"))), Width, line)
	}
	return b.String()
}

// flat undoes the breaks of lines.
func flat(text string) string { return strings.Join(strings.Fields(text), " ") }

func TestWhatToMeasure(t *testing.T) {
	text := flat(plainText(t, measured(t, nil)))
	assert.Contains(t, text, "As things stand the can overflows or its drain backs up in 30 of 100 simulated 15 min sessions; the limit is 1 %.")
	assert.Contains(t, text, "valve the cracking pressure of the 20 70 of 100 60 of 100 5 of 100")
	assert.Contains(t, text, "* valve: known now as 0.2 kPa to 0.4 kPa; the limit is met below 0.3 kPa (0.29 kPa to 0.31 kPa). It reads to ± 20 Pa.")
	assert.Contains(t, text, "First: a U-tube on the drain valve (on the bench, valve off the car, 20 min). Its sheet to fill in: sumpward measure --sheet valve.")
	assert.Contains(t, text, "the inputs that were not read may turn the verdict still.")
	us := measured(t, nil)
	us.Units = units.US
	assert.NotRegexp(t, `[0-9] (k?Pa|mm|L)\b`, plainText(t, us))
}

func TestAnEdgeThatIsNotSure(t *testing.T) {
	r := measured(t, func(_ *decide.Settlement, x *decide.Settling) { x.Tipping.High = math.Inf(1) })
	assert.Contains(t, flat(plainText(t, r)), "the limit is met below 0.3 kPa; above it no value surely does not meet it. It reads")
}

func TestOfTwoTheOtherMayTurnIt(t *testing.T) {
	breaks := measured(t, func(st *decide.Settlement, x *decide.Settling) {
		x.Against = []*scenarios.Quantity{st.Inputs[1].Input}
	})
	assert.Contains(t, flat(plainText(t, breaks)), "above 0.3 kPa (0.29 kPa to 0.31 kPa) the limit is not met even with pressure at the return port at its best, below it rests on that too")
	keeps := measured(t, func(st *decide.Settlement, x *decide.Settling) {
		st.Chance = stats.Estimate{Probability: 0, High: 0.001}
		x.Against = []*scenarios.Quantity{st.Inputs[1].Input}
	})
	assert.Contains(t, flat(plainText(t, keeps)), "below 0.3 kPa (0.29 kPa to 0.31 kPa) the limit is met even with pressure at the return port at its worst, above it rests on that too")
}

func TestNothingToMeasure(t *testing.T) {
	r := measured(t, func(st *decide.Settlement, x *decide.Settling) {
		st.Inputs[0].Tips, x.Tips, x.Decides = false, false, 0
		st.Strongest = &st.Inputs[0]
	})
	text := flat(plainText(t, r))
	assert.Contains(t, text, "What moves the chance most is the cracking pressure of the drain's valve, by 60 of 100 across its range: the first to measure.")
	assert.Contains(t, text, "no value there turns the verdict by itself")
	assert.Contains(t, text, "valve the cracking pressure of the 20 - 60 of 100 5 of 100")
	r.Settlement.Strongest, r.Settlement.Tests = nil, nil
	text = flat(plainText(t, r))
	assert.Contains(t, text, "nothing needs measuring for a session of 15 min.")
	assert.NotContains(t, text, "First:")
}

// Where every number is exact none was measured by that.
func TestNothingIsUncertain(t *testing.T) {
	s := ready(t, "sealed-can")
	require.False(t, uncertainMeasured(s))
	r := measured(t, func(st *decide.Settlement, _ *decide.Settling) { st.Inputs, st.Strongest = nil, nil })
	r.Settlement.Tests, r.Settlement.Scenario = nil, s
	text := flat(plainText(t, r))
	n := basisCount(s)
	require.Positive(t, n[scenarios.Assumed])
	assert.Contains(t, text, fmt.Sprintf("No input is uncertain; %d stated and %d assumed, not measured: write", n[scenarios.Stated], n[scenarios.Assumed]))
	assert.NotContains(t, text, "was measured")
	var err error
	r.Settlement.Scenario, err = s.With(scenarios.Change{Path: "separator.usable_volume", Value: "{value: 0.45 +- 0.01 L, basis: measured}"})
	require.NoError(t, err)
	assert.Contains(t, flat(plainText(t, r)), "Every input that is uncertain was measured")
}

func TestWhatNoTestReads(t *testing.T) {
	r := measured(t, func(st *decide.Settlement, _ *decide.Settling) {
		st.Without = []decide.WithoutTest{{Input: st.Scenario.Input("carry_over.mist"), Assume: decide.AssumeFor("carry_over.mist")}}
	})
	assert.Contains(t, flat(plainText(t, r)), "oil mist in the gas No shop test reads it.")
}

func TestPointsNeverABareZero(t *testing.T) {
	for share, want := range map[float64]string{
		0: "under 1 of 1,000", 0.0004: "under 1 of 1,000", 0.004: "4 of 1,000", 0.03: "3 of 100", 0.066: "6.6 of 100", 0.45: "45 of 100", -0.45: "45 of 100", 1: "over 99 of 100",
	} {
		assert.Equal(t, want, points(share), share)
	}
}

func TestMeasureForPrograms(t *testing.T) {
	var b bytes.Buffer
	r := measured(t, nil)
	require.NoError(t, r.WriteJSON(&b))
	var out map[string]any
	require.NoError(t, json.Unmarshal(b.Bytes(), &out))
	assert.Equal(t, "sumpward/measure", out["format"])
	test := out["tests"].([]any)[0].(map[string]any)
	assert.Equal(t, "valve", test["test"])
	assert.Equal(t, "drain.valve_opens_at", test["reads"])
	assert.InDelta(t, 10, test["standard_error"], 1e-9)
	assert.Nil(t, test["geometric_standard_error"])
	assert.Equal(t, "below", test["tipping"].(map[string]any)["limit_kept"])
	assert.InDelta(t, 0.7, test["decides"], 1e-12)
	b.Reset()
	require.NoError(t, r.WriteCSV(&b))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 2)
	assert.Equal(t, []string{"valve", "drain.valve_opens_at", "drain.valve_opens_at", "20", "10", "", "200", "400", "", "true", "300", "290", "310", "below", "0.7", "0.6", "0.05", "0.09"}, rows[1])
}

func TestErrorsOfReadings(t *testing.T) {
	for want, x := range map[string]struct {
		r decide.Reading
		u units.System
	}{
		"± 2 mm":        {decide.Reading{Dimension: units.Length, Error: decide.ReadingError{SD: 1e-3}}, units.Metric},
		"± 20 Pa":       {decide.Reading{Dimension: units.Pressure, Error: decide.ReadingError{SD: 10}}, units.Metric},
		"± 0.2 kPa":     {decide.Reading{Dimension: units.Pressure, Error: decide.ReadingError{SD: 100}}, units.Metric},
		"± 5.9 K":       {decide.Reading{Dimension: units.Temperature, Error: decide.ReadingError{SD: 3}}, units.Metric},
		"± 11 °F":       {decide.Reading{Dimension: units.Temperature, Error: decide.ReadingError{SD: 3}}, units.US},
		"± 5.9 of 100":  {decide.Reading{Dimension: units.Fraction, Error: decide.ReadingError{SD: 0.03}}, units.Metric},
		"± 10 %":        {decide.Reading{Dimension: units.VolumeFlow, Error: decide.ReadingError{GSD: 1.05}}, units.Metric},
		"± 0.079 inH2O": {decide.Reading{Dimension: units.Pressure, Error: decide.ReadingError{SD: 10}}, units.US},
	} {
		assert.Equal(t, want, readingError(x.r, x.u))
	}
}

// Every sheet of every layout: safety before the steps, room to write, no line wider
// than a terminal, and lines for the scenario that are YAML with blanks.
func TestSheets(t *testing.T) {
	for _, name := range scenarios.ReadyNames() {
		s, err := scenarios.Ready(name)
		require.NoError(t, err)
		for _, test := range decide.Tests() {
			text := plainText(t, MeasureSheets{Scenario: s, Tests: []decide.Test{test}})
			assert.True(t, strings.HasPrefix(flat(text), flat(test.Title)))
			safety, steps := strings.Index(text, "Safety first\n"), strings.Index(text, "\n1. ")
			assert.Positive(t, safety, test.Name)
			assert.Greater(t, steps, safety, test.Name)
			assert.Contains(t, text, blank)
			assert.NotRegexp(t, `[^_]___[^_]`, text)
		}
	}
}

func TestASheetSaysWhatToWriteWhere(t *testing.T) {
	s, err := scenarios.Ready("sealed-drain")
	require.NoError(t, err)
	sheet := func(name string) MeasureSheets {
		x, err := decide.TestNamed(name)
		require.NoError(t, err)
		return MeasureSheets{Scenario: s, Tests: []decide.Test{x, x}}
	}
	text := plainText(t, sheet("hose"))
	assert.Contains(t, text, `
    breathers:
      - name: block   # its line
        loss_coefficient: {value: ________ x/ 1.1, basis: measured}
      - name: covers   # its line
        loss_coefficient: {value: ________ x/ 1.1, basis: measured}
    separator:
      outlet:
        loss_coefficient: {value: ________ x/ 1.1, basis: measured}
`)
	assert.Equal(t, 1, strings.Count(text, strings.Repeat("=", Width)))
	var b bytes.Buffer
	require.NoError(t, sheet("tape").Document().WriteMarkdown(&b))
	assert.Contains(t, b.String(), "\n    drain:\n      fall: {value: ________ +- 1 mm, basis: measured}\n")
	assert.Contains(t, b.String(), "\n1. Set the car level")
	assert.Contains(t, b.String(), "\n---\n")
	b.Reset()
	require.NoError(t, sheet("tape").WriteJSON(&b))
	var out struct {
		Format string
		Sheets []map[string]any
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &out))
	assert.Equal(t, "sumpward/measure-sheets", out.Format)
	assert.Equal(t, []any{"drain.fall: {value: ___ +- 1 mm, basis: measured}", "drain.dip: {value: ___ +- 3 mm, basis: measured}"}, out.Sheets[0]["write"])
	b.Reset()
	require.NoError(t, sheet("tape").WriteCSV(&b))
	assert.Contains(t, b.String(), "tape,safety,")
}

// A title that a scenario brings along steers no terminal and no page.
func TestSheetsOfAnUntrustedScenario(t *testing.T) {
	s, err := scenarios.Ready("sealed-drain")
	require.NoError(t, err)
	s, err = s.With(scenarios.Change{Path: "title", Value: "\x1b[31m<b>red</b>"})
	require.NoError(t, err)
	r := MeasureSheets{Scenario: s, Tests: decide.TestsFor(s)}
	assert.NotContains(t, plainText(t, r), "\x1b")
	var b bytes.Buffer
	require.NoError(t, r.Document().WriteMarkdown(&b))
	assert.NotContains(t, b.String(), "<b>")
}

func TestCommandOfASheet(t *testing.T) {
	r := measured(t, nil)
	r.Settlement.Scenario = &scenarios.Scenario{File: "my car.yaml", VariantName: "larger can"}
	assert.Equal(t, `sumpward measure "my car.yaml" --variant "larger can" --sheet tape`, r.command("tape"))
	r.Settlement.Scenario = &scenarios.Scenario{Example: "sealed-can"}
	assert.Equal(t, "sumpward measure sealed-can --sheet weigh", r.command("weigh"))
}
