package scenarios

import (
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

// everyScenario returns all scenarios that are expected to load.
func everyScenario(t testing.TB) map[string]*Scenario {
	all := map[string]*Scenario{}
	files, err := filepath.Glob("testdata/right/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		s, err := Load(file)
		require.NoError(t, err)
		all[file] = s
	}
	for _, name := range ReadyNames() {
		s, err := Ready(name)
		require.NoError(t, err)
		all[name] = s
	}
	all["least"] = parsed(t, least)
	all["template"], err = Parse("template.yaml", Template(), nil)
	require.NoError(t, err)
	return all
}

// inputs returns what is known of every input but the one left out.
func inputs(s *Scenario, but string) map[string]uncertainty.Distribution {
	m := map[string]uncertainty.Distribution{}
	for _, q := range s.Inputs {
		if q.Path != but {
			m[q.Path] = q.Distribution
		}
	}
	return m
}

// differences lists the paths whose distributions are not the same.
func differences(a, b map[string]uncertainty.Distribution) (paths []string) {
	for path, d := range a {
		if other, both := b[path]; !both || !reflect.DeepEqual(d, other) {
			paths = append(paths, path)
		}
	}
	for path := range b {
		if _, both := a[path]; !both {
			paths = append(paths, path)
		}
	}
	return paths
}

// TestPathsAreUnique sees that a path names one input.
func TestPathsAreUnique(t *testing.T) {
	for name, s := range everyScenario(t) {
		assert.Len(t, inputs(s, ""), len(s.Inputs), name)
		for _, q := range s.Inputs {
			assert.Same(t, q, s.Input(q.Path))
		}
	}
}

// TestWithLeavesOthers changes every input of every scenario in turn, and
// sees that the input has the new value and all others have what they had.
func TestWithLeavesOthers(t *testing.T) {
	for name, s := range everyScenario(t) {
		before := len(s.Inputs)
		for _, q := range s.Inputs {
			value := q.Distribution.Quantile(0.3)
			changed, err := s.With(Change{q.Path, value})
			if correlated(s, q) {
				require.ErrorContains(t, err, "is exact: it can't go with anything", q.Path)
				continue
			}
			require.NoError(t, err, "%s: %s", name, q.Path)
			got := changed.Input(q.Path)
			require.NotNil(t, got, "%s: %s", name, q.Path)
			assert.InDelta(t, value, got.Distribution.Nominal(), 1e-12*(1+abs(value)), "%s: %s", name, q.Path)
			if q.Path != "carry_over.oil_used" {
				assert.True(t, got.IsExact(), "%s: %s", name, q.Path)
			}
			assert.Empty(t, differences(inputs(s, q.Path), inputs(changed, q.Path)), "%s: %s", name, q.Path)
		}
		assert.Len(t, s.Inputs, before)
	}
}

func abs(x float64) float64 { return max(x, -x) }

func correlated(s *Scenario, q *Quantity) bool {
	for _, c := range s.Correlations {
		if (c.Between[0] == q || c.Between[1] == q) && q.Path != "carry_over.oil_used" {
			return true
		}
	}
	return false
}

// TestWithSame gives every input the distribution that it has, as such and as
// a quantity, and sees that nothing changes.
func TestWithSame(t *testing.T) {
	for name, s := range everyScenario(t) {
		for _, q := range s.Inputs {
			for _, value := range []any{q.Distribution, q} {
				if q.Path == "drain.emptied" {
					continue // kept as a text
				}
				changed, err := s.With(Change{q.Path, value})
				require.NoError(t, err, "%s: %s", name, q.Path)
				assert.Empty(t, differences(inputs(s, ""), inputs(changed, "")), "%s: %s", name, q.Path)
			}
			changed, err := s.With(Change{q.Path, q})
			require.NoError(t, err)
			assert.Equal(t, q.Basis, changed.Input(q.Path).Basis, q.Path)
		}
	}
}

// TestRoundTrip writes every input as text, reads it again, and compares
// quantiles: parse, write, parse.
func TestRoundTrip(t *testing.T) {
	for name, s := range everyScenario(t) {
		for _, q := range s.Inputs {
			unscaled, err := scaled(q.Distribution, 1/q.scale)
			require.NoError(t, err)
			text := unscaled.Text(q.Dimension, units.Metric)
			if q.Path == "drain.emptied" {
				text = "every " + text
			}
			changed, err := s.With(Change{q.Path, text})
			require.NoError(t, err, "%s: %s: %s", name, q.Path, text)
			got := changed.Input(q.Path)
			for _, u := range []float64{0.01, 0.3, 0.5, 0.9} {
				want := q.Distribution.Quantile(u)
				assert.InDelta(t, want, got.Distribution.Quantile(u), 1e-9*(1e-6+abs(want)), "%s: %s: %s at %g", name, q.Path, text, u)
			}
		}
	}
}

// TestVariants sees that a variant changes the paths it names, and those only.
func TestVariants(t *testing.T) {
	for name, s := range everyScenario(t) {
		for _, variant := range s.Variants {
			v, err := s.Variant(variant)
			require.NoError(t, err, "%s: %s", name, variant)
			assert.Equal(t, variant, v.VariantName)
			assert.Equal(t, s.Variants, v.Variants)
			var changed []string
			for _, e := range s.source.tree.get("variants").get(variant).entries {
				changed = append(changed, e.key)
			}
			for path, was := range inputs(s, "") {
				if q := v.Input(path); q != nil && !under(path, changed) {
					assert.Equal(t, was, q.Distribution, "%s: %s: %s", name, variant, path)
				}
			}
		}
	}
	s, err := Ready("sealed-drain")
	require.NoError(t, err)
	v, err := s.Variant("larger can")
	require.NoError(t, err)
	assert.InDelta(t, 0.9e-3, v.Separator.UsableVolume.Nominal(), 1e-15)
	assert.InDelta(t, 0.45e-3, s.Separator.UsableVolume.Nominal(), 1e-15)
	_, err = s.Variant("smaller can")
	assert.EqualError(t, err, "sealed-drain.yaml: unknown variant (got smaller can)\n  known here: "+strings.Join(s.Variants, ", "))
}

func under(path string, blocks []string) bool {
	for _, b := range blocks {
		if path == b || strings.HasPrefix(path, b+".") {
			return true
		}
	}
	return false
}

// TestWith changes values of every kind.
func TestWith(t *testing.T) {
	s, err := Ready("sealed-drain")
	require.NoError(t, err)
	with := func(path string, value any) *Scenario {
		t.Helper()
		c, err := s.With(Change{path, value})
		require.NoError(t, err, path)
		return c
	}
	assert.InDelta(t, 0.2, with("drain.fall", "200 mm").Drain.Fall.Nominal(), 1e-15)
	assert.InDelta(t, 0.016, with("breathers.block.bore", 0.016).Breathers[0].Bore.Nominal(), 1e-15)
	assert.Equal(t, []float64{600, 1200}, with("sessions", "[20 min, 10 min]").Sessions)
	assert.Equal(t, 500, with("simulation.realizations", 500).Simulation.Realizations)
	assert.Equal(t, EmptiedByHand, with("drain", "{return: emptied_by_hand, emptied: at stops}").Drain.Return)
	assert.Nil(t, with("drain.length", nil).Drain.Length)
	assert.InDelta(t, -9.80665, with("duty.lap.3.right", "1 g").Duty.Lap[2].Left.Nominal(), 1e-12)
	left := with("duty.lap.3.left", "1 g")
	assert.InDelta(t, 9.80665, left.Duty.Lap[2].Left.Nominal(), 1e-12)
	assert.Nil(t, left.source.tree.get("duty").get("lap").items[2].get("right"), "left takes right away")
	byName := with("breathers.covers.loss_coefficient", "{distribution: normal, mean: 3, sd: 0.5, at_least: 2}")
	low, _ := byName.Breathers[1].LossCoefficient.Distribution.Range()
	assert.GreaterOrEqual(t, low, 2.0)
	assert.Equal(t, Stated, byName.Breathers[1].LossCoefficient.Basis)

	assumed := parsed(t, least)
	c, err := assumed.With(Change{"breathers.second.to", "intake"}, Change{"engine.wear", 2.0})
	require.NoError(t, err)
	assert.Equal(t, ToIntake, c.Breathers[1].To)
	assert.InDelta(t, 2, c.Engine.Wear.Nominal(), 1e-15)
	assert.InDelta(t, 1.6, assumed.Engine.Wear.Nominal(), 1e-15)
}

// TestWithCoordinates changes one coordinate; those written without a unit
// keep theirs.
func TestWithCoordinates(t *testing.T) {
	s, err := Load("testdata/right/below-oil-and-road.yaml")
	require.NoError(t, err)
	c, err := s.With(Change{"drain.route.2.z", "-12 cm"}, Change{"drain.route.3.x", -0.3}, Change{"drain.sump.oil_surface.z", "-160 mm"})
	require.NoError(t, err)
	assert.InDelta(t, -0.05, c.Drain.Route[1].X.Nominal(), 1e-15)
	assert.InDelta(t, -0.12, c.Drain.Route[1].Z.Nominal(), 1e-15)
	assert.InDelta(t, -0.3, c.Drain.Route[2].X.Nominal(), 1e-15)
	assert.InDelta(t, 0.08, c.Drain.Route[2].Y.Nominal(), 1e-15)
	assert.InDelta(t, -0.16, c.Drain.Sump.OilSurface.Z.Nominal(), 1e-15)
	assert.InDelta(t, -0.25, c.Drain.Sump.OilSurface.X.Nominal(), 1e-15)
}

// TestWithWrong tells what is wrong with a change.
func TestWithWrong(t *testing.T) {
	s, err := Ready("sealed-drain")
	require.NoError(t, err)
	for _, c := range []struct {
		change Change
		want   string
	}{
		{Change{"drain.fal", "1 mm"}, "sealed-drain.yaml: drain.fal: unknown path (got \"drain.fal\")\n  did you mean drain.fall?"},
		{Change{"drain.fall", "120"}, "sealed-drain.yaml: drain.fall: unit is missing"},
		{Change{"drain.fall", -0.1}, "sealed-drain.yaml: drain.fall: outside what is possible (got -"},
		{Change{"drain.fall", []int{1}}, "sealed-drain.yaml: drain.fall: a value of type []int can't be written in a scenario"},
		{Change{"drain.bore", nil}, "sealed-drain.yaml:40: drain.bore: missing: the inside diameter of the drain hose"},
		{Change{"breathers.sump.bore", "1 mm"}, "sealed-drain.yaml: breathers.sump.bore: the list has no such element (got \"sump\")"},
		{Change{"duty.lap.99.load", 1.0}, "sealed-drain.yaml: duty.lap.99.load: the list has no such element (got \"99\")"},
		{Change{"duty.lap.0.load", 1.0}, "the list has no such element (got \"0\")"},
		{Change{"duty.lap.3", nil}, "duty.lap.3: an element can't be left out"},
		{Change{"duty.lap.3.load.x", 1.0}, "unknown path"},
		{Change{"sessions", "[20 min"}, "sealed-drain.yaml: sessions: not readable as YAML"},
		{Change{"scenario", "2"}, "unknown path"},
		{Change{"variants", nil}, "unknown path"},
		{Change{"", "1"}, "unknown path"},
		{Change{"drain..fall", "1"}, "unknown path"},
		{Change{"breathers", "[]"}, "sealed-drain.yaml: breathers: no circuit goes to the separator, and no gas gets there through the drain"},
	} {
		_, err := s.With(c.change)
		if assert.Error(t, err, fmt.Sprint(c.change)) {
			assert.IsType(t, Problems{}, err)
			assert.Contains(t, err.Error(), c.want)
		}
	}
}

// TestLogsStayInside follows no link out of the scenario's folder.
func TestLogsStayInside(t *testing.T) {
	dir := t.TempDir()
	inside := filepath.Join(dir, "inside")
	require.NoError(t, os.Mkdir(inside, 0o755))
	data, err := os.ReadFile("testdata/wrong/logs/plain.csv")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "laps.csv"), data, 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(inside, "own.csv"), data, 0o644))
	require.NoError(t, os.Symlink("../laps.csv", filepath.Join(inside, "link.csv")))
	file := filepath.Join(inside, "s.yaml")
	text := strings.Replace(least, "duty: {pattern: {full_throttle: 50 %, burst: 7 s}}", "duty: {log: {file: LOG, positive: {longitudinal: forward, lateral: left}}}", 1)
	for log, ok := range map[string]bool{"own.csv": true, "link.csv": false} {
		require.NoError(t, os.WriteFile(file, []byte(strings.Replace(text, "LOG", log, 1)), 0o644))
		_, err := Load(file)
		if ok {
			assert.NoError(t, err)
		} else {
			assert.ErrorContains(t, err, "escapes")
		}
	}
}
