package report

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// madeVariation is a variation of the fall as it might have come out: of 5,000
// realizations so many events at each point, nil where there can be no layout.
func madeVariation(t *testing.T, events ...*sim.Events) *decide.Variation {
	t.Helper()
	v := &decide.Variation{Scenario: ready(t, "sealed-drain"), Sampling: "latin-hypercube", Seed: 7, Axes: []decide.Axis{{Path: "drain.fall", Dimension: units.Length}}}
	for i, e := range events {
		fall := 0.03 + 0.02*float64(i)
		p := decide.VariedPoint{At: []float64{fall}}
		if e == nil {
			p.Problem = "too low"
		} else {
			p.Result = made(t, sim.Sealed, 5000, *e)
			at, err := decide.Changed(v.Scenario, "drain.fall", fall)
			require.NoError(t, err)
			p.Result.Scenario = at
			p.Nominal = &sim.PhaseCheck{Margin: fall - 0.115, GasLimit: math.NaN(), GasUp: math.NaN()}
		}
		v.Axes[0].Values = append(v.Axes[0].Values, fall)
		v.Points = append(v.Points, p)
	}
	return v
}

func choked(n int64) *sim.Events { return &sim.Events{DrainChoked: n, Fails: n} }

func TestVariationInWords(t *testing.T) {
	for name, x := range map[string]struct {
		events []*sim.Events
		want   string
	}{
		"comes down": {[]*sim.Events{choked(2500), choked(500), choked(0)},
			"Between 50 mm and 70 mm the chance comes down to the limit of 1 % (overflow or a choked drain within 15 min): 10.0 % at 50 mm, none of 5,000 at 70 mm."},
		"goes over, something between": {[]*sim.Events{choked(0), choked(50), nil, choked(500)},
			"Between 30 mm and 90 mm the chance goes over the limit of 1 % (overflow or a choked drain within 15 min): none of 5,000 at 30 mm, 10.0 % at 90 mm. " +
				"At 50 mm, 5,000 realizations can't tell."},
		"down and up again": {[]*sim.Events{choked(500), choked(0), choked(500)},
			"Between 30 mm and 50 mm the chance comes down to the limit of 1 % (overflow or a choked drain within 15 min): 10.0 % at 30 mm, none of 5,000 at 50 mm. " +
				"Between 50 mm and 70 mm the chance goes over the limit of 1 % (overflow or a choked drain within 15 min): none of 5,000 at 50 mm, 10.0 % at 70 mm."},
		"met":              {[]*sim.Events{choked(0), choked(1)}, "The limit of 1 % (overflow or a choked drain within 15 min) is met over the whole range."},
		"not met":          {[]*sim.Events{choked(500), choked(400)}, "The limit of 1 % (overflow or a choked drain within 15 min) is not met anywhere in this range."},
		"met, then unsure": {[]*sim.Events{choked(0), choked(50)}, "The limit of 1 % (overflow or a choked drain within 15 min) is met wherever it can be told. At 50 mm, 5,000 realizations can't tell."},
		"unsure, then not met": {[]*sim.Events{choked(50), choked(49), choked(500)},
			"The limit of 1 % (overflow or a choked drain within 15 min) is not met wherever it can be told. At 30 mm and 50 mm, 5,000 realizations can't tell."},
		"unsure": {[]*sim.Events{choked(50), choked(50)}, "Nowhere in this range can 5,000 realizations tell whether the limit of 1 % (overflow or a choked drain within 15 min) is met: run more of them."},
		"pressure too": {[]*sim.Events{{OverPressure: 500}, {OverPressure: 50}},
			"The limit of 1 % (overflow or a choked drain within 15 min) is met over the whole range. For crankcase pressure over 1 kPa the limit is not met at 30 mm."},
		"oil lost, perhaps": {[]*sim.Events{{}, {OilLost: 50}},
			"The limit of 1 % (overflow or a choked drain within 15 min) is met over the whole range. For oil lost over 1 L, 5,000 realizations can't tell whether the limit is met at 50 mm."},
		"one point":           {[]*sim.Events{nil, nil, choked(500)}, "The limit of 1 % (overflow or a choked drain within 15 min) is not met at the one point that is possible."},
		"two points":          {[]*sim.Events{nil, choked(0), choked(0)}, "The limit of 1 % (overflow or a choked drain within 15 min) is met at all 2 points that are possible."},
		"two of three":        {[]*sim.Events{nil, choked(500), choked(500)}, "The limit of 1 % (overflow or a choked drain within 15 min) is not met at any of the 2 points that are possible."},
		"one that can't tell": {[]*sim.Events{nil, choked(50)}, "At the one point that is possible, 5,000 realizations can't tell whether the limit of 1 % (overflow or a choked drain within 15 min) is met: run more of them."},
	} {
		assert.Equal(t, x.want, Vary{Variation: madeVariation(t, x.events...)}.verdict(), name)
	}
	few := madeVariation(t, &sim.Events{}) // of which none can tell
	s := few.Points[0].Result.Scenario
	s, err := s.With(scenarios.Change{Path: "limits.risk", Value: "0.01 %"})
	require.NoError(t, err)
	few.Points[0].Result.Scenario = s
	assert.NotContains(t, Vary{Variation: few}.verdict(), "For ", "what never happened is not said to break a limit")
}

