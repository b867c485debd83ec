package uncertainty

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios/internal/bounded"
	"sumpward/scenarios/units"
)

const perMinute = 1e-3 / 60 // m3/s in 1 L/min

func TestParse(t *testing.T) {
	cases := []struct {
		text    string
		dim     units.Dimension
		kind    Kind
		a, b, c float64
	}{
		{"110 L/min", units.VolumeFlow, ExactValue, 110 * perMinute, 0, 0},
		{"110 +- 18 L/min", units.VolumeFlow, NormalLaw, 110 * perMinute, 18 * perMinute, 0},
		{"110 ± 18 L/min", units.VolumeFlow, NormalLaw, 110 * perMinute, 18 * perMinute, 0},
		{"110±18L/min", units.VolumeFlow, NormalLaw, 110 * perMinute, 18 * perMinute, 0},
		{"110 +/- 18 L/min", units.VolumeFlow, NormalLaw, 110 * perMinute, 18 * perMinute, 0},
		{"110 L/min +- 0.3 L/s", units.VolumeFlow, NormalLaw, 110 * perMinute, 18 * perMinute, 0},
		{"110 L/min +- 15 %", units.VolumeFlow, NormalLaw, 110 * perMinute, 16.5 * perMinute, 0},
		{"-50 Pa +- 20 %", units.Pressure, NormalLaw, -50, 10, 0},
		{"110 +- 0 L/min", units.VolumeFlow, ExactValue, 110 * perMinute, 0, 0},
		{"1 +- 0.1", units.Number, NormalLaw, 1, 0.1, 0},
		{"2 +- 10 %", units.Number, NormalLaw, 2, 0.2, 0},
		{"30 +- 10 %", units.Fraction, NormalLaw, 0.3, 0.1, 0},
		{"0.3 +- 0.1", units.Fraction, NormalLaw, 0.3, 0.1, 0},
		{"0.3 % +- 10 %", units.Fraction, NormalLaw, 0.003, 0.1, 0},
		{"0.3 +- 0.1 %", units.Fraction, NormalLaw, 0.003, 0.001, 0},
		{"118 +- 5 C", units.Temperature, NormalLaw, 391.15, 5, 0},
		{"118 C +- 9 F", units.Temperature, NormalLaw, 391.15, 5, 0},
		{"212 +- 9 F", units.Temperature, NormalLaw, 373.15, 5, 0},
		{"380 +- 5 K", units.Temperature, NormalLaw, 380, 5, 0},
		{"1/2 +- 1/16 in", units.Length, NormalLaw, 0.0127, 0.0015875, 0},
		{"8 .. 20 L/min", units.VolumeFlow, UniformLaw, 8 * perMinute, 20 * perMinute, 0},
		{"8..20 L/min", units.VolumeFlow, UniformLaw, 8 * perMinute, 20 * perMinute, 0},
		{"80 mm .. 12 cm", units.Length, UniformLaw, 0.08, 0.12, 0},
		{"-100 .. 100 Pa", units.Pressure, UniformLaw, -100, 100, 0},
		{"\u2212100 .. 100 Pa", units.Pressure, UniformLaw, -100, 100, 0},
		{"-0.1 kPa .. 100 Pa", units.Pressure, UniformLaw, -100, 100, 0},
		{"20 .. 40 C", units.Temperature, UniformLaw, 293.15, 313.15, 0},
		{"40 .. 85 %", units.Fraction, UniformLaw, 0.4, 0.85, 0},
		{"0.4 .. 0.85", units.Fraction, UniformLaw, 0.4, 0.85, 0},
		{"0 .. 0.6", units.Number, UniformLaw, 0, 0.6, 0},
		{"1/2 .. 3/4 in", units.Length, UniformLaw, 0.0127, 0.01905, 0},
		{"1-1/4 .. 1-1/2 in", units.Length, UniformLaw, 0.03175, 0.0381, 0},
		{"dash 6 .. dash 8", units.Length, UniformLaw, 0.009525, 0.0127, 0},
		{"dash 6 .. 12.7 mm", units.Length, UniformLaw, 0.009525, 0.0127, 0},
		{"90 .. 110 .. 150 L/min", units.VolumeFlow, TriangularLaw, 90 * perMinute, 110 * perMinute, 150 * perMinute},
		{"90 .. 90 .. 150 L/min", units.VolumeFlow, TriangularLaw, 90 * perMinute, 90 * perMinute, 150 * perMinute},
		{"0.4 x/ 1.4 g/s", units.MassFlow, LogNormalLaw, 0.4e-3, 1.4, 0},
		{"0.4 ×/ 1.4 g/s", units.MassFlow, LogNormalLaw, 0.4e-3, 1.4, 0},
		{"0.4x/1.4 g/s", units.MassFlow, LogNormalLaw, 0.4e-3, 1.4, 0},
		{"0.4 g/s x/ 1.4", units.MassFlow, LogNormalLaw, 0.4e-3, 1.4, 0},
		{"0.4 x/ 1 g/s", units.MassFlow, ExactValue, 0.4e-3, 0, 0},
		{"30 x/ 1.2 %", units.Fraction, LogNormalLaw, 0.3, 1.2, 0},
		{"0.3 x/ 1.2", units.Fraction, LogNormalLaw, 0.3, 1.2, 0},
		{"1 x/ 2", units.Number, LogNormalLaw, 1, 2, 0},
		{"330 x/ 1.05 K", units.Temperature, LogNormalLaw, 330, 1.05, 0},
		{"3.2 kPa", units.Pressure, ExactValue, 3200, 0, 0},
		{"-8 AN", units.Length, ExactValue, 0.0127, 0, 0},
		{"{distribution: beta, shape: [2, 5], from: 5 %, to: 35 %}", units.Fraction, BetaLaw, 2, 5, 0},
		{"{distribution: normal, mean: 110 L/min, sd: 18 L/min}", units.VolumeFlow, NormalLaw, 110 * perMinute, 18 * perMinute, 0},
		{"{distribution: uniform, low: 8, high: 20 L/min}", units.VolumeFlow, UniformLaw, 8 * perMinute, 20 * perMinute, 0},
		{"{distribution: triangular, low: 90 L/min, mode: 110 L/min, high: 150 L/min}", units.VolumeFlow, TriangularLaw, 90 * perMinute, 110 * perMinute, 150 * perMinute},
		{"{distribution: log-normal, median: 0.4 g/s, gsd: 1.4}", units.MassFlow, LogNormalLaw, 0.4e-3, 1.4, 0},
		{"{distribution: lognormal, median: 0.4 g/s, gsd: 1.4}", units.MassFlow, LogNormalLaw, 0.4e-3, 1.4, 0},
		{"{value: 8 .. 20 L/min}", units.VolumeFlow, UniformLaw, 8 * perMinute, 20 * perMinute, 0},
	}
	for _, c := range cases {
		d, err := Parse(c.text, c.dim)
		require.NoError(t, err, c.text)
		assert.Equal(t, c.kind, d.Kind, c.text)
		for i, pair := range [][2]float64{{c.a, d.A}, {c.b, d.B}, {c.c, d.C}} {
			assert.InDelta(t, pair[0], pair[1], 1e-15*math.Abs(pair[0]), "%s, parameter %d", c.text, i)
		}
	}
}

