package page

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/report"
	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
	"sumpward/sim/stats"
)

// sessionOf is one session of 1,000 realizations with so many events.
func sessionOf(minutes float64, e sim.Events) sim.SessionResult {
	of := func(k int64) stats.Estimate {
		i := stats.ClopperPearson(float64(k), 1000, 0.95)
		return stats.Estimate{Probability: float64(k) / 1000, Low: i.Low, High: i.High}
	}
	return sim.SessionResult{Length: 60 * minutes, Events: e,
		Overflow: of(e.Overflow), DrainChoked: of(e.DrainChoked), OverPressure: of(e.OverPressure), OilLost: of(e.OilLost), Fails: of(e.Fails)}
}

// answering is a page with given outcomes of 1,000 realizations, limit 1 %.
func answering(t *testing.T, name string, sessions ...sim.SessionResult) *view {
	t.Helper()
	s, err := scenarios.Ready(name)
	require.NoError(t, err)
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	res := &sim.Result{Scenario: s, Realizations: 1000, Sessions: sessions, Kind: m.Nominal().Drain.Kind}
	v := &view{page: Page{Model: m, Result: res, Units: units.Metric}}
	v.Options, v.Further = v.options()
	return v
}

func TestAnswerKeepsBackingUpFromGettingPast(t *testing.T) {
	for _, c := range []struct {
		scenario string
		events   sim.Events
		want     string
	}{
		{"sealed-drain", sim.Events{DrainChoked: 478, Overflow: 11, Fails: 480},
			"In about 48 of 100 simulated 60 min sessions the drain backs up and in about 1 of 100 oil gets past the can: this layout does not meet the limit of 1 of 100."},
		{"sealed-drain", sim.Events{DrainChoked: 300, Fails: 300},
			"In about 30 of 100 simulated 60 min sessions the drain backs up and in none of 1,000 does oil get past the can: this layout does not meet the limit of 1 of 100."},
		{"sealed-drain", sim.Events{Overflow: 120, Fails: 120},
			"In about 12 of 100 simulated 60 min sessions oil gets past the can and in none of 1,000 does the drain back up: this layout does not meet the limit of 1 of 100."},
		{"sealed-drain", sim.Events{},
			"In none of 1,000 simulated 60 min sessions does the drain back up or oil get past the can: this layout meets the limit of 1 of 100."},
		{"sealed-drain", sim.Events{DrainChoked: 1, Fails: 1},
			"In fewer than 1 of 100 simulated 60 min sessions the drain backs up and in none of 1,000 does oil get past the can: this layout meets the limit of 1 of 100."},
		{"sealed-drain", sim.Events{DrainChoked: 12, Fails: 12},
			"In about 12 of 1,000 simulated 60 min sessions the drain backs up and in none of 1,000 does oil get past the can: whether this layout meets the limit of 10 of 1,000, 1,000 simulated sessions can’t tell."},
		{"sealed-drain", sim.Events{DrainChoked: 14, Overflow: 14, Fails: 28},
			"In about 1 of 100 simulated 60 min sessions the drain backs up, in about 1 of 100 oil gets past the can and the one or the other in about 3 of 100: this layout does not meet the limit of 1 of 100."},
		{"sealed-drain", sim.Events{DrainChoked: 1000, Overflow: 999, Fails: 1000},
			"In all of 1,000 simulated 60 min sessions the drain backs up and in nearly all of 100 oil gets past the can: this layout does not meet the limit of 1 of 100."},
		{"sealed-drain", sim.Events{OverPressure: 50},
			"In none of 1,000 simulated 60 min sessions does the drain back up or oil get past the can and in about 5 of 100 crankcase pressure goes over 1 kPa: this layout does not meet the limit of 1 of 100."},
		{"sealed-can", sim.Events{Overflow: 851, OilLost: 203, Fails: 851},
			"In about 85 of 100 simulated 60 min sessions oil gets past the can and in about 20 of 100 more than 1 L of oil is lost: this layout does not meet the limit of 1 of 100."},
		{"sealed-can", sim.Events{},
			"In none of 1,000 simulated 60 min sessions does oil get past the can: this layout meets the limit of 1 of 100."},
	} {
		v := answering(t, c.scenario, sessionOf(60, c.events))
		assert.Equal(t, c.want, v.answer())
	}
}

