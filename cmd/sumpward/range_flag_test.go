package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios/units"
)

func TestRangesAndLists(t *testing.T) {
	for _, x := range []struct {
		text string
		of   units.Dimension
		want []float64
	}{
		{"30mm..130mm:6", units.Length, []float64{0.03, 0.05, 0.07, 0.09, 0.11, 0.13}},
		{" 30 mm .. 130 mm : 6 ", units.Length, []float64{0.03, 0.05, 0.07, 0.09, 0.11, 0.13}},
		{"30..130mm:2", units.Length, []float64{0.03, 0.13}},
		{"30mm..130:2", units.Length, []float64{0.03, 0.13}},
		{"3cm..130mm:3", units.Length, []float64{0.03, 0.08, 0.13}},
		{"0..80mm", units.Length, []float64{0, 0.01, 0.02, 0.03, 0.04, 0.05, 0.06, 0.07, 0.08}},
		{"130mm..30mm:3", units.Length, []float64{0.13, 0.08, 0.03}},
		{"10mm,12.7mm,16mm", units.Length, []float64{0.01, 0.0127, 0.016}},
		{"10, 12.7, 16 mm", units.Length, []float64{0.01, 0.0127, 0.016}},
		{"1/2..3/4in:2", units.Length, []float64{0.0127, 0.01905}},
		{"0.2..0.8:3", units.Fraction, []float64{0.2, 0.5, 0.8}},
		{"20..80%:3", units.Fraction, []float64{0.2, 0.5, 0.8}},
		{"1..3:3", units.Number, []float64{1, 2, 3}},
		{"60..120C:3", units.Temperature, []float64{333.15, 363.15, 393.15}},
		{"-1..1g:3", units.Acceleration, []float64{-9.80665, 0, 9.80665}},
	} {
		got, err := rangeFlag{lead: "--input x=", dimension: x.of}.parse(x.text)
		require.NoError(t, err, x.text)
		require.Len(t, got, len(x.want), x.text)
		for i := range got {
			assert.InDelta(t, x.want[i], got[i], 1e-15*max(1, x.want[i]), "%s", x.text)
		}
	}
	round, err := rangeFlag{lead: "--input x=", dimension: units.Length}.parse("30mm..130mm:11")
	require.NoError(t, err)
	for i, v := range round {
		want, _ := units.Parse([]string{"30", "40", "50", "60", "70", "80", "90", "100", "110", "120", "130"}[i]+" mm", units.Length)
		assert.Equal(t, want, v, "a round value stays what it would be if written")
	}
	one, err := rangeFlag{lead: "--bores ", dimension: units.Length, single: true}.parse("12.7 mm")
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{0.0127}, one, 1e-15)
	dashes, err := rangeFlag{lead: "--input x=", dimension: units.Length}.parse("dash 6, dash 8, 16mm")
	require.NoError(t, err)
	assert.InDelta(t, 0.0127, dashes[1], 1e-15)
	assert.Equal(t, 0.016, dashes[2])
}

func TestWrongRangesSayWhatToWrite(t *testing.T) {
	for text, want := range map[string][2]string{
		"30..130:6":        {"--input drain.fall=30..130:6: unit is missing (got \"30\", wanted a length in mm", "write --input drain.fall=30mm..130mm:6"},
		"30..130":          {"unit is missing", "write --input drain.fall=30mm..130mm"},
		"30,60":            {"unit is missing", "write --input drain.fall=30mm,60mm"},
		"":                 {"--input drain.fall=: nothing is written", "write for instance --input drain.fall=1mm..2mm:6 or --input drain.fall=1mm,1.5mm,2mm"},
		"30mm":             {"one value is no range", "write for instance --input drain.fall=30mm..60mm:6 or --input drain.fall=30mm,45mm,60mm"},
		"30mm..130mm:1":    {"the number of values is not possible (got \"1\", wanted 2 to 200)", "write for instance --input drain.fall=30mm..130mm:6"},
		"30mm..130mm:201":  {"the number of values is not possible (got \"201\", wanted 2 to 200)", "write for instance"},
		"30mm..130mm:many": {"the number of values is not possible (got \"many\", wanted 2 to 200)", "write for instance"},
		"30mm..130mm:":     {"the number of values is not possible (got \"\", wanted 2 to 200)", "write for instance"},
		"30..60..90mm":     {"a range has two ends", "write for instance"},
		"30mm...130mm":     {"a range has two ends", "write for instance"},
		"..130mm":          {"a range has two ends", "write for instance"},
		"30mm..30mm":       {"both ends are the same", "write for instance --input drain.fall=30mm..60mm:6"},
		"-30mm":            {"one value is no range", "write for instance --input drain.fall=-30mm..-29mm:6"},
		"12.7kPa":          {"one value is no range", "drain.fall=1mm..2mm:6"},
		"30mm,,60mm":       {"a value is missing between commas", "write for instance"},
		"30L..60L":         {"length", ""},
		"thirty..60mm":     {"no number at the start", ""},
	} {
		_, err := rangeFlag{lead: "--input drain.fall=", dimension: units.Length}.parse(text)
		require.Error(t, err, text)
		assert.Equal(t, exitCommandLine, exitCode(err))
		assert.Contains(t, err.Error(), want[0], text)
		var e *units.Error
		require.ErrorAs(t, err, &e, text)
		assert.Contains(t, e.Hint, want[1], text)
	}
	_, err := rangeFlag{lead: "--input separator.efficiency=", dimension: units.Fraction}.parse("20..80:3")
	var e *units.Error
	require.ErrorAs(t, err, &e)
	assert.Equal(t, "write --input separator.efficiency=20%..80%:3", e.Hint)
}
