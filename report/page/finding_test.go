package page

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/report"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim/diagnose"
	"sumpward/sim/learn"
	"sumpward/sim/sensitivity"
	"sumpward/sim/stats"
)

// hostileScenario is the ready-made one with a title and a file that must show as they
// stand.
func hostileScenario(t *testing.T) *scenarios.Scenario {
	t.Helper()
	s, err := scenarios.Ready("sealed-drain")
	require.NoError(t, err)
	s.Title, s.File, s.Example = hostile, hostile, ""
	return s
}

func index(v, half float64) sensitivity.Index {
	return sensitivity.Index{Value: v, Low: v - half, High: v + half, Error: half / 2}
}

// madeShares is a split as it might have come out: two inputs and luck.
func madeShares(t *testing.T) report.Sensitivity {
	s := hostileScenario(t)
	return report.Sensitivity{Result: &sensitivity.Result{
		Scenario: s, Seed: 7, Sampling: "latin-hypercube", Length: 3600, Points: 2250, Realizations: 11_250,
		Drivers: []sensitivity.Driver{{Inputs: []*scenarios.Quantity{s.Input("drain.fall")}}, {Inputs: []*scenarios.Quantity{s.Input("drain.port_pressure")}}, {}},
		Outputs: []sensitivity.OutputResult{{Output: sensitivity.OverflowOrChoked, Events: 1500, Sampled: 4500, Indices: sensitivity.Indices{
			Mean: 1. / 3, Variance: 2. / 9, Alone: index(0.8, 0.06),
			Parts: []sensitivity.Share{{First: index(0.2, 0.04), Total: index(0.3, 0.05)}, {First: index(0.6, 0.04), Total: index(0.7, 0.03)}, {First: index(0, 0.01), Total: index(0.04, 0.02)}},
		}}},
	}}
}

// madeLearned is what might have been learned of the drain's fall.
func madeLearned(t *testing.T) report.Learn {
	s := hostileScenario(t)
	tube := scenarios.Observation{Kind: scenarios.UTube, Value: 0.062, Error: 0.003, Load: 1, Fluid: "oil", Layout: hostile}
	chance := func(p, low, high float64, events int64) learn.Chance {
		return learn.Chance{Estimate: stats.Estimate{Probability: p, Low: low, High: high}, Events: events, Draws: 2000}
	}
	none := chance(0, 0, 0.0055, 0)
	return report.Learn{Learned: &learn.Learned{
		Scenario: s, Seen: &scenarios.Seen{Title: "seen", Observations: []scenarios.Observation{tube}}, Seed: 4, Own: 700,
		Posterior: &learn.Posterior{Draws: &learn.Draws{Weight: make([]float64, 2000)}},
		Inputs: []learn.Input{{Quantity: s.Input("drain.fall"), Before: learn.Spread{P05: 0.03, P50: 0.04, P95: 0.055}, After: learn.Spread{P05: 0.035, P50: 0.05, P95: 0.053},
			Mean: 0.046, Error: 1e-4, Moved: 0.4, Told: true}},
		Readings: []learn.Reading{{Observation: &tube, Before: learn.Spread{P05: 0.03, P50: 0.06, P95: 0.11}, After: learn.Spread{P05: 0.058, P50: 0.0625, P95: 0.067}, Predicted: 0.0625, Residual: -0.2, Chance: math.NaN(), Rare: 0.6}},
		Sessions: []learn.Session{{Length: 1500, Drains: true, Before: [3]learn.Chance{none, chance(0.3, 0.28, 0.32, 600), none}, After: [3]learn.Chance{none, chance(0.1, 0.08, 0.12, 200), none}}},
		Warnings: []string{hostile},
	}}
}

// madeDiagnosis is a diagnosis from a pressure alone, with a fault of a hostile name.
func madeDiagnosis(t *testing.T) report.Diagnose {
	faults := append(diagnose.Faults(), diagnose.Fault{Name: hostile, Words: hostile, Mend: hostile, BaseRate: 500, Source: hostile})
	seen := []scenarios.Observation{{Kind: scenarios.Crankcase, Value: -2500, Error: 100, Load: 1}}
	found, err := diagnose.Diagnose(t.Context(), hostileScenario(t), seen, diagnose.Options{Draws: 100, Faults: faults, Boosted: true})
	require.NoError(t, err)
	return report.Diagnose{Found: found, Seen: &scenarios.Seen{Observations: seen}}
}