func TestParseSpelledOut(t *testing.T) {
	d, err := Parse("{distribution: beta, shape: [2, 5], from: 5, to: 35 %}", units.Fraction)
	require.NoError(t, err)
	assert.InDelta(t, 0.05, d.Low, 1e-15)
	assert.InDelta(t, 0.35, d.High, 1e-15)

	d, err = Parse("{value: 110 +- 18 L/min, at_least: 100 L/min, at_most: 0.002 m3/s}", units.VolumeFlow)
	require.NoError(t, err)
	assert.InDelta(t, 100*perMinute, d.Low, 1e-15)
	assert.Equal(t, 0.002, d.High)
	d, cut, err := d.Truncate(0, math.Inf(1))
	require.NoError(t, err)
	assert.Zero(t, cut, "a stated bound is no cut by limits")

	d, err = Parse("{distribution: table, values: [9 mm, 12.7 mm, dash 6], weights: [1, 2, 1]}", units.Length)
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{0.009, 0.009525, 0.0127}, d.Values, 1e-17)
	assert.Equal(t, []float64{0.25, 0.25, 0.5}, d.Weights)

	d, err = Parse("{value: 8 .. 20 L/min, at_most: 14 L/min}", units.VolumeFlow)
	require.NoError(t, err)
	assert.InDelta(t, 11*perMinute, d.Nominal(), 1e-15, "a uniform law may be cut by its own statement")
}

