package scenarios

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios/internal/bounded"
)

// everythingSeen has one of each kind.
const everythingSeen = `seen: 1
title: Larkmoor, car 42, after the first day
observations:
  - {drained: 120 mL, after: 25 min, error: 5 mL, session: third, note: oil warm}
  - {weighed: 95 g, after: 25 min, error: 5 g, density: 860 kg/m3}
  - {topped_up: 0.2 L, over: [25 min, 25 min, 10 min]}
  - {crankcase: 0.6 +- 0.1 kPa, layout: as it was}
  - {u_tube: 64 mm, load: 90 %, fluid: water, error: 5 %}
  - {vent_hose: wet, after: 25 min, session: third, shows_from: 2 mL x/ 2, error: 10 %}
  - {poured: 300 mL, took: 9 s, at: 20 C, error: 0.5 s}
  - {overflowed: no, after: 25 min, session: third}
`

// TestWrongSeen compares the messages about wrong files of what was seen with the
// expected ones beside them.
func TestWrongSeen(t *testing.T) {
	files, err := filepath.Glob("testdata/seen/wrong-*.yaml")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 10)
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		seen, err := ParseSeen(filepath.Base(file), data)
		require.Error(t, err, file)
		assert.Nil(t, seen)
		assert.IsType(t, Problems{}, err)
		asExpected(t, file, err)
	}
}

