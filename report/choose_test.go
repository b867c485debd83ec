package report

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
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

// hostile is a shelf whose texts steer terminals, tables and spreadsheets.
const hostile = `shelf: 1
title: "<script>alert(1)</script> | \u001b[31m"
cans:
  - {name: "=cmd|x", outer_size: {diameter: 120 mm, height: 160 mm}, usable_volume: 0.5 L, diameter: 110 mm, drain_bore: 12.7 mm, seal: valve, mass: 640 g, price: 99 EUR}
  - {name: "*jar*", outer_size: {diameter: 90 mm, height: 160 mm}, usable_volume: 0.8 L, diameter: 85 mm}
places:
  - {name: "@tray", largest_size: {length: 200 mm, width: 120 mm, height: 200 mm}, emptied_by_hand: true, returns: [{name: "-block", return: above_oil, fall: 200 mm}]}
  - {name: low, largest_size: {length: 100 mm, width: 120 mm, height: 150 mm}, emptied_by_hand: true}
`

func chosen(t *testing.T, shelf string) Choose {
	t.Helper()
	s, err := scenarios.Ready(scenarios.DefaultReady)
	require.NoError(t, err)
	s, err = s.With(scenarios.Change{Path: "sessions", Value: "[5 min, 10 min]"})
	require.NoError(t, err)
	sh, err := scenarios.ParseShelf("shelf.yaml", []byte(shelf))
	require.NoError(t, err)
	c, err := decide.Choose(context.Background(), s, sh, sim.Options{Realizations: 500})
	require.NoError(t, err)
	return Choose{Choice: c}
}

// What a shelf says stays text, in every format.
func TestChooseKeepsTextsOfAShelfAsText(t *testing.T) {
	r := chosen(t, hostile)
	var text, markdown, sheet bytes.Buffer
	require.NoError(t, Write(&text, r, Text))
	require.NoError(t, Write(&markdown, r, Markdown))
	require.NoError(t, Write(&sheet, r, CSV))
	assert.NotContains(t, text.String(), "\x1b")
	for line := range strings.Lines(text.String()) {
		assert.LessOrEqual(t, columns(strings.TrimRight(line, "\n")), Width, line)
	}
	assert.NotContains(t, markdown.String(), "<script>")
	assert.Contains(t, markdown.String(), `\*jar\*`)
	rows, err := csv.NewReader(&sheet).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 1+5)
	assert.Equal(t, []string{"'=cmd|x", "'@tray", "'-block", "true"}, rows[1][:4])
	for _, row := range rows {
		assert.Len(t, row, len(rows[0]))
	}
	assert.Equal(t, []string{"'=cmd|x", "low", "", "false"}, rows[4][:4])
	assert.Contains(t, text.String(), "=cmd|x (10 mm too high, 20 mm too long)")
}

// The JSON says what the choice holds.
func TestChooseJSON(t *testing.T) {
	r := chosen(t, hostile)
	var b bytes.Buffer
	require.NoError(t, r.WriteJSON(&b))
	var out chooseJSON
	require.NoError(t, json.Unmarshal(b.Bytes(), &out))
	assert.Equal(t, "sumpward/choose", out.Format)
	assert.Equal(t, 500, out.Realizations)
	require.Len(t, out.Options, len(r.Choice.Options))
	for i, o := range r.Choice.Options {
		got := out.Options[i]
		assert.Equal(t, o.Can, got.Can)
		assert.Equal(t, o.Fits, got.TooLarge == nil)
		assert.Equal(t, o.Standing, got.Standing)
		if o.Result != nil {
			assert.InDelta(t, o.Result.Sessions[1].Fails.Probability, float64(got.Sessions[1].Fails.Probability), 1e-12)
		}
	}
	require.NotNil(t, out.Picks.Smallest)
	assert.Equal(t, r.Choice.Smallest, *out.Picks.Smallest)
	assert.NotEmpty(t, out.Kept)
	assert.NotEmpty(t, out.References)
	assert.Len(t, out.Cautions, 1+len(Cautions))
}