func TestParseErrors(t *testing.T) {
	flow := units.VolumeFlow
	cases := []struct {
		text string
		dim  units.Dimension
		what string
		hint string
	}{
		{"20 .. 8 L/min", flow, "the low end is above the high end", "write 8 .. 20 L/min"},
		{"12 cm .. 80 mm", units.Length, "the low end is above the high end", "write 80 mm .. 12 cm"},
		{"8 .. 8 L/min", flow, "the range has no width", "write 8 L/min"},
		{"8 .. 8 .. 8 L/min", flow, "the range has no width", "write 8 L/min"},
		{"90 .. 160 .. 150 L/min", flow, "the mode is outside the range; low, mode and high rise", "write 90 .. 150 .. 160 L/min"},
		{"20 .. 15 .. 30 C", units.Temperature, "the mode is outside the range; low, mode and high rise", "write 15 .. 20 .. 30 C"},
		{"8 .. 20", flow, "unit is missing", "write 8 .. 20 L/min"},
		{"8 L/s .. 20", flow, "unit is missing", "write 8 .. 20 L/s"},
		{"110 +- 18", flow, "unit is missing", "write 110 +- 18 L/min"},
		{"110 L/s +- 18", flow, "the unit stands behind the last number", "write 110 +- 18 L/s"},
		{"0.4 x/ 1.4", units.MassFlow, "unit is missing", "write 0.4 x/ 1.4 g/s"},
		{"0.4 g/s x/ 1.4 g/s", units.MassFlow, "the geometric standard deviation has no unit", "write 0.4 g/s x/ 1.4"},
		{"0.4 x/ 0.7 g/s", units.MassFlow, "the geometric standard deviation is a factor of 1 or more", "write 0.4 x/ 1.43 g/s"},
		{"0.4 x/ -2 g/s", units.MassFlow, "the geometric standard deviation is a factor of 1 or more", "write 0.4 x/ 1.4 g/s"},
		{"0.4 x/ 2000 g/s", units.MassFlow, "the geometric standard deviation is above 1000", "write 0.4 x/ 1.4 g/s"},
		{"-0.4 x/ 1.4 g/s", units.MassFlow, "the median of a log-normal distribution is not positive", "write 0.4 x/ 1.4 g/s"},
		{"60 x/ 1.1 C", units.Temperature, "a log-normal temperature is absolute, in K", "write 60 +- 5 C"},
		{"dash 8 x/ 1.1", units.Length, "a dash size can't be log-normal", "write for instance 115 .. 125 mm"},
		{"110 +- -18 L/min", flow, "the standard deviation is negative", "write 110 +- 18 L/min"},
		{"110 +- 15 %", flow, "unit is missing behind the mean", "write 110 L/min +- 15 %"},
		{"60 C +- 10 %", units.Temperature, "per cent of a temperature has no meaning", "write 60 C +- 5 C"},
		{"0 L/min +- 10 %", flow, "per cent of a mean of 0 is no spread", "write for instance 110 +- 18 L/min"},
		{"0.3 +- 10 %", units.Fraction, "the mean can be a fraction or per cent", "write 30 +- 10 % or 0.3 % +- 10 %"},
		{"40 .. 85", units.Fraction, "a bare fraction is at most 1", "write 40 .. 85 %"},
		{"0.4 .. 85", units.Fraction, "a bare fraction is at most 1", "write 0.4 .. 85 %"},
		{"8-20 L/min", flow, "a range is written with two points", "write 8 .. 20 L/min"},
		{"8 – 20 L/min", flow, "a range is written with two points", "write 8 .. 20 L/min"},
		{"8 to 20 L/min", flow, "a range is written with two points", "write 8 .. 20 L/min"},
		{"-8 - 20 Pa", units.Pressure, "a range is written with two points", "write -8 .. 20 Pa"},
		{"8 ... 20 L/min", flow, "a range is written with two points", "write 8 .. 20 L/min"},
		{"8 … 20 L/min", flow, "a range is written with two points", "write 8 .. 20 L/min"},
		{"8 .. 20 kPa", flow, "kPa is a pressure, a volume flow is wanted", "write for instance 110 +- 18 L/min"},
		{"8 .. 20 L/MIN", flow, "unknown unit L/MIN, capitals count", "write 8 .. 20 L/min"},
		{"1 .. 2 qt", units.Volume, "qt can be US qt or imp qt", "write 1 .. 2 US qt or 1 .. 2 imp qt"},
		{"0,3 .. 0.5 L", units.Volume, "decimals are marked by a comma", "write 0.3 .. 0.5 L"},
		{"1 .. 2 .. 3 .. 4 L", units.Volume, "not a notation that is known", "write for instance 8 .. 20 L"},
		{"1 +- 2 .. 3 L", units.Volume, "not a notation that is known", "write for instance 8 .. 20 L"},
		{"1 +- 2 +- 3 L", units.Volume, "not a notation that is known", "write for instance 8 .. 20 L"},
		{".. 3 L", units.Volume, "nothing is written", "write for instance 8 .. 20 L"},
		{"3 +-", units.Volume, "nothing is written", "write for instance 8 .. 20 L"},
		{"", units.Volume, "nothing is written", "write for instance 0.45 L"},
		{"nan .. 3 L", units.Volume, "not a finite number", "write for instance 8 .. 20 L"},
		{"1 .. " + strings.Repeat("9", 700) + " L", units.Volume, "text is longer than 600 bytes", "write for instance 8 .. 20 L"},
		{"120", units.Length, "unit is missing", "write 120 mm"},
		{"{distribution: gamma}", flow, "unknown distribution", "write distribution: beta"},
		{"{distribution: beta, from: 5 %, to: 35 %}", units.Fraction, "a beta distribution needs two shape parameters", "write shape: [2, 5]"},
		{"{distribution: beta, shape: [2, 5], from: 35 %, to: 5 %}", units.Fraction, "the low end is above the high end", "write 5 .. 35 %"},
		{"{distribution: beta, shape: [2, 0], from: 5 %, to: 35 %}", units.Fraction, "the shape of a beta distribution is out of range", ""},
		{"{distribution: normal, mean: 1 L, sd: 1 L, gsd: 2}", units.Volume, "a normal distribution takes no gsd", "leave gsd out"},
		{"{distribution: normal, mean: 1 L, sd: 1 L, shape: [1, 2]}", units.Volume, "a normal distribution takes no shape", "leave shape out"},
		{"{value: 1 L, weights: [1]}", units.Volume, "a value without a distribution takes no values and weights", "write distribution: table"},
		{"{value: 1 L, mean: 2 L}", units.Volume, "a value without a distribution takes no mean", "leave mean out"},
		{"{value: '{value: 1 L}'}", units.Volume, "braces in braces", "write value: 8 .. 20 L"},
		{"{value: 1 L, at_least: 2 L}", units.Volume, "nothing is left between at_least and at_most",
			"write at_least below at_most, with the distribution between them"},
		{"{value: 1 L, at_least: 2}", units.Volume, "unit is missing", "write 2 L"},
		{"{value: 1 L, at_most: 2}", units.Volume, "unit is missing", "write 2 L"},
		{"{distribution: table}", units.Volume, "the table has no values", "write at least one value"},
		{"{distribution: table, values: [1 L, 2 mm]}", units.Volume, "mm is a length, a volume is wanted", "write for instance 0.45 L"},
		{"{value: &a 1 L}", units.Volume, "anchors, aliases and tags are not read here", "write the values out"},
	}
	for _, c := range cases {
		_, err := Parse(c.text, c.dim)
		var e *units.Error
		require.ErrorAs(t, err, &e, c.text)
		assert.Equal(t, c.what, e.What, c.text)
		assert.Equal(t, c.hint, e.Hint, c.text)
		if offer, ok := strings.CutPrefix(e.Hint, "write "); ok && !strings.HasPrefix(c.text, "{") {
			for _, o := range strings.Split(strings.TrimPrefix(offer, "for instance "), " or ") {
				_, err := Parse(o, c.dim)
				assert.NoError(t, err, "the hint of %q", c.text)
			}
		}
	}
	for _, text := range []string{"{", "{}", "{value}", "{value: [1, 2]}", "{valu: 1 L}", "{distribution: uniform, low: 1 L}", "{shape: x}", "{value: 1 L}}"} {
		_, err := Parse(text, units.Volume)
		var e *units.Error
		require.ErrorAs(t, err, &e, text)
		assert.NotEmpty(t, e.Hint, text)
	}
	for dim := units.Number; dim <= units.TrackLength; dim++ {
		_, err := Parse(Example(dim), dim)
		assert.NoError(t, err, "the example of %v", dim)
	}
}

