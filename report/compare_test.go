package report

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"math"
	"slices"
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

// paired is a difference of chances as it might have come out.
func paired(difference, low, high, toTell float64) stats.PairedDifference {
	d := stats.PairedDifference{Difference: difference, Low: low, High: high, Trials: 5000, TrialsToTell: toTell}
	if difference != 0 {
		d.OnlySecond = 100
	}
	return d
}

// madeComparison puts three layouts together as they might have come out of 5,000
// realizations of one session length: "larger can" overflows more rarely than "as
// written" and backs up alike, "lower return" does neither.
func madeComparison(t *testing.T) *decide.Comparison {
	t.Helper()
	asWritten := ready(t, "sealed-drain")
	c := &decide.Comparison{Sessions: []float64{900}, Realizations: 5000, Level: 0.95, RankingLevel: 1 - 0.05/3}
	for i, e := range []sim.Events{{Overflow: 100, DrainChoked: 2500, Fails: 2500}, {Overflow: 20, DrainChoked: 2499, Fails: 2499}, {}} {
		s, name := asWritten, "as written"
		if i > 0 {
			name = asWritten.Variants[i-1]
			var err error
			s, err = asWritten.Variant(name)
			require.NoError(t, err)
		}
		res := made(t, sim.Sealed, 5000, e)
		res.Scenario, res.Sampling, res.Reached = s, "latin-hypercube", 0.014
		c.Layouts = append(c.Layouts, decide.Layout{Name: name})
		c.Results = append(c.Results, res)
	}
	none := paired(0, -0.0008, 0.0008, math.Inf(1))
	pair := func(a, b int, overflow, choked stats.PairedDifference, pressure, oil stats.MeanDifference) {
		s := decide.PairedSession{Overflow: overflow, DrainChoked: choked, OverPressure: none, OilLost: none, Fails: choked, FailsRanking: choked, OilToIntake: oil}
		c.Pairs = append(c.Pairs, decide.Pair{A: a, B: b, Sessions: []decide.PairedSession{s}, Pressure: pressure})
	}
	unsure := paired(-0.0002, -0.0012, 0.0008, 118_000)
	oil := stats.MeanDifference{Difference: -12e-6, Low: -14e-6, High: -10e-6, TrialsToTell: 900}
	pair(0, 1, paired(-0.016, -0.02, -0.013, 400), unsure, stats.MeanDifference{TrialsToTell: math.Inf(1)}, oil)
	pair(0, 2, paired(-0.02, -0.024, -0.016, 400), paired(-0.5, -0.514, -0.486, 30), stats.MeanDifference{Difference: 3, Low: -1, High: 7, TrialsToTell: 9000}, oil)
	pair(1, 2, paired(-0.004, -0.006, -0.002, 900), paired(-0.4998, -0.514, -0.486, 30), stats.MeanDifference{Difference: 3, Low: 1, High: 5, TrialsToTell: 2000}, oil)
	return c
}

func TestComparisonInWords(t *testing.T) {
	text := written(t, Compare{Comparison: madeComparison(t)}, Text)
	for _, want := range []string{
		"3 layouts, each on the same draws\n",
		"larger can    separator.usable_volume 0.9 L (0.45 L); separator.diameter 170 mm\n              (120 mm)\n",
		"drain.fall 105 .. 130 mm (30 .. 55 mm)",
		"larger can            -1.6      can't tell         none seen            -12\n              -2.0 .. -1.3  -0.12 .. +0.08                       -14 .. -10\n",
		"lower return          -2.0           -50.0        can't tell            -12\n              -2.4 .. -1.6  -51.4 .. -48.6  -0.001 .. +0.007     -14 .. -10\n",
		"* larger can: choked drain: about 118,000 realizations would tell; crankcase\n  pressure: no difference seen in 5,000\n",
		"* lower return: crankcase pressure: about 9,000 realizations would tell\n",
		"5,000 realizations of each layout, Latin hypercube, seed 0; widest\n          interval of a chance ± 1.40 %\n",
		"at 95 % for\nall 3 differences together: best \"lower return\"; then \"larger can\" and \"as\nwritten\" (can't tell them apart).\n",
		"The limit of risk is 1 % within 15 min: \"lower return\" meets it; \"as written\"\nand \"larger can\" do not meet it.\n",
		"A larger can alone (\"larger can\", 0.9 L instead of 0.45 L) makes overflow rarer\nby 1.6 points, and makes no difference to a choked drain that could be told: the\ndrain still backs up in 50.0 %.\n",
	} {
		assert.True(t, strings.Contains(text, want), "%s\nis not in\n%s", want, text)
	}
	assert.NotContains(t, text, "by session length", "there is one length alone")
	assert.NotContains(t, text, "car as it was")
}