func TestShorterSessionsAreSpokenOf(t *testing.T) {
	bad, good := sim.Events{DrainChoked: 300, Fails: 300}, sim.Events{}
	v := answering(t, "sealed-drain", sessionOf(15, good), sessionOf(25, good), sessionOf(60, bad))
	assert.Equal(t, "Sessions of up to 25 min meet it.", v.next())
	v = answering(t, "sealed-drain", sessionOf(15, bad), sessionOf(60, bad))
	assert.Equal(t, "In 15 min the drain backs up or oil gets past in about 30 of 100: not met.", v.next())
	v = answering(t, "sealed-drain", sessionOf(15, good), sessionOf(60, good))
	assert.Empty(t, v.next())
	v = answering(t, "sealed-drain", sessionOf(15, sim.Events{OverPressure: 300}), sessionOf(60, sim.Events{OverPressure: 300}))
	assert.Equal(t, "In 15 min crankcase pressure goes over its limit in about 30 of 100: not met.", v.next())
	v = answering(t, "sealed-drain", sessionOf(15, good), sessionOf(25, sim.Events{DrainChoked: 12, Fails: 12}), sessionOf(40, bad), sessionOf(60, bad))
	assert.Equal(t, "Sessions of up to 15 min meet it. In 40 min the drain backs up or oil gets past in about 30 of 100: not met.", v.next())
	v = answering(t, "sealed-can", sessionOf(15, sim.Events{Overflow: 12, Fails: 12}), sessionOf(60, sim.Events{Overflow: 13, Fails: 13}))
	assert.Equal(t, "In 15 min oil gets past the can in about 12 of 1,000: can’t tell.", v.next())
}

// The report speaks of the shortest session that breaks the limit: so does the page,
// beside the longest.
func TestPageAndReportSpeakOfTheSameSession(t *testing.T) {
	v := answering(t, "sealed-drain", sessionOf(15, sim.Events{DrainChoked: 299, Fails: 299}), sessionOf(60, sim.Events{DrainChoked: 478, Fails: 478}))
	s := v.scenario()
	assert.Contains(t, report.Verdict(v.page.Result, units.Metric), "15 min")
	tips := func(session int, path string, value float64) *decide.Dependence {
		return &decide.Dependence{Question: decide.Question{Session: session, Limit: 0.01}, Scenario: s, Length: v.page.Result.Sessions[session].Length,
			Inputs: []decide.InputDependence{{Input: s.Input(path), Tips: true, Tipping: decide.TippingValue{Value: value, KeptBelow: true}}}}
	}
	happens := "In 15 min the drain backs up or oil gets past in about 30 of 100"
	v.page.Dependence = &decide.Dependence{Question: decide.Question{Session: 1, Limit: 0.01}}
	assert.Equal(t, happens+": as drawn, not met.", v.next(), "what that rests on is not known")
	v.page.Shorter = tips(0, "carry_over.oil_used", 160e-6)
	assert.Equal(t, together(happens+", which depends on oil used, not measured: met below 0.16 L truly used."), v.next())
	v.page.Shorter.Inputs[0].Tips = false
	assert.Equal(t, happens+": not met.", v.next())
	v.page.Shorter = tips(1, "carry_over.oil_used", 160e-6)
	assert.Equal(t, happens+": as drawn, not met.", v.next(), "that of another session")
	v.page.Dependence = tips(1, "drain.fall", 0.05)
	v.page.Shorter = tips(0, "carry_over.oil_used", 160e-6)
	assert.Equal(t, together("It meets the limit with the drain’s fall below 50 mm: measure these first. "+
		happens+", which depends on oil used, not measured: met below 0.16 L truly used."), v.next())
}