func TestText(t *testing.T) {
	cases := []struct {
		text string
		dim  units.Dimension
		want string
	}{
		{"110 ± 18 L/min", units.VolumeFlow, "110 +- 18 L/min"},
		{"0.001 .. 0.002 m3/s", units.VolumeFlow, "60 .. 120 L/min"},
		{"80 mm .. 12 cm", units.Length, "80 .. 120 mm"},
		{"3/4 in", units.Length, "19.05 mm"},
		{"90 .. 110 .. 150 L/min", units.VolumeFlow, "90 .. 110 .. 150 L/min"},
		{"0.4 ×/ 1.4 g/s", units.MassFlow, "0.4 x/ 1.4 g/s"},
		{"118 +- 9 F", units.Temperature, "47.777777777778 +- 5 °C"},
		{"118 +- 5 C", units.Temperature, "118 +- 5 °C"},
		{"330 x/ 1.05 K", units.Temperature, "330 x/ 1.05 K"},
		{"0.3 +- 0.1", units.Fraction, "30 +- 10 %"},
		{"0.3 % +- 10 %", units.Fraction, "0.3 % +- 10 %"},
		{"1 +- 0.1", units.Number, "1 +- 0.1"},
		{"{distribution: beta, shape: [2, 5], from: 5 %, to: 35 %}", units.Fraction, "{distribution: beta, shape: [2, 5], from: 5 %, to: 35 %}"},
		{"{value: 110 +- 18 L/min, at_least: 80 L/min}", units.VolumeFlow, "{value: 110 +- 18 L/min, at_least: 80 L/min}"},
		{"{distribution: table, values: [2 mm, 1 mm]}", units.Length, "{distribution: table, values: [1 mm, 2 mm], weights: [0.5, 0.5]}"},
		{"{value: 3 mm}", units.Length, "3 mm"},
	}
	for _, c := range cases {
		d, err := Parse(c.text, c.dim)
		require.NoError(t, err, c.text)
		assert.Equal(t, c.want, d.Text(c.dim, units.Metric), c.text)
	}
	d, err := Parse("110 +- 18 L/min", units.VolumeFlow)
	require.NoError(t, err)
	assert.Equal(t, "3.88 +- 0.636 cfm", d.Format(units.VolumeFlow, units.US))
	d, _, err = d.Truncate(0, math.Inf(1))
	require.NoError(t, err)
	assert.Equal(t, "110 +- 18 L/min", d.Text(units.VolumeFlow, units.Metric), "limits aren't part of the notation")
	assert.Equal(t, "log-normal", LogNormalLaw.String())
	assert.Equal(t, "unknown distribution", Kind(99).String())
}