func TestNoRankingWhereNoneIsSupported(t *testing.T) {
	c := madeComparison(t)
	for i := range c.Pairs {
		c.Pairs[i].Sessions[0].FailsRanking = paired(-0.001, -0.02, 0.02, 1e6)
	}
	assert.Equal(t, "By the chance of overflow or a choked drain within 15 min no ranking is supported: the layouts can't be told apart.", Compare{Comparison: c}.ranking())

	c = madeComparison(t) // 2 before 0, but 1 told from neither: one group whose ends are told apart
	c.Pairs[2].Sessions[0].FailsRanking = paired(-0.001, -0.02, 0.02, 1e6)
	assert.Contains(t, Compare{Comparison: c}.ranking(), "no ranking is supported")
	assert.Equal(t, `"as written" and "lower return" (not all told apart)`, Compare{Comparison: c}.group([]int{0, 2}))
}

func TestPressureAgainstTheCarAsItWas(t *testing.T) {
	c := madeComparison(t)
	was, err := ready(t, "lost-circuit").Variant(decide.AsItWas)
	require.NoError(t, err)
	c.Results[2].Scenario = was
	heading, list := Compare{Comparison: c}.beforeFitting()
	assert.Equal(t, "Crankcase pressure against the car as it was, mean highest within 15 min", heading)
	assert.Equal(t, []string{"as written: can't tell (-0.007 .. +0.001 kPa)", "larger can: 0.003 kPa lower (0.001 .. 0.005)"}, list)
	c.Pairs[1].Pressure = stats.MeanDifference{Difference: -30, Low: -32, High: -28}
	_, list = Compare{Comparison: c}.beforeFitting()
	assert.Equal(t, "as written: 0.030 kPa higher (0.028 .. 0.032)", list[0])
}

// The car before fitting is no option: it is not ranked, nor said to meet the limit.
func TestTheCarBeforeFittingIsNoOption(t *testing.T) {
	c := madeComparison(t)
	was, err := ready(t, "lost-circuit").Variant(decide.AsItWas)
	require.NoError(t, err)
	c.Results[2].Scenario, c.Layouts[2].Name = was, decide.AsItWas
	for i := range c.Pairs {
		if c.Pairs[i].B == 2 { // it sends 40 mL past, the first 15 mL
			c.Pairs[i].Sessions[0].OilToIntake = stats.MeanDifference{Difference: 25e-6, Low: 24e-6, High: 26e-6}
		}
	}
	c.Results[0].Sessions[0].OilToIntake.Mean = 15e-6
	r := Compare{Comparison: c}
	text := written(t, r, Text)
	assert.Contains(t, oneLine(text), `By the chance of overflow or a choked drain within 15 min no ranking is supported: the two layouts can't be told apart. `+
		`The limit of risk is 1 % within 15 min: "as written" and "larger can" do not meet it. `+
		`"as it was" is the car before fitting, no option, and left out of that. With it 25.0 mL (24.0 .. 26.0) more oil goes to the intake within 15 min than with "as written".`)
	assert.Regexp(t, `(?m)^as it was +none of 5,000 +none of 5,000 +-$`, text)
	assert.Equal(t, [][]int{{1, 0}}, r.groups(0))
	c.Results[0].Sessions[0].OilToIntake.Mean = 30e-6
	assert.NotContains(t, r.leftOut(), "more oil", "not twice as much")
	c.Results[1].Scenario = was
	assert.Equal(t, `There is one option, "as written": nothing to rank.`, r.ranking())
	c.Results[0].Scenario = was
	assert.Len(t, r.options(), 3, "then they are what is compared")
	assert.Empty(t, r.leftOut())
}