// How often a can must be emptied, in words.
func TestEmptiedEvery(t *testing.T) {
	for want, e := range map[string]decide.Emptying{
		"after every session":                            {Does: true, Sessions: 1},
		"after every second session":                     {Does: true, Sessions: 2},
		"after every third session, perhaps more rarely": {Does: true, Sessions: 3, Untold: true},
		"after every eighth session or more rarely":      {Does: true, Sessions: 8, Most: true},
		"after every 25 min":                             {Does: true, Every: 1500},
		"can't tell":                                     {Untold: true},
		"no: too often":                                  {},
	} {
		assert.Equal(t, want, EmptiedEvery(&decide.Option{Emptying: &e}, units.Metric))
	}
	assert.Equal(t, "no way", EmptiedEvery(&decide.Option{Problem: "no way"}, units.Metric))
	assert.Empty(t, EmptiedEvery(&decide.Option{}, units.Metric))
}

// Of a can that is emptied by hand, what can't be told is not called too often, and
// what else is there has its interval.
func TestSealedCansThatCanNotBeTold(t *testing.T) {
	s := ready(t, "sealed-can")
	r := Choose{Choice: &decide.Choice{Scenario: s, Risk: 0.01, Sessions: []float64{900}}}
	breaks, unsure := stats.Estimate{Probability: 0.3, Low: 0.28, High: 0.32}, stats.Estimate{Probability: 0.01, Low: 0.005, High: 0.02}
	option := func(can string, pressure, lost stats.Estimate, e decide.Emptying) decide.Option {
		res := made(t, sim.NoDrain, 1000, sim.Events{OverPressure: int64(1000 * pressure.Probability), OilLost: int64(1000 * lost.Probability)})
		res.Sessions[0].OverPressure, res.Sessions[0].OilLost = pressure, lost
		return decide.Option{Can: can, Fits: true, Return: decide.ByHandName, Result: res, Emptying: &e}
	}
	both := option("jar", unsure, breaks, decide.Emptying{Does: true, Sessions: 1, Else: decide.Breaks})
	assert.Equal(t, "over-pressure 1.0 % (0.5 .. 2.0 %), can't tell, oil lost 30 % (28 .. 32 %)", r.lost(&both))
	r.Choice.Options = []decide.Option{both}
	text := r.sealedVerdict()
	assert.Contains(t, text, "would not do in sessions of 15 min")
	assert.NotContains(t, text, "crankcase pressure", "that can't be told")
	r.Choice.Options = append(r.Choice.Options, option("box", unsure, stats.Estimate{}, decide.Emptying{Does: true, Sessions: 2, Else: decide.Untold}))
	text = r.sealedVerdict()
	assert.Contains(t, text, "these realizations can't tell: perhaps crankcase pressure goes over")
	assert.NotContains(t, text, "would not do")
	assert.NotContains(t, text, "jar")
	r.Choice.Options = []decide.Option{option("box", stats.Estimate{}, stats.Estimate{}, decide.Emptying{Untold: true})}
	text = r.sealedVerdict()
	assert.Equal(t, "Whether a can without a drain would do in sessions of 15 min, if emptied often enough, these realizations can't tell.", text)
	r.Choice.Options[0].Emptying.Untold = false
	assert.Contains(t, r.sealedVerdict(), "would not do")
}

// What keeps an option from the limit is named, backing up apart from getting past.
func TestOutcomeTellsBackingUpFromGettingPast(t *testing.T) {
	r := Choose{Choice: &decide.Choice{Risk: 0.01, Sessions: []float64{600}}}
	much, none, some := stats.Estimate{Probability: 0.3, Low: 0.2, High: 0.4}, stats.Estimate{High: 0.001}, stats.Estimate{Probability: 0.01, Low: 0.005, High: 0.02}
	for _, x := range []struct {
		want                          string
		standing                      decide.Standing
		over, choked, pressure, losts stats.Estimate
	}{
		{"meets it", decide.Meets, none, none, none, none},
		{"can't tell", decide.Untold, some, none, none, none},
		{"backs up", decide.Breaks, none, much, none, none},
		{"gets past", decide.Breaks, much, some, none, none},
		{"backs up, gets past, over-pressure, oil lost", decide.Breaks, much, much, much, much},
		{"backs up or gets past", decide.Breaks, some, some, none, none},
	} {
		res := &sim.Result{Kind: sim.Sealed, Realizations: 100, Sessions: []sim.SessionResult{{Length: 600, Overflow: x.over, DrainChoked: x.choked, OverPressure: x.pressure, OilLost: x.losts, Fails: much}}}
		assert.Equal(t, x.want, r.outcome(&decide.Option{Result: res, Standing: x.standing}))
	}
}