func findings(t *testing.T) map[string]string {
	t.Helper()
	made := Made{Program: "sumpward (test)", Command: "it", Units: units.Metric}
	pages := map[string]string{}
	for name, fill := range map[string]func(io.Writer) error{
		"shares":   func(w io.Writer) error { return WriteSensitivity(w, madeShares(t), made) },
		"narrowed": func(w io.Writer) error { return WriteLearned(w, madeLearned(t), made) },
		"chances":  func(w io.Writer) error { return WriteDiagnosis(w, madeDiagnosis(t), made) },
	} {
		var b bytes.Buffer
		require.NoError(t, fill(&b), name)
		pages[name] = b.String()
	}
	return pages
}

func TestFindingsStandAlone(t *testing.T) {
	for name, html := range findings(t) {
		for _, never := range []string{"<script", "src=", "@import", "url(", "ZgotmplZ", "\u202e", "\x1b", "NaN"} {
			assert.NotContains(t, html, never, name)
		}
		assert.NotContains(t, strings.ReplaceAll(html, "http://www.w3.org/2000/svg", ""), "//", "%s: an address", name)
		assert.Contains(t, html, "&lt;script&gt;alert(1)&lt;/script&gt;", name)
		assert.NotRegexp(t, `[^0-9.]0\s%`, strings.ReplaceAll(textOf(html[strings.Index(html, "<h1>"):strings.Index(html, `id="cautions-head"`)]), "0 to", ""), "%s: a bare 0 %%", name)
		ids := map[string]bool{}
		for _, id := range regexp.MustCompile(` id="([^"]*)"`).FindAllStringSubmatch(html, -1) {
			assert.False(t, ids[id[1]], "%s: %s stands twice", name, id[1])
			ids[id[1]] = true
		}
		for _, by := range regexp.MustCompile(`aria-labelledby="([^"]*)"`).FindAllStringSubmatch(html, -1) {
			for id := range strings.FieldsSeq(by[1]) {
				assert.True(t, ids[id], "%s: nothing is called %s", name, id)
			}
		}
		for _, caution := range cautionsBelow() {
			assert.Contains(t, textOf(html), caution, name)
		}
		assert.Regexp(t, `<svg class="chart" role="img"[^>]*><title id="`+name+`-title">[^<]+</title><desc id="`+name+`-desc">[^<]{40,}</desc>`, html)
	}
}

func TestFindingsSayTheAnswerFirst(t *testing.T) {
	pages := findings(t)
	for name, parts := range map[string][]string{
		"shares": {"To pin down first, for overflow or a choked drain within 60 min: pressure at the return port", "The drain's fall (30 .. 55 mm, stated): known exactly, 20 %", "In figures", "70 % 67 to 73",
			"Cautions", "What it rests on", "drain.fall 30 .. 55 mm stated", "The lap", "Method", "seed 7"},
		"narrowed": {"What was seen fits the inputs. It tells most of the drain's fall. A choked drain within 25 min: 30 % before, 10 % after.", "In figures", "none of 2,000 up to 0.5 %", "30 .. 40 .. 55 mm",
			"Cautions", "What it rests on", "Beware:", "seed 4"},
		"chances": {"What was seen fits", "Next: ", "In figures", "How each fault fits", "To mend it", "What to check next", "Cautions", "What it rests on", "Method"},
	} {
		text := textOf(pages[name])
		for _, part := range parts {
			_, rest, found := strings.Cut(text, part)
			require.True(t, found, "%s: %q is missing, or stands too early", name, part)
			text = rest
		}
	}
}

