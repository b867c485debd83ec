package page

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/decide"
)

func TestMeasuredAndStatedAreListedAndAssumedCounted(t *testing.T) {
	p := sealedDrain(t)
	html := htmlOf(t, p)
	part := func(from, to string) string {
		i, j := strings.Index(html, from), strings.Index(html, to)
		require.True(t, i >= 0 && j > i, "%s to %s", from, to)
		return textOf(html[i:j])
	}
	measured, stated := part("Measured</h3>", "Stated</h3>"), part("Stated</h3>", "Assumed</h3>")
	assert.Contains(t, measured, "engine: blow by, full throttle 96 ± 15 L/min")
	assert.NotContains(t, measured, "drain: fall")
	assert.Contains(t, stated, "drain: fall 30 .. 55 mm")
	assert.NotContains(t, stated, "full throttle 96")
	assumed := 0
	for _, q := range p.Result.Scenario.Inputs {
		if q.Basis == scenarios.Assumed && !apartFromLayout(q) {
			assumed++
			assert.NotContains(t, stated, spoken(q.Path)+" ")
		}
		if !strings.HasPrefix(q.Path, "duty.lap.") {
			assert.Contains(t, html, ">"+q.Path+"<", "in the list of all inputs")
		}
	}
	assert.Contains(t, part("Assumed</h3>", "after-head"), "10 inputs were assumed")
	assert.Equal(t, 10, assumed)
	assert.Contains(t, textOf(html), "The lap is as stated: 15 phases, 89 s, 53 % of it at full throttle.")
	assert.Equal(t, 15, strings.Count(html[strings.Index(html, `id="lap-caption"`):], `<tr><th scope="row">`))
}

func TestCanWithoutADrainHasNoWordsOfOne(t *testing.T) {
	p := made(t, "sealed-can", 100)
	text := textOf(htmlOf(t, p))
	assert.Contains(t, text, "The can, to scale")
	assert.NotContains(t, text, "choke level")
	assert.NotContains(t, text, "drain choked")
	assert.Contains(t, text, "The lap comes from a data log")
	assert.Contains(t, text, "After every session: empty the can")
	assert.Equal(t, "cannot occur", countOf100(words.Chance{Impossible: true}))
	v := viewed(t, p)
	assert.Less(t, len(v.oneLap(p.Pressures)), len(p.Pressures), "one lap of the log, not all")
}

func TestShelfShowsEveryCanInEveryPlace(t *testing.T) {
	p := sealedDrain(t)
	sh, err := scenarios.ReadyShelf()
	require.NoError(t, err)
	p.Choice, err = decide.Choose(context.Background(), p.Result.Scenario, sh, sim.Options{Realizations: 50})
	require.NoError(t, err)
	v := viewed(t, p)
	require.Len(t, v.Shelf.Rows, len(p.Choice.Options))
	fit, large := 0, 0
	for i, r := range v.Shelf.Rows {
		o := p.Choice.Options[i]
		assert.Equal(t, o.Can, r.Can)
		switch {
		case o.Result == nil:
			large++
			assert.Contains(t, r.Stand, "too ")
			assert.Empty(t, r.Chance)
		default:
			fit++
			assert.NotEmpty(t, r.Chance)
			assert.Equal(t, standings[o.Standing].Mark(), r.Mark)
		}
	}
	assert.Positive(t, fit)
	assert.Positive(t, large)
	html := htmlOf(t, p)
	assert.Contains(t, html, `id="shelf-caption"`)
	assert.Contains(t, textOf(html), v.Shelf.Rows[0].Price)
	for _, pick := range []decide.Picks{{Smallest: 0, Lightest: -1, Cheapest: -1}, {Smallest: -1, Lightest: -1, Cheapest: -1}} {
		p.Choice.Picks = pick
		says := strings.Join(viewed(t, p).Shelf.Says, " ")
		if pick.Smallest >= 0 {
			assert.Contains(t, says, "within the limit: the smallest is "+words.OneLine(p.Choice.Options[0].Layout.Name))
		} else {
			assert.Contains(t, says, "Of the cans that drain back none meets the limit for sure.")
		}
	}
}