func TestVariationAsATable(t *testing.T) {
	text := written(t, Vary{Variation: madeVariation(t, choked(2500), nil, choked(50), choked(0))}, Text)
	for _, want := range []string{
		"Chance within 15 min by drain.fall, and its 95 % interval from sampling alone\n",
		"fall       overflow    drain choked  drain margin  limit of\n  mm    (gets past)      (backs up)   mm, nominal  risk\n",
		"  30  none of 5,000          50.0 %           -85  not met\n       up to 0.07 %  48.6 .. 51.4 %\n",
		"  50       can't be               -             -  -\n",
		"  70  none of 5,000           1.0 %           -45  can't tell\n",
		"  90  none of 5,000   none of 5,000           -25  met\n",
		"drain.fall, exact at each point; as written 30 .. 55 mm (stated)\n",
		"500 mm long as written, and taken longer by what the fall is more\n              than 42.5 mm\n",
		"What can't be\n* 50 mm: too low\n",
	} {
		assert.True(t, strings.Contains(text, want), "%s\nis not in\n%s", want, text)
	}
}

// What was not simulated is told apart from what can't be.
func TestVariationOfWhichPartIsMissing(t *testing.T) {
	v := madeVariation(t, choked(2500), nil, nil, choked(0))
	v.Points[1].Problem = sim.ErrNothingKept.Error()
	v.Points[3].Result.Missing = []sim.Gap{{From: 500, To: 1200}}
	text := written(t, Vary{Variation: v}, Text)
	for _, want := range []string{
		"  50        missing               -             -  -\n",
		"  70       can't be               -             -  -\n",
		"same draws at each; AT 2 POINTS SOME OR ALL ARE MISSING, this is\n              what was there\n",
		"What can't be\n* 70 mm: too low\n",
		"What is missing\n* 50 mm: none of its realizations are there\n* 90 mm: 700 of its realizations are missing\n",
	} {
		assert.True(t, strings.Contains(text, want), "%s\nis not in\n%s", want, text)
	}
	assert.Contains(t, written(t, Vary{Variation: v}, CSV), "# missing: at 2 points some or all realizations are missing, this is what was there\n")
	assert.Contains(t, written(t, Vary{Variation: v}, JSON), "\"missing_realizations\": 700")

	two := madeVariation(t, choked(2500), choked(0))
	two.Axes = append(two.Axes, decide.Axis{Path: "drain.bore", Dimension: units.Length, Values: []float64{0.0127}})
	two.Points[1] = decide.VariedPoint{At: two.Points[1].At, Problem: sim.ErrNothingKept.Error()}
	text = written(t, Vary{Variation: two}, Text)
	assert.Contains(t, text, "50 mm         missing\n")
	assert.NotContains(t, text, "can't be\n")
	assert.Contains(t, text, "* 50 mm and 12.7 mm: none of its realizations are there\n")
	one := madeVariation(t, choked(500), nil)
	one.Points[1].Problem = sim.ErrNothingKept.Error()
	assert.Contains(t, Vary{Variation: one}.verdict(), "is not met at the one point that is there.")
}

// As many digits as tell the values apart, and no more.
func TestValuesOfAnAxis(t *testing.T) {
	v := madeVariation(t, choked(0), choked(0), choked(0))
	for _, x := range []struct {
		si   []float64
		want []string
	}{
		{[]float64{0.03, 0.0127, 1}, []string{"30", "12.7", "1000"}},
		{[]float64{0.1, 0.10001, 0.10002}, []string{"100", "100.01", "100.02"}},
		{[]float64{-0.03, 0, 0.000125}, []string{"-30", "0", "0.125"}},
	} {
		v.Axes[0].Values = x.si
		assert.Equal(t, x.want, Vary{Variation: v}.values(0))
	}
}

