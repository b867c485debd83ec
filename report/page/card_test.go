package page

import (
	"bytes"
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/stats"
)

// cardOf runs a scenario for a card.
func cardOf(t testing.TB, s *scenarios.Scenario, realizations int) Card {
	t.Helper()
	dense, err := CardScenario(s)
	require.NoError(t, err)
	m, check := modelled(t, dense)
	res, err := m.Run(context.Background(), sim.Options{Realizations: realizations})
	require.NoError(t, err)
	return Card{Program: "sumpward (test)", Model: m, Result: res, Check: check}
}

// written is the card's HTML.
func written(t testing.TB, c Card) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, WriteCard(&b, c))
	return b.String()
}

// plainText reads HTML with a reader that stops at tags that don't match, and
// returns what is to be read, on one line.
func plainText(t testing.TB, page string) string {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(page))
	d.Strict, d.AutoClose, d.Entity = false, []string{"meta"}, xml.HTMLEntity
	var text []string
	var open []string
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		switch token := token.(type) {
		case xml.StartElement:
			open = append(open, token.Name.Local)
		case xml.EndElement:
			require.NotEmpty(t, open, token.Name.Local)
			require.Equal(t, open[len(open)-1], token.Name.Local)
			open = open[:len(open)-1]
		case xml.CharData:
			if !slices.Contains(open, "style") {
				text = append(text, string(token))
			}
		}
	}
	require.Empty(t, open)
	return strings.Join(strings.Fields(strings.Join(text, " ")), " ")
}

func short(t testing.TB, ready string, changes ...scenarios.Change) *scenarios.Scenario {
	t.Helper()
	return changed(t, ready, append([]scenarios.Change{set("sessions", "[20 min]")}, changes...)...)
}

// Heights are worked out here: 0.45 L in a bore of 120 mm stand 39.8 mm high,
// 80 % of it 31.8 mm, 10 % 4.0 mm; in 75 mm 101.9 mm and 81.5 mm.
func TestCardHoldsWhatItMust(t *testing.T) {
	all := []string{
		"Pit card: the can, for 20 min", "When to look", "When to empty", "What to see", "Stop at once", "Full throttle in hand", "Write down",
		"Oil on the ground", "smoke", "Crankcase pressure above 1 kPa", "lifted dipstick", "oil at seals", "below its minimum",
		"The marshals' word and the series rules come before this card.", "Hot oil and fuel vapour burn", "Oil on the track", "no warranty",
		"Limit of risk 1 %", "simulated sessions of up to 20 min, Sobol' points, seed 1", "sumpward (test)", "our choice",
		"time", "level, mm", "taken out of the can, mL", "put into the engine, mL",
	}
	for name, x := range map[string]struct {
		scenario *scenarios.Scenario
		holds    []string
		not      []string
	}{
		"sealed": {short(t, "sealed-drain"), []string{
			"Example: Larkmoor, car 42, can with a short valved drain", "drains back above the oil, through a valve",
			"below 4 mm (10 %)", "4 mm (10 %) or more after a slow lap", "the drain backs up", "32 mm (80 %) or more", "40 mm (100 %)", "oil goes over to the intake",
			"Backs up or goes over: by ", "Goes over: by ", "until oil stands in the can", "113 cm2",
		}, []string{"emptied once"}},
		"unsealed": {short(t, "lost-circuit"), []string{"no seal", "the drain backs up", "10 mm (10 %)", "81 mm (80 %) or more"}, nil},
		"below":    {short(t, "sealed-drain", set("drain.return", "below_oil"), set("drain.seal", nil), set("drain.valve_opens_at", nil), set("drain.fall", "250 mm"), set("drain.length", "700 mm")), []string{"uncovers the return", "the drain backs up"}, nil},
		"by hand": {short(t, "sealed-can"), []string{
			"Look at the can's level at every stop, before you empty it.", "Empty the can at every stop, at the latest after ", "Goes over, emptied once before: by ",
			"below 81 mm (80 %)", "81 mm (80 %) or more", "102 mm (100 %)", "of full throttle until oil goes over",
		}, []string{"backs up", "after a slow lap", "stands in the can,"}},
		"by hand, often": {short(t, "sealed-can", set("drain.emptied", "every 5 min")), []string{"Empty the can every 5 min, as planned.", "Goes over every 5 min, as planned: by 20 min none of 500"}, nil},
		"by hand, rarely": {short(t, "sealed-can", set("drain.emptied", "every 18 min"), set("carry_over.oil_used", "1 L")), []string{
			"Empty the can more often than every 18 min, as planned: that does not meet the limit.",
		}, nil},
		"to air": {short(t, "sealed-can", set("separator.outlet.to", "air")), []string{"oil goes over into the open"}, nil},
	} {
		n := 500
		if name == "unsealed" || name == "below" || name == "to air" { // words that no chance decides
			n = 100
		}
		page := written(t, cardOf(t, x.scenario, n))
		text := plainText(t, page)
		assert.Contains(t, text, fmt.Sprint(n, " simulated sessions"), name)
		for _, want := range append(all, x.holds...) {
			assert.Contains(t, text, want, name)
		}
		for _, not := range x.not {
			assert.NotContains(t, text, not, name)
		}
		assert.NotRegexp(t, `NaN|Inf|%!|ZgotmplZ`, page, name)
		assert.NotRegexp(t, `[^0-9.]0 %`, text, "%s: a bare 0 %%", name)
		assert.NotRegexp(t, `<script|https?://[^w]|url\(|@import`, page, name)
		assert.Equal(t, blankRows*4, strings.Count(page, "<td></td>"), name)
	}
}