func TestLimitBrokenByPressureSaysSo(t *testing.T) {
	c := madeComparison(t)
	c.Results[2].Sessions[0].OverPressure = c.Results[0].Sessions[0].DrainChoked
	c.Results[2].Sessions[0].Events.OverPressure = 2500
	assert.Equal(t, `The limit of risk is 1 % within 15 min: "as written", "larger can" and "lower return" (crankcase pressure over 1 kPa) do not meet it.`,
		Compare{Comparison: c}.meets()[0])
}

func TestLimitsOfTheirOwn(t *testing.T) {
	c := madeComparison(t)
	c.Results[2].Scenario = ready(t, "sealed-drain", scenarios.Change{Path: "limits.risk", Value: "0.01 %"})
	assert.Equal(t, `Each layout has a limit of risk of its own; it holds within 15 min: "as written" and "larger can" do not meet it; of "lower return" 5,000 realizations can't tell.`,
		Compare{Comparison: c}.meets()[0])
}

func TestOnlyALargerCanIsCalledOne(t *testing.T) {
	r := Compare{Comparison: madeComparison(t)}
	assert.True(t, r.onlyLargerCan(1))
	assert.False(t, r.onlyLargerCan(2), "the drain differs")
	both, err := r.scenario(0).Variant("larger can and lower return")
	require.NoError(t, err)
	r.Comparison.Results[1].Scenario = both
	assert.False(t, r.onlyLargerCan(1), "whatever it is called")
	r.Comparison.Results[1].Scenario = ready(t, "sealed-drain", scenarios.Change{Path: "separator.usable_volume", Value: "0.3 L"})
	assert.False(t, r.onlyLargerCan(1), "a smaller one")
}

func TestWhatSetsLayoutsApart(t *testing.T) {
	s := ready(t, "lost-circuit")
	was, err := s.Variant(decide.AsItWas)
	require.NoError(t, err)
	r := Compare{}
	assert.Equal(t, "separator.usable_volume 0.15 L (0.45 L); separator.efficiency 5 .. 30 % (40 .. 85 %); separator.pressure_loss.loss 0.3 +- 0.1 kPa (0.6 +- 0.15 kPa); "+
		"breathers.covers to separator (none); breathers.block to intake (none)", r.apart(changesOf(s, was, units.Metric)))
	assert.Equal(t, "separator.usable_volume 0.45 L (0.15 L); separator.efficiency 40 .. 85 % (5 .. 30 %); separator.pressure_loss.loss 0.6 +- 0.15 kPa (0.3 +- 0.1 kPa); "+
		"no breathers.covers; no breathers.block", r.apart(changesOf(was, s, units.Metric)))
	assert.Equal(t, "no other numbers", r.apart(changesOf(s, s, units.Metric)))
	valve, err := ready(t, "sealed-drain").Variant("below the oil")
	require.NoError(t, err)
	assert.Equal(t, "drain.return below_oil (above_oil); drain.seal none (valve); drain.fall 240 .. 260 mm (30 .. 55 mm); drain.length 700 mm (500 mm)",
		r.apart(changesOf(ready(t, "sealed-drain"), valve, units.Metric)))
}

func TestDifferencesAreSignedAndRounded(t *testing.T) {
	for _, x := range []struct {
		d    difference
		want string
	}{
		{difference{-46.23, -47.04, -45.42, 30, false}, "-46.2\n-47.0 .. -45.4"},
		{difference{0.31, 0.12, 0.5, 30, false}, "+0.31\n+0.12 .. +0.50"},
		{difference{0.01, -0.2, 0.22, 1e5, false}, "can't tell\n-0.2 .. +0.2"},
		{difference{0, -0.04, 0.04, math.Inf(1), true}, "none seen\n-0.04 .. +0.04"},
		{difference{0, 0, 0, math.Inf(1), true}, "none seen"},
		{difference{0, math.Inf(-1), math.Inf(1), math.Inf(1), false}, "can't tell\ntoo few"},
		{difference{-3, -7, 0.0001, 1e5, false}, "can't tell\n-7 .. 0"},
	} {
		assert.Equal(t, x.want, x.d.cell())
	}
}

