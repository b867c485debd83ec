package preset_test

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/preset"
	"sumpward/sim"
)

const widened = "carry_over.oil_used: widened to a standard deviation of 0.1 L: a reading tells no more"

// customers know from nothing to everything. Stated are the inputs that come
// from them, by path; warnings what a file of theirs warns of.
var customers = []struct {
	name     string
	known    preset.Known
	stated   []string
	warnings []string
}{
	{name: "nothing"},
	{name: "the engine", known: preset.Known{Displacement: "2000 cc", Boost: "14 psi", Condition: "Tired"},
		stated: []string{"engine.displacement", "engine.boost"}},
	{name: "no boost", known: preset.Known{Boost: "0 bar", OilUsed: "none"}, stated: []string{"engine.boost"}},
	{name: "some oil", known: preset.Known{OilUsed: "Some", Return: "by hand", CanVolume: "0.6 L"}, stated: []string{"separator.usable_volume"}},
	{name: "much oil between changes", known: preset.Known{OilUsed: "much", OilOver: "oil change", Return: "below oil", Fall: "240 .. 260 mm"}, stated: []string{"drain.fall"}},
	{name: "oil of a session", known: preset.Known{OilUsed: "0.3 L", OilOver: "session", Seal: "none", Bore: "dash 8"},
		stated: []string{"carry_over.oil_used", "drain.bore"}, warnings: []string{widened}},
	{name: "oil in a time", known: preset.Known{OilUsed: "0.2 .. 0.4 L", OilOver: "25 min", Return: "turbo drain", Dip: "yes"},
		stated: []string{"carry_over.oil_used", "carry_over.during"}},
	{name: "oil over a distance", known: preset.Known{OilUsed: "1 US qt", OilOver: "1500 mi", Return: "cam cover", Seal: "check valve"},
		stated: []string{"carry_over.oil_used", "carry_over.during.distance"}, warnings: []string{widened}},
	{name: "oil between changes", known: preset.Known{OilUsed: "1 .. 2 L", OilOver: "oil change"}, stated: []string{"carry_over.oil_used"}},
	{name: "oil, not over what", known: preset.Known{OilUsed: "0.5 +- 0.2 L", Seal: "trap"}, stated: []string{"carry_over.oil_used"}},
	{name: "everything", known: preset.Known{
		Displacement: "2.2 L", Boost: "1.1 bar", Condition: "used", OilUsed: "0.2 .. 0.3 L", OilOver: "25 min", CanVolume: "0.45 L",
		Return: "block breather", Seal: "valve", Fall: "3 1/2 in", Bore: `1/2"`, Dip: "30 mm", BreatherLost: true, VentsToAir: true, CanWithinCan: true},
		stated: []string{"engine.displacement", "engine.boost", "carry_over.oil_used", "carry_over.during", "separator.usable_volume", "drain.fall", "drain.bore", "drain.dip"}},
}

// Every engine with every use and every customer gives a file that loads, that
// says what it is, in which what is known alone is stated, and everything else
// is assumed with a source.
func TestEveryCombination(t *testing.T) {
	for _, e := range preset.Engines() {
		for _, u := range preset.Uses() {
			for _, c := range customers {
				if c.known.Return == "turbo drain" && !e.Turbo {
					continue
				}
				name := e.Name + ", " + u.Name + ", knowing " + c.name
				data, err := preset.Write(preset.Choice{Engine: e.Layout, Turbo: e.Turbo, Use: u.Name}, c.known)
				require.NoError(t, err, name)
				s, err := scenarios.Parse("preset.yaml", data, nil)
				require.NoError(t, err, name)

				assert.True(t, strings.HasPrefix(string(data), "# A preset, an example, not your car: "+e.Name+", "+u.Name+".\n"), name)
				assert.Equal(t, "Preset, not your car: "+e.Name+", "+u.Name, s.Title)
				var stated []string
				for _, q := range s.Inputs {
					if q.Basis != scenarios.Assumed {
						stated = append(stated, q.Path)
						continue
					}
					assert.NotEmpty(t, q.Source, "%s: %s", name, q.Path)
					assert.NotEqual(t, "assumed in the file", q.Source, "%s: %s", name, q.Path)
				}
				assert.ElementsMatch(t, c.stated, stated, name)
				require.Len(t, s.Warnings, len(c.warnings), "%s: %v", name, s.Warnings)
				for i, w := range s.Warnings {
					assert.True(t, strings.HasPrefix(w.Path+": "+w.Text, c.warnings[i]), "%s: %s: %s", name, w.Path, w.Text)
				}
				everyLineSaysWhy(t, string(data))
			}
		}
	}
}

