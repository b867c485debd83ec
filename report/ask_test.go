package report

import (
	"bytes"
	"context"
	"regexp"
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

// askedOf is an answer about a ready-made scenario, run for a moment, with what it
// depends on made up.
func askedOf(t *testing.T, name string, d decide.Dependence) Ask {
	t.Helper()
	s, err := scenarios.Ready(name)
	require.NoError(t, err)
	res, err := sim.Run(context.Background(), s, sim.Options{Realizations: 500})
	require.NoError(t, err)
	d.Question = decide.Question{Event: sim.OverflowOrChoked, Session: AskSession(res), Limit: 0.01}
	d.Scenario, d.Length = s, res.Sessions[AskSession(res)].Length
	return Ask{Result: res, Dependence: &d}
}

func chanceOf(p, low, high float64) stats.Estimate {
	return stats.Estimate{Probability: p, Low: low, High: high}
}

func textOf(t *testing.T, r Ask) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Write(&b, r, Text))
	for line := range strings.Lines(b.String()) {
		assert.LessOrEqual(t, columns(strings.TrimRight(line, "\n")), Width, line)
	}
	assert.NotRegexp(t, regexp.MustCompile(`(?m)(^|[ (])0(\.0+)? %`), b.String(), "a bare 0 %%")
	return b.String()
}

// oneLine takes the line ends out.
func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }

func moved(s *scenarios.Scenario, path string, from, to stats.Estimate) decide.InputDependence {
	q := s.Input(path)
	low, high := q.Distribution.Range()
	return decide.InputDependence{Input: q, From: low, To: high, AtFrom: from, AtTo: to}
}

var (
	none = chanceOf(0, 0, 0.0037)
	some = chanceOf(0.05, 0.04, 0.06)
	most = chanceOf(0.6, 0.57, 0.63)
)

// What isn't known comes first, before anything that was drawn.
func TestAskPutsTheBandFirst(t *testing.T) {
	r := askedOf(t, "sealed-drain", decide.Dependence{Chance: some, Low: none, High: most})
	r.Dependence.Inputs = []decide.InputDependence{moved(r.Dependence.Scenario, "drain.fall", most, none)}
	r.Unread = "oil used on the road says little of a session"
	text := oneLine(textOf(t, r))
	carry := strings.Index(text, "Depends on carry-over on track: oil used on the road says little of a session.")
	band := strings.Index(text, "Depending on what is not known, the can overflows or its drain backs up in fewer than 4 of 1,000 to 60 of 100")
	depends := strings.Index(text, "So whether it keeps the limit of 1 % depends on that.")
	drawn := strings.Index(text, "With all of it drawn at random")
	assert.True(t, 0 <= carry && carry < band && band < depends && depends < drawn, text)
}

func TestAskJudgesTheBand(t *testing.T) {
	for want, ends := range map[string][2]stats.Estimate{
		"That keeps the limit of 1 %.":                            {none, none},
		"None of that keeps the limit of 1 %: change the layout.": {some, most},
		"So whether it keeps the limit of 1 % depends on that.":   {none, some},
		"That is too close to the limit of 1 % to tell.":          {none, chanceOf(0.011, 0.008, 0.014)},
	} {
		r := askedOf(t, "sealed-drain", decide.Dependence{Chance: ends[0], Low: ends[0], High: ends[1]})
		r.Dependence.Inputs = []decide.InputDependence{moved(r.Dependence.Scenario, "drain.fall", ends[0], ends[1])}
		assert.Contains(t, oneLine(textOf(t, r)), want)
	}
}

// Where nothing was seen to move the chance, its ends are not claimed to be known.
func TestAskClaimsNoEndsItHasNotSeen(t *testing.T) {
	r := askedOf(t, "sealed-drain", decide.Dependence{Chance: some, Low: some, High: some})
	fall := moved(r.Dependence.Scenario, "drain.fall", none, most)
	fall.Tenths = true
	r.Dependence.Inputs = []decide.InputDependence{fall}
	text := oneLine(textOf(t, r))
	assert.Contains(t, text, "in 5 of 100 simulated 15 min sessions; nothing that is not known is seen to move that by itself. That breaks the limit of 1 %")
	assert.NotContains(t, text, "None of that")
}

// What no range stands for widens the band, is named, and is what to find out first
// where it decides.
func TestAskSaysWhatElseItCouldBe(t *testing.T) {
	r := askedOf(t, "sealed-drain", decide.Dependence{Chance: none, Low: none, High: none})
	length := r.Dependence.Length
	r.Others = []AskOther{
		{Question: "engine", Name: "V6", Instead: "V8", Fails: none, Length: length},
		{Question: "engine", Name: "flat four turbo", Instead: "V8", Fails: most, Length: length},
		{Question: "return", Name: "by hand", Instead: "valve", Fails: none, Length: length},
	}
	text := oneLine(textOf(t, r))
	assert.Contains(t, text, "fewer than 4 of 1,000 to 60 of 100")
	assert.Contains(t, text, "the engine, V8 .. flat four turbo")
	assert.NotContains(t, text, "by hand", "makes no difference")
	assert.Contains(t, text, "Find out first: which engine it is")
}