func varied(t *testing.T, s *scenarios.Scenario, axes ...decide.Axis) *decide.Variation {
	t.Helper()
	v, err := decide.Vary(context.Background(), s, axes, sim.Options{Realizations: 500})
	require.NoError(t, err)
	return v
}

func axisFor(t *testing.T, s *scenarios.Scenario, path string, values ...float64) decide.Axis {
	t.Helper()
	a, err := decide.NewAxis(s, path, values)
	require.NoError(t, err)
	return a
}

// Two axes: the one with fewer values goes across, whichever was named first.
func TestTwoAxes(t *testing.T) {
	s := ready(t, "sealed-drain", short)
	falls, bores := []float64{0.01, 0.05, 0.2}, []float64{0.0127, 0.019}
	for _, axes := range [][]decide.Axis{
		{axisFor(t, s, "drain.fall", falls...), axisFor(t, s, "drain.bore", bores...)},
		{axisFor(t, s, "drain.bore", bores...), axisFor(t, s, "drain.fall", falls...)},
	} {
		r := Vary{Variation: varied(t, s, axes...)}
		tables := r.matrices()
		require.Len(t, tables, 2)
		assert.Equal(t, []string{"", "12.7 mm", "19 mm"}, tables[0].head)
		assert.Equal(t, []string{"", "12.7 mm", "19 mm"}, tables[1].head)
		assert.Contains(t, tables[1].heading, "drain.fall down, drain.bore across")
		assert.Equal(t, "200 mm", tables[0].rows[2][0])
		assert.Contains(t, tables[0].rows[2][1], "[none of 500]")
		at, err := decide.Changed(s, "drain.fall", 0.05)
		require.NoError(t, err)
		at, err = at.With(scenarios.Change{Path: "drain.bore", Value: 0.019})
		require.NoError(t, err)
		res, err := sim.Run(context.Background(), at, sim.Options{Realizations: 500})
		require.NoError(t, err)
		assert.Contains(t, tables[0].rows[1][2], fails(decide.VariedPoint{Result: res}).Text(), "each cell stands where it belongs")
		assert.Contains(t, r.verdict(), "is met at 2 of 6 points and not met at 4")
	}
	many := Vary{Variation: varied(t, s, axisFor(t, s, "drain.fall", 0.1, 0.11, 0.12, 0.13, 0.14), axisFor(t, s, "drain.bore", 0.01, 0.011, 0.012, 0.013, 0.014))}
	assert.Len(t, many.matrices(), 3, "four chances across, then one; five numbers in one")
	assert.Equal(t, []string{"", "14 mm"}, many.matrices()[1].head)
}