// TestWrongEntries compares the messages about single entries.
func TestWrongEntries(t *testing.T) {
	const kinds = "drained, weighed, topped_up, crankcase, u_tube, vent_hose, poured, overflowed"
	for entry, want := range map[string]string{
		"after: 25 min":                                    "observations.1: missing: what was seen (one of " + kinds + ")\n  write: drained: 120 mL",
		"drained: 1 mL, vent_hose: wet":                    "observations.1: an entry holds one thing that was seen (got drained and vent_hose)\n  write an entry for each; of the same session: session: first stint",
		"draned: 120 mL, after: 25 min":                    "observations.1.draned: unknown field\n  did you mean drained?",
		"drained: 120 mL":                                  "observations.1.after: missing: the length of the session after which it was seen\n  write: after: 25 min",
		"drained: 120, after: 25 min":                      `observations.1.drained: unit is missing (got "120", wanted a volume in L, mL, cc, cm3, m3, US qt, imp qt, US gal, imp gal, US fl oz, imp fl oz or in3)` + "\n  write: drained: 120 mL",
		"drained: 120 g, after: 25 min":                    `observations.1.drained: g is a mass, a volume is wanted (got "120 g", wanted a volume in L, mL, cc, cm3, m3, US qt, imp qt, US gal, imp gal, US fl oz, imp fl oz or in3)` + "\n  write: drained: 120 mL",
		"drained: -1 mL, after: 25 min":                    "observations.1.drained: outside what is possible (got -1 mL, allowed 0 mL to 30 L)\n  write: drained: 1 mL",
		"drained: 1 .. 2 mL, after: 25 min":                "observations.1.drained: a reading is a value, and may have its error behind it (got 1 .. 2 mL)\n  write: drained: 120 mL",
		"drained: -9 +- 9 mL, after: 25 min":               "observations.1.drained: outside what is possible (got -9 +- 9 mL, allowed 0 mL to 30 L)\n  write: drained: 120 mL",
		"drained: 1 mL, after: 25 min, error: 0 mL":        "observations.1.error: no reading is without an error (got 0 mL)\n  write: error: 5 mL",
		"drained: 1 mL, after: 25 min, error: 0":           "observations.1.error: no reading is without an error (got 0)\n  write: error: 5 mL",
		"drained: 1 mL, after: 25 min, error: -5 mL":       "observations.1.error: outside what is possible (got -5 mL, allowed more than 0 to 30 L)\n  write: error: 5 mL",
		"drained: 1 mL, after: 25 min, error: 5 g":         `observations.1.error: g is a mass, a volume is wanted (got "5 g", wanted a volume in L, mL, cc, cm3, m3, US qt, imp qt, US gal, imp gal, US fl oz, imp fl oz or in3)` + "\n  write: error: 5 mL",
		"drained: 1 mL, after: 25 min, error: 1 .. 2 mL":   "observations.1.error: an exact value is wanted here (got 1 .. 2 mL)\n  write: error: 5 mL",
		"drained: 0 mL, after: 25 min, error: 10 %":        "observations.1.error: a share of nothing is no error (got 10 %)\n  write: error: 5 mL",
		"drained: 9 +- 1 mL, after: 25 min, error: 1 mL":   "observations.1.error: not together with observations.1.drained: the value has its own\n  leave one of the two out",
		"drained: 1 mL, after: 20 .. 25 min":               "observations.1.after: an exact value is wanted here (got 20 .. 25 min)\n  write: after: 25 min",
		"drained: 1 mL, after: 0 s":                        "observations.1.after: outside what is possible (got 0 s, allowed 1 s to 100 h)\n  write: after: 25 min",
		"topped_up: 0.2 L":                                 "observations.1.over: missing: the sessions over which it went missing\n  write: over: [25 min, 25 min]",
		"topped_up: 0.2 L, over: [25]":                     `observations.1.over: unit is missing (got "25", wanted a time in s, ms, min or h)` + "\n  write: over: [25 min, 25 min]",
		"topped_up: 0.2 L, over: 25 min, after: 25 min":    "observations.1.after: not together with observations.1.over: after is one session, over a list of them\n  leave one of the two out",
		"vent_hose: damp, after: 25 min":                   "observations.1.vent_hose: not one of the choices (got damp, allowed wet, dry)\n  write: vent_hose: wet",
		"vent_hose: wet, after: 25 min, error: 5 mL":       "observations.1.error: mL is a volume, a fraction is wanted (got \"5 mL\", wanted a bare number up to 1, or %)\n  write: error: 5 %",
		"vent_hose: wet, after: 25 min, error: 60 %":       "observations.1.error: outside what is possible (got 60 %, allowed more than 0 to 45 %)\n  write: error: 5 %",
		"vent_hose: wet, after: 25 min, shows_from: 3 mL":  "observations.1.shows_from: a median and a geometric standard deviation are wanted here (got 3 mL)\n  write: shows_from: 3 mL x/ 3",
		"overflowed: true, after: 25 min":                  "observations.1.overflowed: not one of the choices (got true, allowed yes, no)\n  write: overflowed: yes",
		"poured: 300 mL, at: 20 C":                         "observations.1.took: missing: what was read\n  write: took: 9 s",
		"poured: 300 mL, took: 9 s":                        "observations.1.at: missing: the oil's temperature decides how thick it is\n  write: at: 20 C",
		"poured: 300 mL, took: 9 s, at: 20 C, error: 40 m": `observations.1.error: m is a length, a time is wanted (got "40 m", wanted a time in s, ms, min or h)` + "\n  write: error: 1 s",
		"u_tube: 64 mm, fluid: mercury":                    "observations.1.fluid: not one of the choices (got mercury, allowed oil, water)\n  write: fluid: oil",
		"crankcase: 0.6 kPa, load: 120 %":                  "observations.1.load: outside what is possible (got 120 %, allowed 0 % to 100 %)\n  write: load: 100 %",
		"crankcase: 0.6 kPa, pull: 1":                      "observations.1.pull: unknown field\n  known here: " + strings.Replace(kinds, "overflowed", "overflowed, after, over, error, layout, session, note, load, fluid, density, shows_from, took, at", 1),
	} {
		seen, err := ParseSeen("test.yaml", []byte("seen: 1\nobservations:\n  - {"+entry+"}\n"))
		assert.Nil(t, seen, entry)
		assert.EqualError(t, err, "test.yaml:3: "+want, entry)
	}
}