// What tips comes before what only moves more; each has its own test.
func TestAskFindsOutFirst(t *testing.T) {
	r := askedOf(t, "sealed-drain", decide.Dependence{Chance: some, Low: none, High: most})
	s := r.Dependence.Scenario
	fall := moved(s, "drain.fall", most, some)
	text, _ := r.FindOut()
	assert.Empty(t, text, "nothing moves it")

	r.Dependence.Inputs = []decide.InputDependence{fall}
	text, test := r.FindOut()
	assert.Contains(t, text, "the drain's fall. Tape the fall from the can to the return")
	assert.Equal(t, "tape", test)

	oil := moved(s, "carry_over.oil_used", none, some)
	oil.Tips, oil.Tipping = true, decide.TippingValue{Value: 2e-4, Low: 1.5e-4, High: 2.5e-4, KeptBelow: true}
	r.Dependence.Inputs = []decide.InputDependence{fall, oil}
	_, test = r.FindOut()
	assert.Equal(t, "weigh", test)
	text = oneLine(textOf(t, r))
	assert.Contains(t, text, "below 0.15 .. 0.25 L")
	assert.Less(t, strings.Index(text, "oil used,"), strings.Index(text, "the drain's fall,"), "what tips stands first")
}

// What no shop test reads is passed over.
func TestAskFindsOutWhatCanBeRead(t *testing.T) {
	r := askedOf(t, "sealed-drain", decide.Dependence{Chance: some, Low: none, High: most})
	s := r.Dependence.Scenario
	r.Dependence.Inputs = []decide.InputDependence{moved(s, "oil.aeration_in_hose", none, most), moved(s, "drain.fall", most, some)}
	text, test := r.FindOut()
	assert.Contains(t, text, "the drain's fall. Tape")
	assert.Equal(t, "tape", test)
}

// Crankcase pressure is what to read where that alone breaks the limit.
func TestAskLooksAtPressure(t *testing.T) {
	s, err := scenarios.Ready("sealed-can")
	require.NoError(t, err)
	s, err = s.With(scenarios.Change{Path: "limits.crankcase_pressure", Value: "1 Pa"}, scenarios.Change{Path: "separator.outlet.to", Value: "air"})
	require.NoError(t, err)
	res, err := sim.Run(context.Background(), s, sim.Options{Realizations: 500})
	require.NoError(t, err)
	r := Ask{Result: res, Dependence: &decide.Dependence{Scenario: s, Low: none, High: none, Chance: none, Question: decide.Question{Limit: 0.01}}}
	text, _ := r.FindOut()
	assert.Contains(t, text, "crankcase pressure. ")
	assert.Contains(t, oneLine(textOf(t, r)), "crankcase pressure goes over its limit in all of 500, too many")
}

// The size of a can is said with what sampling leaves; where none does, why.
func TestAskSizes(t *testing.T) {
	r := askedOf(t, "sealed-drain", decide.Dependence{Chance: none, Low: none, High: none})
	z := &decide.Sizing{
		Scenario: r.Result.Scenario, Kind: sim.Sealed, Risk: 0.01, Sessions: []float64{1800}, LargestCan: r.Result,
		Volume: []decide.Threshold{{Session: 1800, To: 3e-3, Found: true, Value: 0.732e-3, Low: 0.5e-3, High: 1.09e-3, Buy: 1.1e-3}},
	}
	r.Sizing = z
	assert.Contains(t, oneLine(textOf(t, r)), "The smallest can that keeps it, all of that drawn at random: 1.1 L (0.732 L, rounded up; sampling leaves 0.5 .. 1.09 L).")
	z.Volume[0].Found = false
	assert.Contains(t, oneLine(textOf(t, r)), "No can of up to 3 L meets the limit of 1 of 100")
}

// Without a dependence (a run that was cut short) what was drawn is still said.
func TestAskWithoutDependence(t *testing.T) {
	r := askedOf(t, "sealed-can", decide.Dependence{})
	r.Dependence = nil
	text := oneLine(textOf(t, r))
	assert.Contains(t, text, "With all of it drawn at random, 20 min sessions")
	assert.NotContains(t, text, "its drain", "it has none")
}

func TestAskForProgramsIsRun(t *testing.T) {
	r := askedOf(t, "sealed-drain", decide.Dependence{Chance: some, Low: none, High: most})
	var ask, run bytes.Buffer
	require.NoError(t, Write(&ask, r, JSON))
	require.NoError(t, Write(&run, Run{Result: r.Result, Dependence: r.Dependence, Units: units.Metric}, JSON))
	assert.Equal(t, run.String(), ask.String())
}