func TestVariationForPrograms(t *testing.T) {
	s := ready(t, "sealed-drain", short, scenarios.Change{Path: "title", Value: "two\nlines"})
	r := Vary{Variation: varied(t, s, axisFor(t, s, "drain.length", 0.01, 0.6)), Program: "sumpward 1"}
	text := written(t, r, CSV)
	head, rows := []string{}, ""
	for line := range strings.Lines(text) {
		if strings.HasPrefix(line, "#") {
			head = append(head, strings.TrimSuffix(line, "\n"))
			continue
		}
		rows += line
	}
	for _, want := range []string{"# sumpward 1: vary", "# scenario = two lines", "# seed = 1", "# realizations = 500 at each point", "# sampling = sobol",
		"# file sha256 = " + s.SHA256, "# drain.fall = 30 .. 55 mm; stated", "# engine.blow_by.full_throttle = 96 +- 15 L/min; measured",
		"# rank correlation of engine.blow_by.full_throttle and carry_over.oil_used = 0.6"} {
		assert.Contains(t, head, want)
	}
	for _, q := range s.Inputs {
		assert.Contains(t, text, "# "+q.Path+" = ", "every input")
	}
	table, err := csv.NewReader(strings.NewReader(rows)).ReadAll()
	require.NoError(t, err)
	require.Len(t, table, 4, "a head, the point that can't be, two lengths of the other")
	assert.Equal(t, []string{"drain.length_m", "length_s", "overflow_probability"}, table[0][:3])
	assert.Equal(t, "0.01", table[1][0])
	assert.Equal(t, "shorter than the way down (got 10 mm, allowed 42.5 mm or more)", table[1][len(table[1])-1])
	assert.Equal(t, []string{"0.6", "900"}, table[2][:2])
	assert.Equal(t, []string{"0.6", "1200"}, table[3][:2])
	x := r.Variation.Points[1].Result.Sessions[1]
	for name, want := range map[string]float64{
		"drain_choked_probability": x.DrainChoked.Probability, "drain_choked_low": x.DrainChoked.Low, "drain_choked_high": x.DrainChoked.High,
		"overflow_or_choked_events": float64(x.Events.Fails), "oil_lost_high": x.OilLost.High, "peak_fill_p95": x.PeakFill.P95,
		"oil_to_intake_mean_m3": x.OilToIntake.Mean, "drain_margin_nominal_m": r.Variation.Points[1].Nominal.Margin, "realizations": 500,
	} {
		assert.Equal(t, want, numberIn(t, table, 3, name), name)
	}

	var out struct {
		Format string
		Axes   []struct {
			Key    string
			Values []float64
		}
		Points []struct {
			At       []float64
			Problem  string
			Margin   *float64 `json:"drain_margin_nominal_m"`
			Sessions []struct {
				Length float64 `json:"length_s"`
			}
		}
	}
	require.NoError(t, json.Unmarshal([]byte(written(t, r, JSON)), &out))
	assert.Equal(t, "sumpward/vary", out.Format)
	assert.Equal(t, "drain.length_m", out.Axes[0].Key)
	assert.Equal(t, []float64{0.01, 0.6}, out.Axes[0].Values)
	assert.Contains(t, out.Points[0].Problem, "shorter than the way down")
	assert.Nil(t, out.Points[0].Margin)
	assert.Empty(t, out.Points[0].Sessions)
	assert.InDelta(t, r.Variation.Points[1].Nominal.Margin, *out.Points[1].Margin, 1e-12)
	assert.Equal(t, 1200.0, out.Points[1].Sessions[1].Length)
}

// Every kind of drain in both systems of units, as text and as Markdown.
func TestVariationFitsATerminal(t *testing.T) {
	for name, path := range map[string]string{"sealed-drain": "drain.dip", "lost-circuit": "drain.bore", "sealed-can": "separator.usable_volume"} {
		s := ready(t, name, scenarios.Change{Path: "title", Value: strings.Repeat("A long title | with 漢字 ", 8)}, short)
		values := map[string][]float64{"drain.dip": {0, 0.123456789, 2}, "drain.bore": {0.001, 0.0127}, "separator.usable_volume": {0.0001, 0.00012345678}}[path]
		v := varied(t, s, axisFor(t, s, path, values...))
		for _, u := range []units.System{units.Metric, units.US} {
			text := written(t, Vary{Variation: v, Units: u}, Text)
			for line := range strings.Lines(text) {
				assert.LessOrEqual(t, columns(strings.TrimSuffix(line, "\n")), Width, line)
			}
			assert.NotContains(t, text, "NaN")
			assert.NotContains(t, written(t, Vary{Variation: v, Units: u}, Markdown), "NaN")
			if name == "sealed-can" {
				assert.NotContains(t, text, "drain choked")
				assert.NotContains(t, text, "margin")
			}
		}
	}
}

// A correlation with an input that is exact at each point falls away, and is said to.
func TestCorrelationThatFallsAwayIsSaid(t *testing.T) {
	s := ready(t, "sealed-drain", short)
	r := Vary{Variation: varied(t, s, axisFor(t, s, "engine.blow_by.full_throttle", 1.2e-3, 1.8e-3))}
	assert.Equal(t, []string{"of engine.blow_by.full_throttle with carry_over.oil_used falls away: what is exact goes with nothing"}, r.uncorrelated())
	r = Vary{Variation: varied(t, s, axisFor(t, s, "carry_over.oil_used", 0.2e-3, 0.4e-3))}
	assert.Empty(t, r.uncorrelated())
	assert.Contains(t, r.asWritten(0), "not exact at a point, a reading tells no more (0.2 +- 0.1 L at the first)")
}

// numberIn returns a number of a row of a CSV table by the name of its column.
func numberIn(t *testing.T, table [][]string, row int, name string) float64 {
	t.Helper()
	i := slices.Index(table[0], name)
	require.GreaterOrEqual(t, i, 0, name)
	v, err := strconv.ParseFloat(table[row][i], 64)
	require.NoError(t, err, name)
	return v
}