// What was not measured and carries the chance across the limit comes before a number
// that says yes or no.
func TestAnswerDependsOnWhatIsNotMeasured(t *testing.T) {
	v := answering(t, "sealed-drain", sessionOf(60, sim.Events{DrainChoked: 478, Fails: 478}))
	s := v.scenario()
	fall, opens, oil := s.Input("drain.fall"), s.Input("drain.valve_opens_at"), s.Input("carry_over.oil_used")
	require.NotNil(t, oil)
	d := &decide.Dependence{Question: decide.Question{Limit: 0.01}, Scenario: s, Length: 3600, Chance: stats.Estimate{Probability: 0.478}}
	v.page.Dependence = d
	assert.False(t, v.depends())
	assert.Contains(t, v.answer(), "does not meet the limit")

	d.Inputs = []decide.InputDependence{{Input: fall, Tips: true, Tipping: decide.TippingValue{Value: 0.05}}, {Input: oil}}
	assert.Equal(t, "In about 48 of 100 simulated 60 min sessions the drain backs up and in none of 1,000 does oil get past the can: "+
		"whether it meets the limit of 1 of 100 depends on the drain’s fall, not measured.", v.answer())
	assert.Equal(t, "It meets the limit with the drain’s fall above 50\u00a0mm: measure these first.", v.next())
	v.Options, v.Further = v.options()
	assert.Equal(t, "depends", v.Options[0].Short)
	assert.Equal(t, unclear, v.Options[0].Stand)

	d.Inputs = nil
	d.Pairs = []decide.PairDependence{{A: fall, B: opens, AtA: 0.055, AtB: 200}, {A: oil, B: fall, AtA: 1e-4, AtB: 0.055}}
	assert.Contains(t, v.answer(), "depends on two inputs together that were not measured.")
	assert.Equal(t, "It meets the limit with the drain’s fall at 55\u00a0mm and the cracking pressure of the drain’s valve at 0.2\u00a0kPa; or with one more, listed below: measure these first.", v.next())
}

func TestCountsTellFromTheLimit(t *testing.T) {
	c := func(events int64) words.Chance {
		return words.SessionChances(&sim.Result{Realizations: 1000}, ptr(sessionOf(60, sim.Events{Fails: events})))[words.Fails]
	}
	assert.Equal(t, 100.0, words.Denominator(0.01, c(478)))
	assert.Equal(t, 1000.0, words.Denominator(0.01, c(12)), "1 of 100 would read as the limit itself")
	assert.Equal(t, 100.0, words.Denominator(0.01, c(0)))
	assert.Equal(t, 100.0, words.Denominator(0, c(0)), "nothing happened")
	assert.Equal(t, 1000.0, words.Denominator(0.002, c(478)), "the limit is 2 of 1,000")
	assert.Equal(t, 10_000.0, words.Denominator(0.01, c(10)))
	assert.Equal(t, "7.5 of 1,000", countOfLimit(0.0075, 1000))
	assert.Equal(t, "75 of 10,000", countOfLimit(0.0075, 10_000))
}

func ptr[T any](v T) *T { return &v }

// compared is a page of a layout that fails and another one, with the difference that
// is seen between them.
func compared(t *testing.T, variant string, other sim.Events, fails, chokes stats.PairedDifference) *view {
	t.Helper()
	first := sessionOf(60, sim.Events{DrainChoked: 480, Overflow: 50, Fails: 480})
	v := answering(t, "sealed-drain", first)
	changed, err := v.scenario().Variant(variant)
	require.NoError(t, err)
	m, err := sim.NewModel(changed)
	require.NoError(t, err)
	res := *v.page.Result
	res.Scenario, res.Sessions = changed, []sim.SessionResult{sessionOf(60, other)}
	v.page.Options = &decide.Comparison{
		Layouts: []decide.Layout{{Name: decide.AsWritten, Model: v.page.Model}, {Name: variant, Model: m}},
		Results: []*sim.Result{v.page.Result, &res}, Sessions: []float64{3600}, Realizations: 1000,
		Pairs: []decide.Pair{{A: 0, B: 1, Sessions: []decide.PairedSession{{Fails: fails, DrainChoked: chokes}}}},
	}
	v.Options, v.Further = v.options()
	return v
}

func TestRemarksSayWhereALargerCanDoesNotHelp(t *testing.T) {
	seen := stats.PairedDifference{Difference: -0.2, Low: -0.23, High: -0.17}
	none := stats.PairedDifference{Difference: 0.001, Low: -0.004, High: 0.006}
	worse := stats.PairedDifference{Difference: 0.1, Low: 0.08, High: 0.12}
	much := sim.Events{DrainChoked: 280, Fails: 280}
	for _, c := range []struct {
		variant       string
		events        sim.Events
		fails, chokes stats.PairedDifference
		want          []string
	}{
		{"larger can", much, none, none, []string{"A larger can alone (B): can’t tell that it helps, even on the same draws."}},
		{"larger can", much, seen, none, []string{"A larger can alone (B) keeps more oil from getting past, but no difference can be told in how often the drain backs up."}},
		{"larger can", much, seen, seen, []string{"A larger can alone (B) helps, but is not enough."}},
		{"larger can", much, worse, worse, []string{"A larger can alone (B) makes it worse."}},
		{"lower return", sim.Events{}, seen, seen, []string{"A lower return alone (B) is enough."}},
		{"lower return", much, none, none, []string{"A lower return alone (B): can’t tell that it helps, even on the same draws."}},
		{"larger can and lower return", sim.Events{}, seen, seen, nil},
	} {
		v := compared(t, c.variant, c.events, c.fails, c.chokes)
		assert.Equal(t, c.want, v.remarks(), c.variant)
	}
	// Rarer overflow that the more frequent choked drain hides in the chance of either.
	v := compared(t, "larger can", much, none, none)
	v.page.Options.Pairs[0].Sessions[0].Overflow = seen
	assert.Equal(t, []string{"A larger can alone (B) keeps more oil from getting past, but no difference can be told in how often the drain backs up."}, v.remarks())
}

