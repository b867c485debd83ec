package page

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/report"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// tags finds what is no text.
var tags = regexp.MustCompile(`<style>[^<]*</style>|<desc[^>]*>[^<]*</desc>|<[^>]*>`)

// textOf is what a reader sees of HTML, near enough.
func textOf(html string) string {
	text := tags.ReplaceAllString(html, " ")
	for from, to := range map[string]string{"&#39;": "'", "&#34;": `"`, "&lt;": "<", "&gt;": ">", "&amp;": "&", "\u00a0": " ", "&#43;": "+"} {
		text = strings.ReplaceAll(text, from, to)
	}
	return strings.Join(strings.Fields(text), " ")
}

func TestPartsStandInOrder(t *testing.T) {
	html := htmlOf(t, sealedDrain(t))
	at := 0
	for _, part := range []string{
		`class="sentence"`, "The options side by side", "to scale</h2>", "Chance against session length</h3>", "How full the can is",
		"Crankcase pressure over one lap</h3>", "What it rests on", "Measured</h3>", "Stated</h3>", "Assumed</h3>",
		"Catching oil does not mend its cause", "After fitting", "Cautions</h2>", "The details", `class="heat"`, "All inputs", "Method</h2>", "References</h3>", "SHA-256",
	} {
		i := strings.Index(html[at:], part)
		require.GreaterOrEqual(t, i, 0, "%s is missing, or stands too early", part)
		at += i
	}
	text := textOf(html)
	for _, caution := range report.Cautions {
		assert.Contains(t, text, caution)
	}
	for _, source := range report.References(sealedDrain(t).Result) {
		assert.Contains(t, text, source)
	}
	assert.Contains(t, text, sealedDrain(t).Result.Scenario.SHA256)
	assert.Contains(t, text, "240 EUR")
	for _, blank := range []string{"date", "oil topped up", "oil drained from the can", "vent hose, wet or dry", "crankcase pressure at full throttle", "engine hours"} {
		assert.Contains(t, text, blank)
	}
	assert.GreaterOrEqual(t, strings.Count(html, "<td></td>"), 24, "blanks to fill in")
}

func TestPageStandsAlone(t *testing.T) {
	html := htmlOf(t, sealedDrain(t))
	assert.NotContains(t, html, "<script")
	assert.NotContains(t, html, "src=")
	assert.NotContains(t, html, "@import")
	assert.NotContains(t, html, "url(")
	assert.NotContains(t, html, "ZgotmplZ", "the template refused a text")
	without := strings.ReplaceAll(html, "http://www.w3.org/2000/svg", "")
	assert.NotContains(t, without, "//", "an address")
	for _, link := range regexp.MustCompile(`href="([^"]*)"`).FindAllStringSubmatch(html, -1) {
		assert.True(t, strings.HasPrefix(link[1], "#"), link[1])
		assert.Contains(t, html, `id="`+link[1][1:]+`"`)
	}
	seen := map[string]bool{}
	for _, id := range regexp.MustCompile(` id="([^"]*)"`).FindAllStringSubmatch(html, -1) {
		assert.False(t, seen[id[1]], "%s stands twice", id[1])
		seen[id[1]] = true
	}
	for _, by := range regexp.MustCompile(`aria-labelledby="([^"]*)"`).FindAllStringSubmatch(html, -1) {
		for id := range strings.FieldsSeq(by[1]) {
			assert.True(t, seen[id], "nothing is called %s", id)
		}
	}
}

func TestSamePageSameBytes(t *testing.T) {
	assert.Equal(t, htmlOf(t, sealedDrain(t)), htmlOf(t, sealedDrain(t)))
}

// hostile is text that must show as it stands.
const hostile = `<script>alert(1)</script>"'&` + "\u202e\x1b[2J"

func TestTextOfAScenarioIsEscaped(t *testing.T) {
	p := sealedDrain(t)
	s := *p.Result.Scenario
	s.Title, s.File, s.Example = hostile, hostile, ""
	res := *p.Result
	res.Scenario = &s
	res.Warnings = []string{hostile}
	p.Result, p.Program = &res, hostile
	options := *p.Options
	options.Layouts = append(options.Layouts[:0:0], options.Layouts...)
	options.Layouts[1].Name = hostile
	p.Options = &options
	p.Prices = map[string]string{hostile: hostile}
	html := htmlOf(t, p)
	assert.NotContains(t, html, "<script")
	assert.NotContains(t, html, "\u202e", "a mark that turns the direction of writing")
	assert.NotContains(t, html, "\x1b")
	assert.GreaterOrEqual(t, strings.Count(html, "&lt;script&gt;alert(1)&lt;/script&gt;"), 6)
	assert.Contains(t, textOf(html), `<script>alert(1)</script>"'&\u202e\x1b[2J`)
}

