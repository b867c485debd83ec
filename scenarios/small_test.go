package scenarios

import (
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios/datalog"
	"sumpward/scenarios/uncertainty"
)

// TestEditDistance counts by hand: each swap, change, insertion and deletion.
func TestEditDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"", "", 0}, {"bore", "bore", 0}, {"bore", "", 4}, {"", "fall", 4},
		{"boer", "bore", 1}, {"bor", "bore", 1}, {"boree", "bore", 1}, {"bure", "bore", 1},
		{"ab", "ba", 1}, {"fall", "length", 6}, {"sael", "seal", 1}, {"efficency", "efficiency", 1},
	} {
		assert.Equal(t, c.want, editDistance(c.a, c.b), "%s %s", c.a, c.b)
		assert.Equal(t, c.want, editDistance(c.b, c.a), "%s %s", c.b, c.a)
	}
	assert.Equal(t, 64, editDistance(strings.Repeat("x", 1000), "bore"))
}

// TestSuggest meets names as people write them, and offers nothing far off.
func TestSuggest(t *testing.T) {
	names := []string{"usable_volume", "bore", "fall", "loss_coefficient"}
	for wrong, want := range map[string]string{
		"Usable-Volume": "usable_volume", "usable volume": "usable_volume", "volume": "usable_volume",
		"boer": "bore", "drain_fall": "fall", "loss_coeficient": "loss_coefficient", "zzzzzz": "", "": "",
	} {
		assert.Equal(t, want, suggest(wrong, names), wrong)
	}
}

// TestScaled compares quantiles: those of k X are k times those of X, from
// the other end where k is negative.
func TestScaled(t *testing.T) {
	law := func(d uncertainty.Distribution, err error) uncertainty.Distribution {
		require.NoError(t, err)
		return d
	}
	normal := law(uncertainty.Normal(2, 0.5))
	cut, _, err := normal.Truncate(1.8, 3)
	require.NoError(t, err)
	for _, d := range []uncertainty.Distribution{
		uncertainty.Exact(2), normal, cut, law(uncertainty.Uniform(1, 3)), law(uncertainty.Triangular(1, 2.5, 3)),
		law(uncertainty.Beta(2, 5, 1, 3)), law(uncertainty.Table([]float64{1, 2, 4}, []float64{1, 2, 1})), law(uncertainty.LogNormal(2, 1.5)),
	} {
		for _, k := range []float64{1, 3, -1, -0.25} {
			s, err := scaled(d, k)
			if d.Kind == uncertainty.LogNormalLaw && k < 0 {
				assert.Error(t, err)
				continue
			}
			require.NoError(t, err)
			for _, u := range []float64{0.1, 0.31, 0.77} {
				from := u
				if k < 0 {
					from = 1 - u
				}
				assert.InDelta(t, k*d.Quantile(from), s.Quantile(u), 1e-9, "%v %g", d.Kind, k)
			}
		}
	}
}

// TestEmptied reads when a can is emptied.
func TestEmptied(t *testing.T) {
	emptied := func(text string) Emptied {
		return parsed(t, strings.Replace(least, "drain: {return: above_oil, bore: 12.7 mm, fall: 120 mm}", "drain: {return: emptied_by_hand"+text+"}", 1)).Drain.Emptied
	}
	assert.Equal(t, Emptied{}, emptied(""))
	assert.Equal(t, Emptied{}, emptied(", emptied: every session"))
	for text, nth := range map[string]int{"At stops": 1, "at every stop": 1, "every stop": 1, "every 1 stop": 1, "every 2 stops": 2, "Every 2nd stop": 2, "every 12 stops": 12} {
		assert.Equal(t, Emptied{AtStops: true, Nth: nth}, emptied(", emptied: "+text), text)
	}
	every := emptied(", emptied: every 20 .. 30 min").Every
	assert.InDelta(t, 1500, every.Nominal(), 1e-9)
	assert.Equal(t, "drain.emptied", every.Path)
}