// everyLineSaysWhy sees that every line with a value has its basis on it.
func everyLineSaysWhy(t *testing.T, text string) {
	t.Helper()
	for line := range strings.Lines(text) {
		line = strings.TrimSpace(line)
		key, value, _ := strings.Cut(line, ":")
		switch {
		case line == "" || strings.HasPrefix(line, "#"), value == "", strings.HasPrefix(strings.TrimSpace(value), "#"):
		case key == "scenario" || key == "title" || key == "sessions" || key == "- name" || line == "to: separator":
		case strings.HasPrefix(value, " {drain"): // a variant
		default:
			assert.Regexp(t, `basis: assumed, source: ".+"|# (stated|assumed: .+)`, line)
		}
	}
}

// What is known arrives as it was typed.
func TestKnownArrives(t *testing.T) {
	all := customers[len(customers)-1].known
	data, err := preset.Write(preset.Choice{Engine: "flat four turbo", Use: "track day", Title: `Car 42: a "test" # of it`}, all)
	require.NoError(t, err)
	s, err := scenarios.Parse("preset.yaml", data, nil)
	require.NoError(t, err)
	assert.Equal(t, `Car 42: a "test" # of it`, s.Title)
	for path, want := range map[string]float64{ // SI; an inch is 25.4 mm
		"engine.displacement": 2.2e-3, "engine.boost": 1.1e5, "carry_over.during": 1500, "separator.usable_volume": 0.45e-3,
		"drain.fall": 3.5 * 0.0254, "drain.bore": 0.0127, "drain.dip": 0.030,
	} {
		assert.InEpsilon(t, want, s.Input(path).Nominal(), 1e-12, path)
	}
	assert.Len(t, s.Breathers, 1)
	assert.Equal(t, scenarios.ToAir, s.Separator.Outlet.To)
	assert.Less(t, s.Separator.GasPathClosesFrom.Nominal(), 1.0)
	assert.Equal(t, scenarios.ValveSeal, s.Drain.Seal)
	assert.Equal(t, []string{"breather kept"}, s.Variants)
	kept, err := s.Variant("breather kept")
	require.NoError(t, err)
	assert.Len(t, kept.Breathers, 2)

	none, err := preset.Write(preset.Choice{Engine: "V6", Use: "road"}, preset.Known{})
	require.NoError(t, err)
	s, err = scenarios.Parse("preset.yaml", none, nil)
	require.NoError(t, err)
	assert.Equal(t, []string{"plain hose, no seal", "emptied by hand"}, s.Variants)
}

// The flow that a separator's loss is stated at is the blow-by of the model's
// own law, to the 10 L/min that it is rounded to.
func TestLossAtBlowBy(t *testing.T) {
	for _, engine := range preset.EngineNames() {
		data, err := preset.Write(preset.Choice{Engine: engine, Use: "road"}, preset.Known{Condition: "used"})
		require.NoError(t, err)
		s, err := scenarios.Parse("preset.yaml", data, nil)
		require.NoError(t, err)
		m, err := sim.NewModel(s)
		require.NoError(t, err)
		const litrePerMinute = 1e-3 / 60
		assert.InDelta(t, m.Nominal().Gas.BlowByFull, s.Separator.LossAt.Nominal(), 5.01*litrePerMinute, engine)
	}
}

// Presets run: each engine once, each use twice, each with another customer.
func TestPresetsRun(t *testing.T) {
	uses := preset.Uses()
	for i, e := range preset.Engines() {
		c, u := customers[(3*i)%len(customers)], uses[i%len(uses)]
		if c.known.Return == "turbo drain" && !e.Turbo {
			c = customers[0]
		}
		data, err := preset.Write(preset.Choice{Engine: e.Name, Use: u.Name}, c.known)
		require.NoError(t, err)
		s, err := scenarios.Parse("preset.yaml", data, nil)
		require.NoError(t, err)
		r, err := sim.Run(context.Background(), s, sim.Options{Realizations: 200})
		require.NoError(t, err, "%s, %s, knowing %s", e.Name, u.Name, c.name)
		assert.Equal(t, 200, r.Realizations)
		assert.Len(t, r.Sessions, len(u.Sessions))
	}
}