// With every number exact, the lap at full throttle alone and the oil settled,
// the can goes over when full throttle in hand ends: none does by the session
// length before, all do by the next.
func TestCardGivesTheTimeThatIsLeft(t *testing.T) {
	changes := []scenarios.Change{
		set("carry_over", "{full_throttle: 0.25 g/s}"), set("duty", "{lap: [{for: 60 s, load: 100 %}], lap_variation: 0 %}"),
		set("oil.temperature", "{start: 118 C, settled: 118 C}"), set("sessions", "[60 min]"), set("engine.displacement", "2.2 L"),
	}
	s := changed(t, "sealed-can", changes...)
	for _, q := range s.Inputs {
		if !q.IsExact() {
			var err error
			s, err = s.With(set(q.Path, q.Nominal()))
			require.NoError(t, err, q.Path)
		}
	}
	c := cardOf(t, s, 500)
	inHand := c.Check.ToOver
	require.Greater(t, inHand, 600.0)
	require.Less(t, inHand, 3000.0)
	last := math.Floor(inHand/150) * 150 // session lengths are 2.5 min apart
	latest := math.Floor(last/300) * 300
	text := plainText(t, written(t, c))
	assert.Contains(t, text, fmt.Sprintf("at the latest after %.0f min.", latest/60))
	assert.Contains(t, text, fmt.Sprintf("by %s none of 500", c.time(last)))
	assert.Contains(t, text, fmt.Sprintf("by %s all of 500", c.time(last+150)))
}

// What the card says of time follows from the upper ends of the intervals, looked
// up here apart.
func TestCardLooksInTime(t *testing.T) {
	c := cardOf(t, changed(t, "sealed-drain", set("sessions", "[60 min]")), 2000)
	last := 0.0
	for _, s := range c.Result.Sessions {
		if s.Fails.High > 0.01 {
			break
		}
		last = s.Length
	}
	require.Positive(t, last)
	require.Less(t, last, 3600.0)
	every := fmt.Sprintf("%.0f min", math.Floor(last/300)*5)
	assert.Contains(t, plainText(t, written(t, c)), "at the first stop, by "+every+" at the latest, and again every "+every+".")

	c.Result.Sessions = c.Result.Sessions[:1] // 2.5 min: nothing has happened yet
	text := plainText(t, written(t, c))
	assert.Contains(t, text, "It is not expected to back up within this event.")
	assert.Contains(t, text, "Backs up or goes over: by 2.5 min none of 2,000")
}