// A bar is as long as its number, its whisker from end to end of the interval, and the
// two bars of a row don't look alike.
func TestBarsAreAsLongAsTheirNumbers(t *testing.T) {
	d := shares(madeShares(t))
	require.Len(t, d.rows, 3)
	html := string(d.svg())
	c := &chart{width: barsWide, left: 6, right: barsRight, x: scale{high: 1}}
	full := c.across(1) - c.across(0)
	for _, want := range []struct {
		class     string
		v, lo, hi float64
	}{{"full", 0.6, 0.56, 0.64}, {"hollow", 0.7, 0.67, 0.73}, {"full", 0.2, 0.16, 0.24}, {"hollow", 0.3, 0.25, 0.35}} {
		assert.Regexp(t, fmt.Sprintf(`<rect class="%s" x="6" y="[0-9.]+" width="%s" height="11"/><path class="halo" d="M%s [0-9.]+H%s"/><path class="whisker"`,
			want.class, regexp.QuoteMeta(coordinate(want.v*full)), regexp.QuoteMeta(coordinate(c.across(want.lo))), regexp.QuoteMeta(coordinate(c.across(want.hi)))), html)
	}
	assert.Contains(t, style, ".chart .full { fill: var(--curve-1);")
	assert.Contains(t, style, ".chart .hollow { fill: none;")
	assert.Contains(t, html, "Pressure at the return port: alone 60\u00a0%, with others 70\u00a0%.")
}

// 30 to 55 mm before, 35 to 53 mm after with its middle at 50: 0.2, 0.92 and 0.8 of the way.
func TestNarrowedRowsLieWhereTheyLay(t *testing.T) {
	rows := narrowed(madeLearned(t)).rows
	require.Len(t, rows, 1)
	before, after := rows[0].upper, rows[0].lower
	for i, pair := range [][2]float64{{before.from, 0}, {before.to, 1}, {*before.middle, 0.4}, {after.from, 0.2}, {after.to, 0.92}, {*after.middle, 0.8}} {
		assert.InDelta(t, pair[1], pair[0], 1e-9, "%d", i)
	}
	assert.Equal(t, "35 .. 50 .. 53 mm", strings.ReplaceAll(after.text, "\u00a0", " "))
}

func TestFitsHaveMarks(t *testing.T) {
	d := chancesOf([]diagnose.Standing{{Fault: &diagnose.Fault{Name: "low point"}, Fit: diagnose.Fits, Chance: 0.7, BaseRate: 0.1, Error: 0.02}, {Fit: diagnose.DoesNotFit, Chance: 1e-5, BaseRate: 0.05}})
	assert.Equal(t, within.Mark()+" Low point: fits", d.rows[0].name)
	assert.Equal(t, beyond.Mark()+" None of these: doesn't fit", d.rows[1].name)
	assert.Equal(t, []float64{0.7, 0.1}, []float64{d.rows[0].upper.to, d.rows[0].lower.to})
	assert.Equal(t, "< 0.1", d.rows[1].upper.text)
	assert.Len(t, map[string]bool{fitMarks[diagnose.Fits]: true, fitMarks[diagnose.CantTell]: true, fitMarks[diagnose.DoesNotFit]: true}, 3)
}

func TestCellsArePartedInFigureAndInterval(t *testing.T) {
	for text, want := range map[string]gridCell{
		"20 %\n16 to 24":     {"20\u00a0%", "16\u00a0to 24"},
		"10 %\n8 .. 12 %":    {"10\u00a0%", "8\u00a0to 12\u00a0%"},
		"31 mm ..\n110 mm":   {Text: "31\u00a0mm .. 110\u00a0mm"},
		"wet in\n9 of 100":   {Text: "wet in 9\u00a0of 100"},
		"2.44 in\n± 0.12 in": {"2.44\u00a0in", "± 0.12\u00a0in"},
		"under\n5.0 %":       {Text: "under 5.0\u00a0%"},
		"-":                  {Text: "-"},
	} {
		assert.Equal(t, want, cellOf(text), text)
	}
}

func TestNothingToldMakesAPage(t *testing.T) {
	r := madeShares(t)
	r.Result.Outputs[0].Telling = sensitivity.TooRare
	var b bytes.Buffer
	require.NoError(t, WriteSensitivity(&b, r, Made{}))
	assert.Contains(t, textOf(b.String()), "Of nothing that this layout comes to within 60 min can be told what drives it.")
	assert.NotContains(t, b.String(), "<svg")
	assert.Error(t, WriteSensitivity(&b, report.Sensitivity{}, Made{}))
	assert.Error(t, WriteLearned(&b, report.Learn{}, Made{}))
	assert.Error(t, WriteDiagnosis(&b, report.Diagnose{}, Made{}))
}
