package units

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Numbers in every notation; the values are arithmetic on the definition of
// the inch.
func TestParseNumbers(t *testing.T) {
	cases := []struct {
		text string
		d    Dimension
		si   float64
	}{
		{"120 mm", Length, 0.12},
		{"120mm", Length, 0.12},
		{"  120   mm  ", Length, 0.12},
		{"120\u00a0mm", Length, 0.12},
		{"120\u202fmm", Length, 0.12},
		{"1.2e2 mm", Length, 0.12},
		{"1.2E+2 mm", Length, 0.12},
		{".5 m", Length, 0.5},
		{"5. m", Length, 5},
		{"+5 m", Length, 5},
		{"-5 m", Length, -5},
		{"- 5 m", Length, -5},
		{"\u22125 m", Length, -5},
		{"1/2 in", Length, 0.0127},
		{"3/4 in", Length, 0.01905},
		{`3/4"`, Length, 0.01905},
		{"3/4 inch", Length, 0.01905},
		{"3/4 in.", Length, 0.01905},
		{"1 1/4 in", Length, 0.03175},
		{"1-1/4 in", Length, 0.03175},
		{"-1 1/4 in", Length, -0.03175},
		{"½ in", Length, 0.0127},
		{"1½ in", Length, 0.0381},
		{"1 ½ in", Length, 0.0381},
		{"¼ in", Length, 0.00635},
		{"¾ in", Length, 0.01905},
		{"⅛ in", Length, 0.003175},
		{"⅜ in", Length, 0.009525},
		{"⅝ in", Length, 0.015875},
		{"⅞ in", Length, 0.022225},
		{"1/2 US qt", Volume, 0.000473176473},
		{"1/25", Number, 0.04},
		{"dash 8", Length, 0.0127},
		{"Dash 8", Length, 0.0127},
		{"dash-8", Length, 0.0127},
		{"-8 dash", Length, 0.0127},
		{"-8 AN", Length, 0.0127},
		{"-8AN", Length, 0.0127},
		{"AN-8", Length, 0.0127},
		{"AN 8", Length, 0.0127},
		{"8 AN", Length, 0.0127},
		{"-10 AN", Length, 0.015875},
		{"dash 12", Length, 0.01905},
		{"US qt", Volume, math.NaN()},
		{"0 %", Fraction, 0},
		{"140 %", Fraction, 1.4},
		{"-1", Fraction, -1},
		{"0.30 kPa", Pressure, 300},
		{"25 min", Time, 1500},
		{"118 °C", Temperature, 391.15},
		{"118 º C", Temperature, 391.15},
		{"1 U.S. qt", Volume, 0.000946352946},
		{"6000 km", Distance, 6e6},
		{"1.2 um", DropletSize, 1.2e-6},
		{"0.12 mm", DropletSize, 1.2e-4},
		{"1180 kg", VehicleMass, 1180},
		{"400 m", TrackLength, 400},
		{"1/4 mi", TrackLength, 402.336},
		{"dash 8", TrackLength, math.NaN()},
		{"1180", VehicleMass, math.NaN()},
	}
	for _, c := range cases {
		got, err := Parse(c.text, c.d)
		if math.IsNaN(c.si) {
			assert.Error(t, err, c.text)
			continue
		}
		require.NoError(t, err, c.text)
		assert.InDelta(t, c.si, got, 4e-16*math.Abs(c.si), c.text)
	}
}

// The words of each error, and its hint.
func TestParseErrors(t *testing.T) {
	cases := []struct {
		text string
		d    Dimension
		what string
		hint string
	}{
		{"120", Length, "unit is missing", "write 120 mm"},
		{"0.45", Volume, "unit is missing", "write 0.45 L"},
		{"90", Temperature, "unit is missing", "write 90 C"},
		{"-8", Length, "unit is missing", "write dash 8 or -8 mm"},
		{"-8", Pressure, "unit is missing", "write -8 kPa"},
		{"3 kPa", Length, "kPa is a pressure, a length is wanted", "write for instance 120 mm"},
		{"3 mm", Area, "mm is a length, an area is wanted", "write for instance 44 cm2"},
		{"3 %", Length, "% is a fraction, a length is wanted", "write for instance 120 mm"},
		{"3 mm", Number, "mm is a length, a number is wanted", "write 3"},
		{"16 oz", Volume, "oz is a mass, a volume is wanted", "write 16 US fl oz or 16 imp fl oz"},
		{"1 qt", Volume, "qt can be US qt or imp qt", "write 1 US qt or 1 imp qt"},
		{"2 gal", Volume, "gal can be US gal or imp gal", "write 2 US gal or 2 imp gal"},
		{"1 qt", Length, "qt is a volume, a length is wanted", "write for instance 120 mm"},
		{"5 kpa", Pressure, "unknown unit kpa, capitals count", "write 5 kPa"},
		{"5 MM", Length, "unknown unit MM, capitals count", "write 5 mm"},
		{"5 mPa", Pressure, "unknown unit mPa", "write for instance 0.8 kPa"},
		{"5 furlong", Length, "unknown unit furlong", "write for instance 120 mm"},
		{"40", Fraction, "a bare fraction is at most 1", "write 40 %"},
		{"1.01", Fraction, "a bare fraction is at most 1", "write 1.01 %"},
		{"-3", Fraction, "a bare fraction is at most 1", "write -3 %"},
		{"0,45 L", Volume, "decimals are marked by a comma", "write 0.45 L"},
		{"12,5 mm", Length, "decimals are marked by a comma", "write 12.5 mm"},
		{"0,450 L", Volume, "decimals are marked by a comma", "write 0.450 L"},
		{"1,200 mL", Volume, "a comma can group digits or mark decimals", "write 1200 mL or 1.200 mL"},
		{"1,200.5 mL", Volume, "digits are grouped", "write 1200.5 mL"},
		{"1,200,000 mL", Volume, "digits are grouped", "write 1200000 mL"},
		{"1 200 mL", Volume, "digits are grouped", "write 1200 mL"},
		{"1\u202f200 mL", Volume, "digits are grouped", "write 1200 mL"},
		{"1'200 mL", Volume, "digits are grouped", "write 1200 mL"},
		{"1_200 mL", Volume, "digits are grouped", "write 1200 mL"},
		{"1,2,3 mm", Length, "not a number", "write decimals with a point"},
		{"1.2.3 mm", Length, "not a number", "write for instance 120 mm"},
		{"1 2 mm", Length, "not a number", "write for instance 120 mm"},
		{"", Length, "nothing is written", "write for instance 120 mm"},
		{" \t", Length, "nothing is written", "write for instance 120 mm"},
		{"mm", Length, "no number at the start", "write for instance 120 mm"},
		{"about 3 mm", Length, "no number at the start", "write for instance 120 mm"},
		{"nan mm", Length, "not a finite number", "write for instance 120 mm"},
		{"-Inf mm", Length, "not a finite number", "write for instance 120 mm"},
		{".inf", Number, "not a finite number", "write for instance 2.5"},
		{"1e999 mm", Length, "not a finite number", "write for instance 120 mm"},
		{"1e308 km", Distance, "too large a number", ""},
		{"1/0 in", Length, "not a finite number", "write for instance 120 mm"},
		{"0/0 in", Length, "not a finite number", "write for instance 120 mm"},
		{"dash 0", Length, "no such dash size", "write dash 8 or 12.7 mm"},
		{"dash 127", Length, "no such dash size", "write dash 8 or 12.7 mm"},
		{strings.Repeat("9", 201), Length, "text is longer than 200 bytes", "write for instance 120 mm"},
		{"3 \xff", Length, "text is not UTF-8", "write for instance 120 mm"},
	}
	for _, c := range cases {
		_, err := Parse(c.text, c.d)
		var e *Error
		require.ErrorAs(t, err, &e, c.text)
		assert.Equal(t, c.what, e.What, c.text)
		assert.Equal(t, c.hint, e.Hint, c.text)
		assert.NotEmpty(t, e.Wanted, c.text)
		assertHintMends(t, e.Hint, c.d)
	}
}