// A layout that can't do the job is not given a time to look.
func TestCardSaysThatALayoutIsNotFit(t *testing.T) {
	c := cardOf(t, changed(t, "lost-circuit", set("sessions", "[15 min, 60 min]")), 1000)
	c.Shortest = 900
	text := plainText(t, written(t, c))
	const not = "Not fit for this event as it stands."
	require.Contains(t, text, not)
	assert.Less(t, strings.Index(text, not), strings.Index(text, "When to look"), "above the rest")
	last := len(c.Result.Sessions) - 1
	assert.Contains(t, text, not+" Backs up or goes over: "+c.byThen(c.atShortest(), words.Fails)+", "+c.byThen(last, words.Fails)+"; limit 1 %. Change the layout first")

	held := func(high, low float64) Card { // so many per cent from 20 min on
		made := c
		made.Result = &sim.Result{Kind: c.Result.Kind, Scenario: c.Result.Scenario, Realizations: 1000}
		for i := range 24 {
			s := sim.SessionResult{Length: float64(i+1) * 150}
			if s.Length > 1200 {
				s.Fails = stats.Estimate{Probability: (high + low) / 2, High: high, Low: low}
			}
			made.Result.Sessions = append(made.Result.Sessions, s)
		}
		return made
	}
	assert.Nil(t, held(0.3, 0.2).notFit(), "20 min are time enough")
	long := held(0.3, 0.2)
	long.Shortest = 1500
	assert.NotNil(t, long.notFit(), "but not where every session takes 25 min")
	unsure := held(0.3, 0.005)
	unsure.Shortest = 1500
	assert.Nil(t, unsure.notFit(), "can't tell")
	assert.Nil(t, held(0.005, 0).notFit())
}

func TestSpell(t *testing.T) {
	sessions := func(high ...float64) (list []sim.SessionResult) {
		for i, h := range high {
			s := sim.SessionResult{Length: float64(i+1) * 150}
			s.Overflow = stats.Estimate{High: h}
			list = append(list, s)
		}
		return list
	}
	for name, x := range map[string]struct {
		high []float64
		want spell
	}{
		"all of it":         {[]float64{0.001, 0.002, 0.01}, spell{2, true, 420}},
		"up to the second":  {[]float64{0.001, 0.002, 0.011}, spell{1, false, 300}},
		"a dip later on":    {[]float64{0.001, 0.02, 0.005}, spell{0, false, 120}},
		"none":              {[]float64{0.02, 0.03}, spell{-1, false, 0}},
		"nothing is known":  {[]float64{math.NaN()}, spell{-1, false, 0}},
		"five, six minutes": {[]float64{0, 0, 0, 0, 0.1}, spell{3, false, 600}},
	} {
		if name == "all of it" {
			x.want.every = 300 // 450 s
		}
		assert.Equal(t, x.want, spellOf(sessions(x.high...), 0.01, goingOver), name)
	}
}

func TestRoundedDown(t *testing.T) {
	for from, to := range map[float64]float64{3600: 3600, 899.9: 600, 900: 900, 300: 300, 299: 240, 60: 60, 59: 0, 0: 0} {
		assert.Equal(t, to, roundedDown(from), from)
	}
}

func TestCardSessions(t *testing.T) {
	for _, event := range []float64{1, 45, 90, 600, 900, 1500, 3600, 5400, 7200, 7201, 14400, 6 * 3600, 86400, 7 * 86400} {
		list := CardSessions(event)
		assert.InDelta(t, event, list[len(list)-1], 0, event)
		assert.LessOrEqual(t, len(list), mostCardSessions+1, event)
		if event >= 45 {
			assert.GreaterOrEqual(t, len(list), 9, event)
		}
		assert.Positive(t, list[0])
		for i := 1; i < len(list); i++ {
			assert.Greater(t, list[i], list[i-1], event)
		}
		if event >= 1500 {
			assert.LessOrEqual(t, list[0], 300.0, event)
		}
	}
	assert.Len(t, CardSessions(3600), 24)
	assert.InDelta(t, 150, CardSessions(3600)[0], 0)
}