// assertSameLaw compares two laws but for rounding in the last digits; of a
// temperature, in those of its offset too, 460 F or 273 C.
func assertSameLaw(t testing.TB, want, got Distribution, dim units.Dimension, text string) {
	t.Helper()
	offset := 0.0
	if dim == units.Temperature {
		offset = 273.15
	}
	if want.Kind != got.Kind || len(want.Values) != len(got.Values) {
		t.Fatalf("%q: %v became %v", text, want.Kind, got.Kind)
	}
	pairs := [][2]float64{{want.A, got.A}, {want.B, got.B}, {want.C, got.C}, {want.From, got.From}, {want.To, got.To},
		{want.atLeast, got.atLeast}, {want.atMost, got.atMost}}
	for i := range want.Values {
		pairs = append(pairs, [2]float64{want.Values[i], got.Values[i]}, [2]float64{want.Weights[i], got.Weights[i]})
	}
	for _, p := range pairs {
		if p[0] != p[1] && !(math.Abs(p[0]-p[1]) <= 4e-15*(math.Abs(p[0])+offset)) {
			t.Fatalf("%q: %v became %v", text, want, got)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{"110 L/min", "110 +- 18 L/min", "8 .. 20 mm", "90 .. 110 .. 150 C", "0.4 x/ 1.4 g/s", "40 .. 85 %",
		"0.3 % +- 10 %", "dash 6 .. dash 8", "118 +- 9 F", "2 +- 10 %", "8-20 mm", "8 ... 20", "1,2 .. 3 L", "−1 .. 1 Pa", "20 .. 8 mm",
		"{distribution: beta, shape: [2, 5], from: 5 mm, to: 35 mm}", "{value: 1 +- 2 L, at_least: 0 L}",
		"{distribution: table, values: [1 mm, 3 mm], weights: [1, 3]}", "{", "", "\xff ..", "1e300 .. 1e305 m", "1e-300 x/ 1000 K"} {
		for _, dim := range []units.Dimension{units.VolumeFlow, units.Length, units.Fraction, units.Temperature, units.Number} {
			f.Add(seed, int(dim), 0.3)
		}
	}
	f.Fuzz(func(t *testing.T, text string, dimension int, u float64) {
		if dimension < 0 || dimension > int(units.TrackLength) {
			return
		}
		dim := units.Dimension(dimension)
		var d Distribution
		var err error
		bounded.Do(t, func() { d, err = Parse(text, dim) })
		if err != nil {
			var e *units.Error
			if !errors.As(err, &e) || e.What == "" || len(e.Error()) > 1000 {
				t.Fatalf("%q: %v", text, err)
			}
			return
		}
		for _, s := range []units.System{units.Metric, units.US} {
			written := d.Text(dim, s)
			back, err := Parse(written, dim)
			if err != nil {
				t.Fatalf("%q is written %q: %v", text, written, err)
			}
			assertSameLaw(t, d, back, dim, text+" as "+written)
		}
		if u > 0 && u < 1 {
			x := d.Quantile(u)
			if math.IsNaN(x) || x < d.Low || x > d.High {
				t.Fatalf("%q at %g: %g outside %g to %g", text, u, x, d.Low, d.High)
			}
		}
		if low, high := d.Range(); !(low <= high) || math.IsNaN(d.Mean()) || math.IsNaN(d.Nominal()) {
			t.Fatalf("%q: range %g to %g, mean %g, nominal %g", text, low, high, d.Mean(), d.Nominal())
		}
	})
}