func TestUnitsFollowTheSystem(t *testing.T) {
	p := sealedDrain(t)
	metric := textOf(htmlOf(t, p))
	p.Units = units.US
	us := textOf(htmlOf(t, p))
	for _, unit := range []string{" mm", " kPa", " L/min"} {
		assert.Contains(t, metric, unit)
		assert.NotContains(t, us, unit+" ")
	}
	for _, unit := range []string{" in ", " inH2O", " US qt", " US fl oz"} {
		assert.Contains(t, us, unit)
		assert.NotContains(t, metric, unit+" ")
	}
}

// A chance that was not seen is "none of 400", never 0 %.
func TestNoBareZeroPercent(t *testing.T) {
	html := htmlOf(t, sealedDrain(t))
	lap := strings.Index(html, `id="lap-caption"`)
	require.Positive(t, lap)
	inputs := strings.Index(html, `id="inputs-caption"`)
	text := textOf(html[:inputs])
	for _, found := range regexp.MustCompile(`.{0,30}(?:^|[^0-9.])0(?:\.0+)? %.{0,10}`).FindAllString(text, -1) {
		assert.Contains(t, found, "Pulsation at its low end", found) // no input's own value may be taken for a chance
	}
	assert.Contains(t, text, "none of 400")
}

// TestPageOfParts: what is missing of a result stands where it is said how many
// realizations it rests on, and on a page of one run nothing is said of it.
func TestPageOfParts(t *testing.T) {
	p := sealedDrain(t)
	res := *p.Result
	require.Equal(t, 400, res.Realizations)
	assert.NotContains(t, textOf(htmlOf(t, p)), "missing:")
	for _, c := range []struct {
		gaps []sim.Gap
		want string
	}{
		{[]sim.Gap{{From: 0, To: 500}, {From: 1000, To: 1100}}, "600 of the 1,000 %s are missing"},
		{[]sim.Gap{{From: 400, To: 401}}, "1 of the 401 %s is missing"},
	} {
		res.Missing = c.gaps
		p.Result = &res
		v := viewed(t, p)
		assert.Contains(t, v.optionsNote(), "; "+fmt.Sprintf(c.want, "sessions")+": the answer above covers those that were there")
		assert.Contains(t, v.realizations(), "; "+fmt.Sprintf(c.want, "of the layout")+", this is what was there")
		p.Options = nil
		assert.Contains(t, viewed(t, p).optionsNote(), "from 400 sessions; "+fmt.Sprintf(c.want, "sessions"))
	}
}

func TestPageOfLittle(t *testing.T) {
	p := sealedDrain(t)
	html := htmlOf(t, Page{Program: p.Program, Model: p.Model, Result: p.Result, Check: p.Check})
	for _, part := range []string{"The chance in figures", "to scale</h2>", "Cautions</h2>"} {
		assert.Contains(t, html, part)
	}
	for _, part := range []string{`class="heat"`, "How it comes about", "side by side", "against A"} {
		assert.NotContains(t, html, part)
	}
	for _, lacking := range []Page{{}, {Model: p.Model}, {Model: p.Model, Result: p.Result}, {Model: p.Model, Result: &sim.Result{Scenario: &scenarios.Scenario{}}, Check: p.Check}} {
		assert.Error(t, Write(&strings.Builder{}, lacking))
	}
}

func TestLongTitleFitsATab(t *testing.T) {
	assert.Equal(t, "short", shortened("short", 66))
	for _, title := range []string{strings.Repeat("<", 80), strings.Repeat("é", 80), strings.Repeat("a", 67)} {
		short := shortened(title, 66)
		assert.LessOrEqual(t, len(strings.ReplaceAll(short, "<", "&lt;")), 66)
		assert.True(t, strings.HasSuffix(short, "…"))
	}
}
