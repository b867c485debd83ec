package main

import (
	"errors"
	"math"
	"testing"

	"sumpward/scenarios/units"
)

// FuzzRangeFlag: whatever is typed for a range is so many finite values, or an error
// that says what is wrong and what would be right.
func FuzzRangeFlag(f *testing.F) {
	for _, text := range []string{"30mm..130mm:6", "30..130mm", "10mm,12.7mm,16mm", "dash 6..dash 10", "1/2 in .. 1 in:3", "30mm..130mm:201", "..", ",", "1e308mm..-1e308mm",
		"5 %..40 %:4", "0.1,0.2", "1:2:3", "NaN..1mm", "-10mm..10mm", "30 mm .. 130 mm", "$(x)..`y`", "0..0mm", "1e100m..-1e100m"} {
		f.Add(text, int(units.Length), false)
		f.Add(text, int(units.Fraction), true)
	}
	f.Fuzz(func(t *testing.T, text string, dimension int, single bool) {
		if dimension < 0 || dimension > int(units.TrackLength) {
			return
		}
		values, err := rangeFlag{lead: "--input x=", dimension: units.Dimension(dimension), single: single}.parse(text)
		if err != nil {
			var wrong *units.Error
			if !errors.As(err, &wrong) || wrong.What == "" || len(wrong.Error()) > 1000 || exitCode(err) != exitCommandLine {
				t.Fatalf("%q: %v", text, err)
			}
			return
		}
		if len(values) < 1 || len(values) > mostValues || len(values) < fewestOfAny && !single {
			t.Fatalf("%q: %d values", text, len(values))
		}
		for _, v := range values {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%q: %v", text, values)
			}
		}
	})
}