// TestSeen reads one of each kind, in SI.
func TestSeen(t *testing.T) {
	seen, err := ParseSeen("test.yaml", []byte(everythingSeen))
	require.NoError(t, err)
	require.Len(t, seen.Observations, 8)
	o := seen.Observations
	same := func(want, got Observation) {
		t.Helper()
		assert.InDelta(t, want.Value, got.Value, 1e-9*(1e-9+want.Value))
		assert.InDelta(t, want.Error, got.Error, 1e-9*want.Error)
		assert.InDelta(t, want.Temperature, got.Temperature, 1e-9)
		assert.InDelta(t, want.Volume, got.Volume, 1e-12)
		assert.InDelta(t, want.ShowsFrom, got.ShowsFrom, 1e-15)
		want.Value, want.Error, want.Temperature, want.Volume, want.ShowsFrom = got.Value, got.Error, got.Temperature, got.Volume, got.ShowsFrom
		assert.Equal(t, want, got)
	}
	same(Observation{Kind: Drained, Line: 4, Text: "drained: 120 mL, after: 25 min, error: 5 mL, session: third, note: oil warm",
		Note: "oil warm", Value: 120e-6, Error: 5e-6, Over: []float64{1500}, Session: "third"}, o[0])
	same(Observation{Kind: Drained, Line: 5, Text: "weighed: 95 g, after: 25 min, error: 5 g, density: 860 kg/m3",
		Value: 0.095 / 860, Error: 0.005 / 860, Over: []float64{1500}}, o[1])
	same(Observation{Kind: ToppedUp, Line: 6, Text: "topped_up: 0.2 L, over: [25 min, 25 min, 10 min]",
		Value: 0.2e-3, Error: 0.1e-3, Over: []float64{1500, 1500, 600}}, o[2])
	same(Observation{Kind: Crankcase, Line: 7, Text: "crankcase: 0.6 +- 0.1 kPa, layout: as it was",
		Layout: "as it was", Value: 600, Error: 100, Load: 1}, o[3])
	same(Observation{Kind: UTube, Line: 8, Text: "u_tube: 64 mm, load: 90 %, fluid: water, error: 5 %",
		Value: 0.064, Error: 0.0032, Load: 0.9, Fluid: "water"}, o[4])
	same(Observation{Kind: VentHose, Line: 9, Text: "vent_hose: wet, after: 25 min, session: third, shows_from: 2 mL x/ 2, error: 10 %",
		Value: 1, Error: 0.1, Over: []float64{1500}, Session: "third", ShowsFrom: 2e-6, ShowsSpread: 2}, o[5])
	same(Observation{Kind: Poured, Line: 10, Text: "poured: 300 mL, took: 9 s, at: 20 C, error: 0.5 s",
		Value: 9, Error: 0.5, Volume: 300e-6, Temperature: 293.15}, o[6])
	same(Observation{Kind: Overflew, Line: 11, Text: "overflowed: no, after: 25 min, session: third",
		Error: 0.02, Over: []float64{1500}, Session: "third"}, o[7])
	assert.True(t, o[7].Whether())
	assert.Equal(t, []Rule{
		{"observations.3.error", "0.1 L", "what a dipstick tells; prior, no published source"},
		{"observations.4.load", "100 %", byDesign},
		{"observations.8.error", "2 %", prior},
	}, seen.Rules)
	assert.Empty(t, seen.Warnings)
	assert.Len(t, seen.SHA256, 64)
}

// TestErrorsOfReadings states what stands for an error that was left out.
func TestErrorsOfReadings(t *testing.T) {
	for entry, want := range map[string]struct {
		sd         float64
		text, from string
	}{
		"drained: 200 mL, after: 9 min":           {30e-6, "30 mL", "15 % of the reading, 5 mL at the least: "},
		"drained: 10 mL, after: 9 min":            {5e-6, "5 mL", "15 % of the reading, 5 mL at the least: "},
		"weighed: 100 g, after: 9 min":            {0.015 / 870, "15 g", "15 % of the reading, 5 g at the least: "},
		"topped_up: 1 L, after: 9 min":            {1e-4, "0.1 L", "what a dipstick tells; "},
		"crankcase: 1 kPa":                        {100, "100 Pa", "a gauge's, "},
		"u_tube: 64 mm":                           {3e-3, "3 mm", "30 Pa in water, 26 Pa in oil; "},
		"vent_hose: dry, after: 9 min":            {0.05, "5 %", prior},
		"overflowed: yes, after: 9 min":           {0.02, "2 %", prior},
		"poured: 0.2 L, took: 9 s, at: 20 C":      {1, "1 s", "5 % of the reading, 1 s at the least: "},
		"poured: 0.2 L, took: 1 min, at: 20 C":    {3, "3 s", "5 % of the reading, 1 s at the least: "},
		"poured: 0.2 L, took: 9 +- 2 s, at: 20 C": {2, "", ""},
	} {
		seen, err := ParseSeen("test.yaml", []byte("seen: 1\nobservations:\n  - {"+entry+"}\n"))
		require.NoError(t, err, entry)
		assert.InEpsilon(t, want.sd, seen.Observations[0].Error, 1e-9, entry)
		told := Rule{}
		for _, r := range seen.Rules {
			if r.Path == "observations.1.error" {
				told = r
			}
		}
		assert.Equal(t, want.text, told.Text, entry)
		assert.True(t, strings.HasPrefix(told.Source, want.from), "%s: %s", entry, told.Source)
	}
}