// So many realizations can tell a limit: with no event in any, the upper end of
// the interval (Clopper and Pearson 1934) is at or below it.
func TestCardRealizations(t *testing.T) {
	for _, limit := range []float64{0.0001, 0.0005, 0.001, 0.00137, 0.01, 0.5, 1} {
		n := CardRealizations(limit)
		assert.LessOrEqual(t, stats.ClopperPearson(0, float64(n), sim.Level).High, limit)
		assert.GreaterOrEqual(t, n, 4000)
		assert.LessOrEqual(t, n, 40_000)
	}
	assert.Equal(t, 4000, CardRealizations(0))
	assert.Equal(t, 40_000, CardRealizations(1e-9))
}

// Where the can itself asks to be emptied earlier than our choice, the card says so.
func TestActLevel(t *testing.T) {
	for name, x := range map[string]struct {
		changes []scenarios.Change
		fill    float64
		because string
	}{
		"our choice":    {nil, 0.8, "our choice"},
		"blown out":     {[]scenarios.Change{set("separator.oil_blown_out_from", "60 %"), set("separator.efficiency_when_full", "50 %")}, 0.6, "blown out"},
		"closes":        {[]scenarios.Change{set("separator.gas_path_closes_from", "50 %")}, 0.5, "gas passage"},
		"closes late":   {[]scenarios.Change{set("separator.gas_path_closes_from", "90 %")}, 0.8, "our choice"},
		"below choking": {[]scenarios.Change{set("separator.gas_path_closes_from", "5 %")}, 0.1, "choke level"},
	} {
		m, check := modelled(t, changed(t, "sealed-drain", x.changes...))
		c := Card{Model: m, Check: check, Result: &sim.Result{Kind: check.Kind, Scenario: m.Scenario()}}
		fill, because := c.actLevel()
		assert.InDelta(t, x.fill, fill, 1e-12, name)
		assert.Contains(t, because, x.because, name)
	}
}

func TestGaugeLabelsDoNotOverlap(t *testing.T) {
	at := regexp.MustCompile(`^[0-9.]+$`)
	for _, choke := range []string{"1 %", "10 %", "75 %", "79 %", "95 %"} {
		m, check := modelled(t, changed(t, "sealed-drain", set("limits.choke_level", choke)))
		c := Card{Model: m, Check: check, Result: &sim.Result{Kind: check.Kind, Scenario: m.Scenario()}}
		var y []float64
		for _, e := range parsed(t, string(c.gauge(c.levels()))) {
			if e.name == "text" {
				require.Regexp(t, at, e.attr["y"])
				y = append(y, e.number(t, "y"))
			}
		}
		slices.Sort(y)
		require.GreaterOrEqual(t, len(y), 2, choke)
		for i := 1; i < len(y); i++ {
			assert.GreaterOrEqual(t, y[i]-y[i-1], noteSize*lineHeight, choke)
		}
	}
}

func TestCardEscapesAndRepeats(t *testing.T) {
	c := cardOf(t, short(t, "sealed-can"), 500)
	c.Result.Scenario.Title = `<script>alert("1")</script> & ` + "\x1b[2J\u202e" + `'`
	c.Program = "<b>"
	page := written(t, c)
	assert.NotContains(t, page, "<script")
	assert.NotContains(t, page, "<b>")
	assert.Contains(t, plainText(t, page), `<script>alert("1")</script> & \x1b[2J\u202e'`)
	assert.Equal(t, page, written(t, c))
	c.Units = units.US
	text := plainText(t, written(t, c))
	assert.Contains(t, text, "4.01 in (100 %)") // 101.9 mm
	assert.Contains(t, text, "level, in")
	assert.NotContains(t, text, " mm")
}

func TestCardRefuses(t *testing.T) {
	c := cardOf(t, short(t, "sealed-drain"), 500)
	for name, broken := range map[string]Card{
		"no model":   {Result: c.Result, Check: c.Check},
		"no result":  {Model: c.Model, Check: c.Check},
		"no check":   {Model: c.Model, Result: c.Result},
		"no session": {Model: c.Model, Result: &sim.Result{}, Check: c.Check},
	} {
		var b bytes.Buffer
		require.Error(t, WriteCard(&b, broken), name)
		assert.Zero(t, b.Len(), name)
	}
}
