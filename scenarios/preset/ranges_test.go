package preset

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

// basisMark is how a source begins: a publication with its year, or what it is
// instead.
var basisMark = regexp.MustCompile(`^(prior|derived|common practice, from memory|by definition)\b|\b(19|20)\d\d\b|repair manuals|organisers|one measured lap|^the (time|distance) that`)

// every returns all ranges that a preset may write, by the path of a field.
func every(t *testing.T) map[string][]Range {
	t.Helper()
	all := map[string][]Range{}
	add := func(list ...Range) {
		for _, r := range list {
			all[r.Path] = append(all[r.Path], r)
		}
	}
	for _, e := range Engines() {
		add(e.Ranges...)
		for _, name := range ReturnNames() {
			if fall := e.Fall(name); fall.Path != "" {
				add(fall)
			}
		}
		f := &file{engine: e}
		add(f.pressureLoss()...)
	}
	for _, u := range Uses() {
		add(u.Ranges...)
		for _, phase := range u.Lap {
			for _, r := range phase {
				r.Path = "duty.lap.*." + r.Path
				add(r)
			}
		}
		session := u.Session
		session.Path = "carry_over.during"
		add(session)
	}
	add(canRanges...)
	add(outletRanges...)
	add(drainRanges...)
	add(trapDip, twentyMinutes, thousand, oilChange, sessionOrDay, throughOnRoad, throughOnTrack)
	for _, words := range []map[string]Range{onCircuit, onRoad} {
		for _, r := range words {
			r.Path = "carry_over.oil_used"
			add(r)
		}
	}
	require.Greater(t, len(all), 30)
	return all
}

// Every range is one that the scenario's own bounds take whole, has a source
// that says what it rests on, and is a range, unless it is so by definition.
func TestRanges(t *testing.T) {
	field := map[string]scenarios.Field{}
	for _, f := range scenarios.Fields() {
		field[f.Path] = f
	}
	during := field["carry_over.during"]
	during.Dimension, during.Low, during.High = units.Time, "10 s", "10000 h"
	field["carry_over.during"] = during
	points := map[string]bool{"separator.pressure_loss.at": true, "duty.lap.*.load": true, "engine.boost": true, "carry_over.during": true, "carry_over.during.distance": true}
	for path, list := range every(t) {
		f, known := field[path]
		require.True(t, known, "%s: no such field", path)
		low, err := units.Parse(f.Low, f.Dimension)
		require.NoError(t, err, path)
		high, err := units.Parse(f.High, f.Dimension)
		require.NoError(t, err, path)
		for _, r := range list {
			assert.Regexp(t, basisMark, r.Source, path)
			assert.LessOrEqual(t, len(r.Source), 300, "%s: a source of more than 500 letters is a problem", path)
			d, err := uncertainty.Spelled{Value: r.Value, AtLeast: r.AtLeast, AtMost: r.AtMost}.Build(f.Dimension)
			require.NoError(t, err, "%s: %s", path, r.Value)
			from, to := d.Range()
			assert.GreaterOrEqual(t, from, low, "%s: %s", path, r.Value)
			assert.LessOrEqual(t, to, high, "%s: %s", path, r.Value)
			assert.True(t, !d.IsExact() || points[path], "%s: %s is a point", path, r.Value)
		}
	}
}

// A straight is 30, 45 and 75 % of a stretch at its ends and its median: the
// shares of a lap that it is derived from.
func TestFullThrottleShare(t *testing.T) {
	length := func(r Range) float64 {
		d, err := uncertainty.Parse(r.Value, units.Time)
		require.NoError(t, err)
		return d.Nominal()
	}
	straight, rest := stretch[0][0], 0.0
	for _, phase := range stretch[1:] {
		rest += length(phase[0])
	}
	assert.InDelta(t, 6.5, rest, 1e-12, "2.5 s of braking and 2 s of a corner each way")
	for text, share := range map[string]float64{straight.AtLeast: 0.30, "5.3 s": 0.45, straight.AtMost: 0.75} {
		s, err := units.Parse(text, units.Time)
		require.NoError(t, err)
		assert.InDelta(t, share, s/(s+rest), 0.005, text)
	}
	assert.True(t, strings.HasPrefix(straight.Value, "5.3 x/"), "the median above")
}

// Heights above the sump's oil give the fall, by hand: low less high, no less
// than 0; most likely less the middle; high less low.
func TestFall(t *testing.T) {
	for _, c := range []struct{ engine, back, want string }{
		{"inline four", "block breather", "0 .. 75 .. 350 mm"}, // 150-300 .. 300-225 .. 500-150
		{"inline four", "cam cover", "0 .. 50 mm"},             // 150-650 .. 300-550 .. 500-450
		{"inline four", "below the oil", "150 .. 300 .. 500 mm"},
		{"V8 turbo", "turbo drain", "0 .. 125 .. 400 mm"},            // 150-250 .. 300-175 .. 500-100
		{"V8 turbo", "above the oil", "0 .. 100 .. 400 mm"},          // block breather or turbo drain: 100 .. 300
		{"flat four", "cam cover", "0 .. 150 .. 450 mm"},             // 150-250 .. 300-150 .. 500-50
		{"flat four", "by hand", ""}, {"flat four", "elsewhere", ""}, // no fall
	} {
		e, err := MatchEngine(c.engine)
		require.NoError(t, err)
		assert.Equal(t, c.want, e.Fall(c.back).Value, "%s, %s", c.engine, c.back)
	}
}