// assertHintMends reads what a hint offers.
func assertHintMends(t *testing.T, hint string, d Dimension) {
	t.Helper()
	offer, ok := strings.CutPrefix(hint, "write ")
	if !ok || offer == "decimals with a point" {
		return
	}
	for _, o := range strings.Split(strings.TrimPrefix(offer, "for instance "), " or ") {
		_, err := Parse(o, d)
		assert.NoError(t, err, "the hint %q", hint)
	}
}

func TestErrorText(t *testing.T) {
	_, err := Parse("120", Area)
	assert.EqualError(t, err, `unit is missing (got "120", wanted an area in cm2, mm2, m2, in2 or ft2)`)
	_, err = Parse("120 x", Fraction)
	assert.EqualError(t, err, `unknown unit x (got "120 x", wanted a bare number up to 1, or %)`)
	_, err = Parse("120 x", Length)
	assert.ErrorContains(t, err, "or dash size")
	assert.Equal(t, "ab?c?", Shorten("ab\x00c\xff"))
	long := Shorten(strings.Repeat("é", 1000))
	assert.Equal(t, 49, len([]rune(long)))
	assert.True(t, strings.HasSuffix(long, "é…"), long)
}

func TestParseUnitErrors(t *testing.T) {
	_, err := ParseUnit("", Length)
	assert.EqualError(t, err, `unit is missing (got "", wanted a length in mm, cm, m, in, ft, µm, km, mi or dash size)`)
	for _, unit := range []string{"kPa", "Mm", "qt"} {
		_, err := ParseUnit(unit, Volume)
		var e *Error
		require.True(t, errors.As(err, &e), unit)
		assert.NotEmpty(t, e.Hint, unit)
	}
	u, err := ParseUnit("", Number)
	require.NoError(t, err)
	assert.Equal(t, 7.0, u.ToSI(7))
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{"120 mm", "1-1/4 in", "dash 8", "-8 AN", "0,45 L", "1,200 mL", "118 °C", "½ in", "1e400 m",
		"40 %", "−5 Pa", "1 qt", "3 mPa", "nan", "", "1 200 000 mL", "5 m/s²", "\xff", "1/0", "12'"} {
		for _, d := range []Dimension{Length, Volume, Fraction} {
			f.Add(seed, int(d))
		}
	}
	f.Fuzz(func(t *testing.T, text string, dimension int) {
		d := Dimension(dimension)
		si, err := Parse(text, d)
		if err == nil {
			if math.IsNaN(si) || math.IsInf(si, 0) {
				t.Fatalf("%q gives %g", text, si)
			}
			if !d.valid() {
				t.Fatalf("%q is read as %v", text, d)
			}
			back, err := Parse(Format(si, d, Metric), d)
			if err != nil {
				t.Fatalf("%q is written %q: %v", text, Format(si, d, Metric), err)
			}
			rounded := 0.0051*math.Abs(si) + 1e-12
			if d == Temperature { // is rounded in °C, from another zero, to one decimal at the most
				rounded = max(0.0051*math.Abs(si-273.15), 0.0501)
			}
			if math.Abs(back-si) > rounded {
				t.Fatalf("%q is %g, written %q is %g", text, si, Format(si, d, Metric), back)
			}
			return
		}
		var e *Error
		if !errors.As(err, &e) || e.What == "" || len(e.Error()) > 1000 {
			t.Fatalf("%q: %v", text, err)
		}
	})
}