// A comparison that was run, in every form: names are of unknown origin.
func TestComparisonInEveryForm(t *testing.T) {
	s := ready(t, "sealed-drain", short)
	wild := "a\x1b[31m|b" + strings.Repeat(" long", 20)
	var layouts []decide.Layout
	for name, change := range map[string]scenarios.Change{wild: {Path: "drain.bore", Value: "10 mm"}, "=cmd": {Path: "drain.fall", Value: "200 mm"}} {
		changed, err := s.With(change)
		require.NoError(t, err)
		m, err := sim.NewModel(changed)
		require.NoError(t, err)
		layouts = append(layouts, decide.Layout{Name: name, Model: m})
	}
	if layouts[0].Name != wild {
		layouts[0], layouts[1] = layouts[1], layouts[0]
	}
	c, err := decide.Compare(context.Background(), layouts, sim.Options{Realizations: 1000})
	require.NoError(t, err)
	for _, u := range []units.System{units.Metric, units.US} {
		text := written(t, Compare{c, u}, Text)
		for line := range strings.Lines(text) {
			assert.LessOrEqual(t, columns(strings.TrimSuffix(line, "\n")), Width, line)
		}
		assert.NotContains(t, text, "\x1b")
		assert.NotContains(t, written(t, Compare{c, u}, Markdown), "\x1b")
	}

	rows, err := csv.NewReader(strings.NewReader(written(t, Compare{Comparison: c}, CSV))).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 3, "a head, and the pair at two lengths")
	assert.Equal(t, []string{"a", "b", "length_s", "overflow_a"}, rows[0][:4])
	assert.Equal(t, "'=cmd", rows[1][1])
	for name, want := range map[string]float64{
		"overflow_or_choked_b": c.Results[1].Sessions[1].Fails.Probability, "overflow_or_choked_low": c.Pairs[0].Sessions[1].Fails.Low,
		"oil_to_intake_m3_difference": c.Pairs[0].Sessions[1].OilToIntake.Difference, "peak_crankcase_pressure_Pa_low": c.Pairs[0].Pressure.Low, "length_s": 1200,
	} {
		assert.Equal(t, want, numberIn(t, rows, 2, name), name)
	}
	assert.Empty(t, rows[1][slices.Index(rows[0], "peak_crankcase_pressure_Pa_low")], "that of the longest session alone")

	var out struct {
		Format  string
		Layouts []struct {
			Name     string
			Sessions []struct {
				Fails struct{ Probability float64 } `json:"overflow_or_choked"`
			}
		}
		Pairs []struct {
			A, B     string
			Sessions []struct {
				Length float64 `json:"length_s"`
				Fails  struct {
					Difference, Low, High float64
					OnlyA                 int64 `json:"only_a"`
					OnlyB                 int64 `json:"only_b"`
					Tells                 bool
				} `json:"overflow_or_choked"`
			}
		}
		Rankings []struct{ Groups [][]string }
	}
	require.NoError(t, json.Unmarshal([]byte(written(t, Compare{Comparison: c}, JSON)), &out))
	assert.Equal(t, "sumpward/compare", out.Format)
	assert.Equal(t, wild, out.Layouts[0].Name)
	require.Len(t, out.Pairs, 1)
	for i, x := range out.Pairs[0].Sessions {
		assert.Equal(t, []float64{900, 1200}[i], x.Length)
		assert.InDelta(t, out.Layouts[1].Sessions[i].Fails.Probability-out.Layouts[0].Sessions[i].Fails.Probability, x.Fails.Difference, 1e-12, "second less first")
		assert.InDelta(t, float64(x.Fails.OnlyB-x.Fails.OnlyA)/1000, x.Fails.Difference, 1e-12)
		assert.True(t, x.Fails.Low <= x.Fails.Difference && x.Fails.Difference <= x.Fails.High && x.Fails.Tells)
	}
	assert.Equal(t, [][]string{{"=cmd"}, {wild}}, out.Rankings[1].Groups, "the one that falls far backs up more rarely")
}
