package decide_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/sim/decide"
)

func readyMade(t testing.TB, name string) *scenarios.Scenario {
	t.Helper()
	s, err := scenarios.Ready(name)
	require.NoError(t, err)
	return s
}

func variantOf(t testing.TB, s *scenarios.Scenario, name string) *scenarios.Scenario {
	t.Helper()
	v, err := s.Variant(name)
	require.NoError(t, err)
	return v
}

// withTexts is a scenario with changes, as path and text by turns.
func withTexts(t testing.TB, s *scenarios.Scenario, pathsAndTexts ...string) *scenarios.Scenario {
	t.Helper()
	var changes []scenarios.Change
	for i := 0; i < len(pathsAndTexts); i += 2 {
		changes = append(changes, scenarios.Change{Path: pathsAndTexts[i], Value: pathsAndTexts[i+1]})
	}
	s, err := s.With(changes...)
	require.NoError(t, err)
	return s
}

func optionsOf(t testing.TB, s *scenarios.Scenario) (names []string, byName map[string]*scenarios.Scenario) {
	t.Helper()
	layouts, err := decide.Options(s)
	require.NoError(t, err)
	byName = map[string]*scenarios.Scenario{}
	for _, l := range layouts {
		names = append(names, l.Name)
		byName[l.Name] = l.Model.Scenario()
	}
	assert.Len(t, byName, len(names), "each name once: %v", names)
	return names, byName
}

func TestOptionsAreTheVariants(t *testing.T) {
	s := readyMade(t, "sealed-drain")
	names, all := optionsOf(t, s)
	assert.Equal(t, append([]string{"as written"}, s.Variants...), names)
	assert.Same(t, s, all["as written"])
	assert.InDelta(t, 0.9e-3, all["larger can"].Separator.UsableVolume.Nominal(), 1e-15)
}

// A variant comes first, then the others of the file: not on top of the variant.
func TestOptionsOfAVariant(t *testing.T) {
	s := readyMade(t, "sealed-drain")
	v := withTexts(t, variantOf(t, s, "lower return"), "sessions", "[20 min, 50 min]")
	names, all := optionsOf(t, v)
	assert.Equal(t, []string{"lower return", "larger can", "larger can and lower return", "below the oil", "as written"}, names)
	assert.Same(t, v, all["lower return"])
	for name, o := range all {
		assert.Equal(t, []float64{1200, 3000}, o.Sessions, name)
	}
	for _, name := range []string{"larger can", "as written"} {
		assert.Equal(t, s.Drain.Fall.Distribution, all[name].Drain.Fall.Distribution, name)
	}

	// From a file: the same, as long as the file is what it was.
	file := filepath.Join(t.TempDir(), "car.yaml")
	text := scenarios.ReadySource("sealed-drain")
	require.NoError(t, os.WriteFile(file, text, 0o644))
	s, err := scenarios.Load(file)
	require.NoError(t, err)
	v = variantOf(t, s, "larger can")
	names, _ = optionsOf(t, v)
	assert.Equal(t, []string{"larger can", "lower return", "larger can and lower return", "below the oil", "as written"}, names)

	changed := withTexts(t, v, "drain.bore", "16 mm")
	names, all = optionsOf(t, changed)
	assert.Equal(t, []string{"larger can", "lower return", "still larger can", "larger can and lower return"}, names)
	assert.InDelta(t, 1.8e-3, all["still larger can"].Separator.UsableVolume.Nominal(), 1e-15)
	for name, o := range all {
		assert.InDelta(t, 0.016, o.Drain.Bore.Nominal(), 1e-15, "a variant changed since is built on: %s", name)
	}
	require.NoError(t, os.WriteFile(file, append(text, "# another day\n"...), 0o644))
	names, _ = optionsOf(t, v)
	assert.NotContains(t, names, "as written", "the file is another one")
	require.NoError(t, os.Remove(file))
	names, _ = optionsOf(t, v)
	assert.NotContains(t, names, "as written", "the file is gone")
	assert.Contains(t, names, "lower return")
}

// withoutVariants is a ready-made scenario without its variants.
func withoutVariants(t testing.TB, name string) *scenarios.Scenario {
	t.Helper()
	text, _, found := strings.Cut(string(scenarios.ReadySource(name)), "\nvariants:")
	require.True(t, found)
	s, err := scenarios.Parse("bare.yaml", []byte(text), nil)
	require.NoError(t, err)
	return s
}

func TestStandardOptionsOfADrain(t *testing.T) {
	s := withoutVariants(t, "sealed-drain")
	names, all := optionsOf(t, s)
	assert.Equal(t, []string{"as written", "lower return", "larger can", "larger can and lower return"}, names)
	for name, o := range all {
		more, times := 0.0, 1.0
		if strings.Contains(name, "lower return") {
			more = 0.075
		}
		if strings.Contains(name, "larger can") {
			times = 2
		}
		low, high := o.Drain.Fall.Distribution.Range()
		assert.InDelta(t, 0.030+more, low, 1e-12, name)
		assert.InDelta(t, 0.055+more, high, 1e-12, name)
		assert.InDelta(t, 0.5+more, o.Drain.Length.Nominal(), 1e-12, name)
		assert.InDelta(t, times*0.45e-3, o.Separator.UsableVolume.Nominal(), 1e-15, name)
		assert.Equal(t, s.Separator.Diameter.Nominal(), o.Separator.Diameter.Nominal(), name)
		assert.Len(t, o.Correlations, 1, name)
	}

	byRule := withTexts(t, s, "drain", "{return: below_oil, bore: 12.7 mm, fall: 240 +- 10 mm}", "separator.usable_volume", "0.4 x/ 1.1 L")
	_, all = optionsOf(t, byRule)
	both := all["larger can and lower return"]
	assert.Nil(t, both.Drain.Length, "by rule still")
	assert.InDelta(t, 0.315, both.Drain.Fall.Nominal(), 1e-12)
	assert.InDelta(t, 0.325, both.Drain.Fall.Distribution.Quantile(0.841345), 1e-6, "as uncertain as it was")
	assert.InDelta(t, 0.88e-3, both.Separator.UsableVolume.Distribution.Quantile(0.841345), 1e-9, "the same geometric standard deviation")
}

