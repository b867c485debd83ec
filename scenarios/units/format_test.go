package units

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestFormat(t *testing.T) {
	cases := []struct {
		si     float64
		d      Dimension
		metric string
		us     string
	}{
		{0.12, Length, "120 mm", "4.72 in"},
		{0.0127, Length, "12.7 mm", "0.5 in"},
		{2.5, Length, "2.5 m", "8.2 ft"},
		{3e-6, Length, "3 µm", "0.000118 in"},
		{-0.0312, Length, "-31.2 mm", "-1.23 in"},
		{0, Length, "0 mm", "0 in"},
		{0.45e-3, Volume, "0.45 L", "0.476 US qt"},
		{32e-6, Volume, "32 mL", "1.08 US fl oz"},
		{96e-3 / 60, VolumeFlow, "96 L/min", "3.39 cfm"},
		{0.4e-3, MassFlow, "0.4 g/s", "0.4 g/s"},
		{300, Pressure, "0.3 kPa", "1.2 inH2O"},
		{150, Pressure, "150 Pa", "0.602 inH2O"},
		{1.1e5, Pressure, "1.1 bar", "16 psi"},
		{391.15, Temperature, "118 °C", "244 °F"},
		{273.15, Temperature, "0 °C", "32 °F"},
		{5, TemperatureDifference, "5 K", "9 °F"},
		{0.012, Fraction, "1.2 %", "1.2 %"},
		{1234.4, Density, "1234 kg/m3", "77.1 lb/ft3"},
		{44e-4, Area, "44 cm2", "6.82 in2"},
		{14.5e-6, KinematicViscosity, "14.5 cSt", "14.5 cSt"},
		{1e-3, Concentration, "1 g/m3", "1 g/m3"},
		{9, Time, "9 s", "9 s"},
		{1500, Time, "25 min", "25 min"},
		{14400, Time, "4 h", "4 h"},
		{3.8, Speed, "3.8 m/s", "12.5 ft/s"},
		{60 / 3.6, RoadSpeed, "60 km/h", "37.3 mph"},
		{6e6, Distance, "6000 km", "3728 mi"},
		{235e3, Power, "235 kW", "315 hp"},
		{1180, VehicleMass, "1180 kg", "2601 lb"},
		{1.2e-6, DropletSize, "1.2 µm", "1.2 µm"},
		{100e-6, DropletSize, "100 µm", "100 µm"},
		{1300, TrackLength, "1300 m", "4265 ft"},
		{0.7, Area, "0.7 m2", "7.53 ft2"},
		{1.1 * 9.80665, Acceleration, "1.1 g", "1.1 g"},
		{0.25, Mass, "250 g", "8.82 oz"},
		{math.Pi / 6, Angle, "30 deg", "30 deg"},
		{20, Frequency, "20 Hz", "20 Hz"},
		{2.5, Number, "2.5", "2.5"},
		{1.0 / 3, Number, "0.333", "0.333"},
		{-0.00000001, Temperature, "-273 °C", "-460 °F"},
		{math.Inf(1), Length, "+Inf m", "+Inf ft"},
		{math.NaN(), Number, "NaN", "NaN"},
		{1e-12, Number, "1.00e-12", "1.00e-12"},
	}
	for _, c := range cases {
		assert.Equal(t, c.metric, Format(c.si, c.d, Metric), "%g as %v", c.si, c.d)
		assert.Equal(t, c.us, Format(c.si, c.d, US), "%g as %v", c.si, c.d)
	}
}

// What is written is read back to three digits, whatever the size. Tolerance:
// half of the third digit of the smallest number that has it, 1.00.
func TestFormatParsesBack(t *testing.T) {
	for d := Number; d < dimensions; d++ {
		for exponent := -9; exponent <= 9; exponent++ {
			si := 1.2345 * math.Pow(10, float64(exponent))
			for _, s := range []System{Metric, US} {
				text := Format(si, d, s)
				back, err := Parse(text, d)
				require.NoError(t, err, text)
				tolerance := 0.0051 * si
				if d == Temperature {
					tolerance += 0.5 // whole degrees
				}
				assert.InDelta(t, si, back, tolerance, "%g of %v as %s", si, d, text)
			}
		}
	}
}

func TestDisplayUnit(t *testing.T) {
	assert.Equal(t, "L", DisplayUnit(Volume, Metric).Symbol)
	assert.Equal(t, "US qt", DisplayUnit(Volume, US).Symbol)
	assert.Equal(t, "°C", DisplayUnit(Temperature, Metric).Symbol)
	assert.Equal(t, 100.0, DisplayUnit(Temperature, Metric).FromSI(373.15))
	assert.Equal(t, 1.0, DisplayUnit(dimensions, Metric).Factor)
	for d := Number; d < dimensions; d++ {
		for _, s := range []System{Metric, US} {
			u := DisplayUnit(d, s)
			if d != Number {
				_, err := ParseUnit(u.Symbol, d)
				assert.NoError(t, err, "%v", d)
			}
			assert.Equal(t, d, u.Dimension)
		}
	}
}