func TestOptionsSayWhatSetsThemApart(t *testing.T) {
	seen := stats.PairedDifference{Difference: -0.2, Low: -0.23, High: -0.17}
	v := compared(t, "lower return", sim.Events{}, seen, seen)
	require.Len(t, v.Options, 2)
	a, b := v.Options[0], v.Options[1]
	assert.Equal(t, "as it is", a.Name)
	assert.Equal(t, "A", a.Letter)
	assert.Equal(t, beyond, a.Stand)
	assert.Equal(t, "48", a.BacksUp)
	assert.Equal(t, "5", a.Past)
	assert.Empty(t, a.Against.Text)
	assert.Equal(t, "lower return", b.Name)
	assert.Equal(t, "fall 105\u00a0to 130\u00a0mm, hose length 580\u00a0mm", b.What)
	assert.Equal(t, "none of 1,000", b.Chance)
	assert.Equal(t, within, b.Stand)
	assert.Equal(t, difference{"20 fewer", "17 to 23"}, b.Against)
	assert.Equal(t, "Of the other options B (lower return) meets it.", v.next())
	assert.Equal(t, difference{"can’t tell", "−0.4 to +0.6"}, against(stats.PairedDifference{Difference: 0.001, Low: -0.004, High: 0.006}))
	assert.Equal(t, difference{"10 more", "8 to 12"}, against(stats.PairedDifference{Difference: 0.1, Low: 0.08, High: 0.12}))
}

func TestSizingSaysWhichIsTheTrouble(t *testing.T) {
	none := decide.Threshold{Session: 3600, To: 3e-3, Value: math.NaN(), High: math.Inf(1)}
	can := decide.Threshold{Session: 3600, To: 3e-3, Found: true, Value: 1e-3, Low: 0.9e-3, High: 1.1e-3, Buy: 1.25e-3}
	short := decide.Threshold{Session: 3600, To: 0.6, Value: math.NaN(), High: math.Inf(1)}
	fall := decide.Threshold{Session: 3600, To: 0.6, Found: true, Value: 0.068, Low: 0.067, High: 0.069, Buy: 0.07}
	v := answering(t, "sealed-drain", sessionOf(60, sim.Events{DrainChoked: 300, Fails: 300}))
	for _, c := range []struct {
		volume, fall decide.Threshold
		want         string
	}{
		{none, fall, "No can up to 3 L does for 60 min: the drain is the trouble. A fall of 70 mm does, with the can as it is."},
		{none, short, "Neither a larger can (up to 3 L) nor more fall (up to 600 mm) alone does for 60 min."},
		{can, short, "No fall up to 600 mm does for 60 min: the can is the trouble."},
		{can, fall, "A can of 1.25 L does for 60 min, with the drain as it is."},
	} {
		v.page.Sizing = &decide.Sizing{Scenario: v.scenario(), Risk: 0.01, Volume: []decide.Threshold{c.volume}, Fall: []decide.Threshold{c.fall}}
		require.NotEmpty(t, v.sizingRemarks())
		assert.Equal(t, c.want, v.sizingRemarks()[0])
	}
}

func TestHeatMapMarksWhatMeetsTheLimit(t *testing.T) {
	cell := func(k int64) decide.Cell {
		s := sessionOf(60, sim.Events{Fails: k})
		return decide.Cell{Fails: s.Fails, Events: k, Realizations: 1000}
	}
	assert.Equal(t, heatCell{"✓ ", "none of 1,000", "up to 0.37 %", "h0 does"}, heatCellOf(cell(0), 0.01))
	assert.Equal(t, "? ", heatCellOf(cell(10), 0.01).Mark)
	assert.Equal(t, "h2", heatCellOf(cell(10), 0.01).Class)
	assert.Empty(t, heatCellOf(cell(400), 0.01).Mark)
	assert.Equal(t, "h5", heatCellOf(cell(400), 0.01).Class)
	assert.Equal(t, "can’t be", heatCellOf(decide.Cell{Problem: "too small"}, 0.01).Chance)
}