// Whatever the law of the volume, a larger can holds twice as much at every quantile.
func TestLargerCanOfEveryLaw(t *testing.T) {
	s := withoutVariants(t, "sealed-drain")
	for _, law := range []string{
		"0.45 L", "0.45 +- 0.05 L", "0.4 .. 0.5 L", "0.4 .. 0.42 .. 0.5 L", "0.45 x/ 1.1 L",
		"{distribution: normal, mean: 0.45 L, standard_deviation: 0.1 L, from: 0.4 L, to: 0.48 L}",
		"{distribution: beta, shape: [2, 5], from: 0.4 L, to: 0.6 L}",
		"{distribution: table, values: [0.4 L, 0.45 L], weights: [1, 3]}",
	} {
		written := withTexts(t, s, "separator.usable_volume", law)
		_, all := optionsOf(t, written)
		require.Contains(t, all, "larger can", law)
		for _, u := range []float64{0.01, 0.2, 0.5, 0.9, 0.99} {
			small := written.Separator.UsableVolume.Distribution.Quantile(u)
			large := all["larger can"].Separator.UsableVolume.Distribution.Quantile(u)
			assert.InEpsilon(t, 2*small, large, 1e-9, "%s at %v", law, u)
		}
	}
}

func TestStandardOptionsOfARoute(t *testing.T) {
	s, err := scenarios.Load("../../scenarios/testdata/right/below-oil-and-road.yaml")
	require.NoError(t, err)
	require.Empty(t, s.Variants)
	names, all := optionsOf(t, s)
	assert.Equal(t, []string{"as written", "lower return", "larger can", "larger can and lower return"}, names)
	lower := all["lower return"]
	assert.InDelta(t, s.Drain.Route[0].Z.Nominal()+0.075, lower.Drain.Route[0].Z.Nominal(), 1e-12)
	assert.InDelta(t, s.Drain.Route[0].X.Nominal(), lower.Drain.Route[0].X.Nominal(), 1e-12)
	for i := 1; i < len(s.Drain.Route); i++ {
		assert.Equal(t, s.Drain.Route[i].Z.Distribution, lower.Drain.Route[i].Z.Distribution)
	}
	assert.InDelta(t, decide.NominalFall(s)+0.075, decide.NominalFall(lower), 1e-12)
}

func TestStandardOptionsByHand(t *testing.T) {
	s := withTexts(t, withoutVariants(t, "sealed-drain"), "drain", "{return: emptied_by_hand}")
	names, all := optionsOf(t, s)
	assert.Equal(t, []string{"as written", "larger can", "emptied at half time"}, names)
	assert.InDelta(t, 1800, all["emptied at half time"].Drain.Emptied.Every.Nominal(), 1e-9)
	assert.InDelta(t, 0.9e-3, all["larger can"].Separator.UsableVolume.Nominal(), 1e-15)

	names, all = optionsOf(t, withTexts(t, s, "drain.emptied", "every 25 min"))
	assert.Equal(t, []string{"as written", "larger can", "emptied twice as often"}, names)
	assert.InDelta(t, 750, all["emptied twice as often"].Drain.Emptied.Every.Nominal(), 1e-9)

	names, _ = optionsOf(t, withTexts(t, s, "duty.lap", "[{for: 60 s, load: 100 %}, {for: 60 s, engine: stopped}]", "drain.emptied", "at stops"))
	assert.Equal(t, []string{"as written", "larger can"}, names, "a can emptied at every stop can't be emptied sooner")
}

// What can't be is left out, and the rest stays.
func TestOptionsLeaveOutWhatCannotBe(t *testing.T) {
	s := withoutVariants(t, "sealed-drain")
	names, _ := optionsOf(t, withTexts(t, s, "separator.usable_volume", "60 L")) // allowed: up to 100 L
	assert.Equal(t, []string{"as written", "lower return"}, names)
	names, _ = optionsOf(t, withTexts(t, s, "drain.fall", "4.95 m", "drain.length", "6 m")) // allowed: up to 5 m
	assert.Equal(t, []string{"as written", "larger can"}, names)
}

// Whatever loads has options, each a model.
func TestOptionsOfEveryScenario(t *testing.T) {
	files, err := filepath.Glob("../../scenarios/testdata/right/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	var all []*scenarios.Scenario
	for _, file := range files {
		s, err := scenarios.Load(file)
		require.NoError(t, err)
		all = append(all, s)
	}
	for _, name := range scenarios.ReadyNames() {
		all = append(all, readyMade(t, name))
	}
	for _, s := range all {
		names, _ := optionsOf(t, s)
		assert.Equal(t, "as written", names[0])
		assert.Greater(t, len(names), 1, s.Title)
		for _, v := range s.Variants {
			names, _ := optionsOf(t, variantOf(t, s, v))
			assert.Equal(t, v, names[0])
			assert.Len(t, names, len(s.Variants)+1, "%s: %s", s.Title, v)
		}
	}
}