// TestNotUsedSeen warns of what a kind has no use for, and of nothing else.
func TestNotUsedSeen(t *testing.T) {
	seen, err := ParseSeen("test.yaml", []byte("seen: 1\nobservations:\n  - {drained: 5 +- 5 mL, after: 25 min, load: 100 %}\n  - {crankcase: 1 kPa, after: 25 min}\n"))
	require.NoError(t, err)
	assert.Equal(t, []Warning{{3, "observations.1.load", "not used: drained has none"}, {4, "observations.2.after", "not used: crankcase has none"}}, seen.Warnings)
}

// TestTooManySeen refuses more than can be told apart.
func TestTooManySeen(t *testing.T) {
	const one = "  - {crankcase: 1 kPa}\n"
	_, err := ParseSeen("test.yaml", []byte("seen: 1\nobservations:\n"+strings.Repeat(one, 200)))
	assert.NoError(t, err)
	_, err = ParseSeen("test.yaml", []byte("seen: 1\nobservations:\n"+strings.Repeat(one, 201)))
	assert.EqualError(t, err, "test.yaml:2: observations: too many (got 201, allowed 1 to 200)\n  part the file: fewer of them each")
}

// TestSeenOf looks for the layouts among the variants.
func TestSeenOf(t *testing.T) {
	seen, err := ParseSeen("test.yaml", []byte(everythingSeen))
	require.NoError(t, err)
	assert.EqualError(t, seen.Of(parsed(t, least)), "test.yaml:7: observations.4.layout: not a variant of the scenario (got as it was)\n  leave it out: the scenario has no variants")
	assert.EqualError(t, seen.Of(parsed(t, least+"variants: {as it Was: {drain.fall: 1 m}, other: {drain.fall: 2 m}}")),
		"test.yaml:7: observations.4.layout: not a variant of the scenario (got as it was)\n  did you mean as it Was?")
	assert.NoError(t, seen.Of(parsed(t, least+"variants: {as it was: {drain.fall: 1 m}}")))
}

// TestReadySeen goes with the default scenario.
func TestReadySeen(t *testing.T) {
	seen, err := ReadySeen()
	require.NoError(t, err)
	s, err := Ready(DefaultReady)
	require.NoError(t, err)
	assert.NoError(t, seen.Of(s))
	assert.GreaterOrEqual(t, len(seen.Observations), 4)
	assert.Empty(t, seen.Warnings)
	assert.Equal(t, ReadySeenName, seen.Example)
	assert.NotContains(t, ReadyNames(), ReadySeenName)
}

// FuzzSeen feeds any bytes: ParseSeen returns readings with errors, or problems,
// and never panics.
func FuzzSeen(f *testing.F) {
	f.Add([]byte(everythingSeen))
	f.Add(ReadySeenSource())
	f.Fuzz(func(t *testing.T, data []byte) {
		var seen *Seen
		var err error
		bounded.Do(t, func() { seen, err = ParseSeen("fuzz.yaml", data) })
		if err != nil {
			checkProblems(t, err, data)
			return
		}
		if len(seen.Observations) == 0 {
			t.Fatal("nothing was seen")
		}
		for _, o := range seen.Observations {
			if !(o.Error > 0) || o.Whether() && (o.Error >= 0.5 || o.Value*(1-o.Value) != 0) || o.Kind == VentHose && !(o.ShowsSpread > 1 && o.ShowsFrom > 0) {
				t.Fatalf("%+v", o)
			}
		}
	})
}