// The row of A and the differences from it are of the same draws: a count of the run
// beside a difference of the comparison could be more than there are.
func TestRowAIsOfTheComparison(t *testing.T) {
	seen := stats.PairedDifference{Difference: -0.49, Low: -0.51, High: -0.47}
	v := compared(t, "lower return", sim.Events{}, seen, seen)
	fewer := *v.page.Result
	fewer.Sessions = []sim.SessionResult{sessionOf(60, sim.Events{DrainChoked: 490, Overflow: 60, Fails: 490})}
	v.page.Options.Results[0] = &fewer
	v.Options, v.Further = v.options()
	assert.Equal(t, "49", v.Options[0].BacksUp)
	assert.Equal(t, "6", v.Options[0].Past)
	assert.Equal(t, "49 %", v.Options[0].Chance)
	assert.Equal(t, "49 fewer", v.Options[1].Against.Text)
	assert.Contains(t, v.answer(), "In about 48 of 100", "the answer is of the run")
	assert.Contains(t, v.optionsNote(), "from 1,000 sessions of each, all on the same draws")
	assert.NotContains(t, v.optionsNote(), "the answer above")
	v.page.Result.Realizations = 20_000
	assert.Contains(t, v.optionsNote(), "from 1,000 sessions of each, all on the same draws; the answer above, and whether A meets the limit, from 20,000")
}

// What is sized keeps the limit, no more, and only that of backing up and getting past.
func TestSizeIsForTheLimitAndJudgedByNothingElse(t *testing.T) {
	can := decide.Threshold{Session: 3600, To: 3e-3, Found: true, Value: 1.7e-3, Low: 1.6e-3, High: 1.8e-3, Buy: 2e-3}
	holds := "So that oil gets past in no more than 1 of 100 sessions of 60 min, the can would have to hold 2 L."
	lost := "Sizes are judged by getting past alone: with the layout as it is too much oil is lost in about 20 of 100, beyond the limit, in 60 min."
	v := answering(t, "sealed-can", sessionOf(60, sim.Events{Overflow: 851, OilLost: 203, Fails: 851}))
	v.page.Sizing = &decide.Sizing{Scenario: v.scenario(), Risk: 0.01, Volume: []decide.Threshold{can}}
	assert.Equal(t, []string{holds, lost}, v.sizingRemarks())
	assert.Contains(t, v.thresholds(), lost)
	v.page.Sizing.Risk = 0.0075
	assert.Contains(t, v.sizingRemarks()[0], "in no more than 7.5 of 1,000 sessions")

	v.page.Sizing.Volume[0] = decide.Threshold{Session: 3600, To: 3e-3, Value: math.NaN(), High: math.Inf(1)}
	assert.NotContains(t, v.sizingRemarks(), lost, "there is no size to judge")
	assert.NotContains(t, v.thresholds(), lost)

	v = answering(t, "sealed-can", sessionOf(60, sim.Events{Overflow: 851, OilLost: 1, Fails: 851}))
	v.page.Sizing = &decide.Sizing{Scenario: v.scenario(), Risk: 0.01, Volume: []decide.Threshold{can}}
	assert.Equal(t, []string{holds}, v.sizingRemarks())

	v = answering(t, "sealed-drain", sessionOf(60, sim.Events{DrainChoked: 300, OverPressure: 12, Fails: 300}))
	v.page.Sizing = &decide.Sizing{Scenario: v.scenario(), Risk: 0.01, Volume: []decide.Threshold{can}}
	assert.Contains(t, v.sizingRemarks(), "Sizes are judged by backing up and getting past alone: with the layout as it is "+
		"crankcase pressure goes over its own limit in about 12 of 1,000, which may be beyond the limit, in 60 min.")
	taken := *v.page.Result
	taken.Sessions = []sim.SessionResult{sessionOf(60, sim.Events{OilLost: 100})}
	v.page.Sizing.TakenCan = &taken
	assert.Contains(t, v.sizingRemarks(), "Sizes are judged by backing up and getting past alone: with a can of 2 L too much oil is lost in about 10 of 100, beyond the limit, in 60 min.")
	taken.Sessions = []sim.SessionResult{sessionOf(60, sim.Events{})}
	assert.NotContains(t, strings.Join(v.sizingRemarks(), " "), "Sizes are judged", "with that can it keeps the limit")
}