// TestSimulation reads seed, sampling error and number of realizations.
func TestSimulation(t *testing.T) {
	s := parsed(t, least+"simulation: {seed: 42, sampling_error: 1 %}\n").Simulation
	assert.Equal(t, Simulation{Seed: 42, SamplingError: 0.01}, s)
	s = parsed(t, least+"simulation: {seed: 0, realizations: 7}\n").Simulation
	assert.Equal(t, Simulation{Seed: 0, SamplingError: 0.005, Realizations: 7}, s)
}

// TestSameTextElsewhere reads the same text by each field's own dimension.
func TestSameTextElsewhere(t *testing.T) {
	_, err := Parse("test.yaml", []byte(strings.Replace(least, "diameter: 75 mm", "diameter: 75 mm, outlet: {loss_coefficient: 2}, efficiency: 2", 1)), nil)
	assert.ErrorContains(t, err, "separator.efficiency: a bare fraction is at most 1")
	s := parsed(t, least+"oil: {temperature: {settled: {distribution: normal, mean: 115 C, standard_deviation: 8 K}}}\n")
	assert.InDelta(t, 8, s.Oil.Settled.Distribution.B, 1e-12)
	assert.InDelta(t, 388.15, s.Oil.Settled.Distribution.A, 1e-9)
}

// TestCapitals reads choices in any case.
func TestCapitals(t *testing.T) {
	s := parsed(t, strings.Replace(least, "above_oil", "Above_Oil", 1)+"oil: {grade: iso vg 68}\n")
	assert.Equal(t, AboveOil, s.Drain.Return)
	assert.Equal(t, "ISO VG 68", s.Oil.Grade)
}

// TestZero needs no unit, except where zero depends on it.
func TestZero(t *testing.T) {
	assert.Zero(t, parsed(t, least+"engine: {boost: 0}\n").Engine.Boost.Nominal())
	_, err := Parse("test.yaml", []byte(least+"oil: {ambient: 0}\n"), nil)
	assert.ErrorContains(t, err, "oil.ambient: unit is missing")
}

// TestLogTolerance cuts the example's log finer with less tolerance.
func TestLogTolerance(t *testing.T) {
	s, err := Ready("sealed-can")
	require.NoError(t, err)
	s, err = s.With(Change{"duty.log.tolerance", nil})
	require.NoError(t, err)
	usual := s.Duty.Log
	assert.Equal(t, "larkmoor-laps.csv", usual.File)
	assert.Equal(t, 3, usual.Report.Laps)
	assert.Len(t, usual.Phases, usual.Report.Phases)
	read, err := datalog.Read(open(t, "larkmoor-laps.csv"), "larkmoor-laps.csv", datalog.Spec{Positive: map[string]string{"longitudinal": "forward", "lateral": "left"}})
	require.NoError(t, err)
	phases, _, err := read.Lap(datalog.Tolerance{})
	require.NoError(t, err)
	assert.Equal(t, phases, usual.Phases, "the catalogue's tolerances are those of the log reader")
	unsmoothed, err := s.With(Change{"duty.log.tolerance.smoothing", "0 s"})
	require.NoError(t, err)
	assert.NotEqual(t, usual.Report.Phases, unsmoothed.Duty.Log.Report.Phases)
	for path, value := range map[string]string{"load": "1 %", "acceleration": "0.03 g"} {
		finer, err := s.With(Change{"duty.log.tolerance." + path, value})
		require.NoError(t, err)
		assert.Greater(t, finer.Duty.Log.Report.Phases, usual.Report.Phases, path)
	}
}

func open(t *testing.T, name string) io.Reader {
	t.Helper()
	f, err := ready.Open("ready/" + name)
	require.NoError(t, err)
	t.Cleanup(func() { f.Close() })
	return f
}

// TestNoFiles refuses to open files where there is no way to.
func TestNoFiles(t *testing.T) {
	_, err := Parse("test.yaml", ReadySource("sealed-can"), nil)
	assert.ErrorContains(t, err, "duty.log.file: the log can't be read: this scenario can't refer to other files")
}
