package units

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func dimensionNamed(t *testing.T, name string) Dimension {
	t.Helper()
	for d := Number; d < dimensions; d++ {
		if d.String() == name {
			return d
		}
	}
	t.Fatalf("no dimension %q", name)
	return 0
}

// sameUnits are dimensions that share their units with another, in another order.
var sameUnits = map[Dimension]bool{Distance: true, RoadSpeed: true, VehicleMass: true, DropletSize: true, TrackLength: true}

func TestUnitsAgainstTheirDefinitions(t *testing.T) {
	file, err := os.Open("testdata/units.csv")
	require.NoError(t, err)
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	checked := map[Unit]bool{}
	for _, row := range rows[1:] {
		d := dimensionNamed(t, row[0])
		want, err := strconv.ParseFloat(row[2], 64)
		require.NoError(t, err)
		tolerance := map[string]float64{"exact": 4e-16, "rounded": 1e-9}[row[3]]
		require.NotZero(t, tolerance, row)
		got, err := Parse(row[1], d)
		require.NoError(t, err, row)
		assert.InDelta(t, want, got, tolerance*math.Abs(want), "%v", row)

		_, spelling, err := Split(row[1])
		require.NoError(t, err)
		u, err := ParseUnit(spelling, d)
		require.NoError(t, err)
		checked[u] = true
	}
	for d, entries := range table {
		for _, e := range entries {
			u, err := ParseUnit(e.symbol, Dimension(d))
			require.NoError(t, err)
			if !sameUnits[Dimension(d)] {
				assert.True(t, checked[u], "%s of %v stands in the table but isn't checked", e.symbol, Dimension(d))
			}
		}
	}
}

// A kind of quantity must not be mistaken for another with the same factor.
func TestUnitsTakenOnlyWhereTheyBelong(t *testing.T) {
	for _, c := range []struct {
		text string
		d    Dimension
	}{
		{"1 kPa", Length}, {"1 mm", Area}, {"1 L", VolumeFlow}, {"1 g/s", Mass}, {"1 C", Time},
		{"1 mm", Number}, {"1 %", Number}, {"1 %", Length}, {"1 K", Pressure}, {"1 cSt", Area},
		{"1 kg/m3", KinematicViscosity}, {"1 min", Angle}, {"dash 8", Volume}, {"1 km/h", Distance},
		{"1 kW", Mass}, {"1 kPa", Power}, {"1 bar", Power},
	} {
		_, err := Parse(c.text, c.d)
		assert.Error(t, err, "%s as %v", c.text, c.d)
	}
	g, err := Parse("2 g", Mass)
	require.NoError(t, err)
	assert.Equal(t, 0.002, g)
	g, err = Parse("2 g", Acceleration)
	require.NoError(t, err)
	assert.Equal(t, 2*9.80665, g)
}

func TestUnitConvertsBothWays(t *testing.T) {
	for d := Number; d < dimensions; d++ {
		for _, symbol := range d.Units() {
			u, err := ParseUnit(symbol, d)
			require.NoError(t, err)
			assert.Equal(t, d, u.Dimension)
			assert.InDelta(t, 37.5, u.FromSI(u.ToSI(37.5)), 1e-12, "%s of %v", symbol, d)
		}
	}
}

func TestKnown(t *testing.T) {
	for unit, want := range map[string]Dimension{
		"kPa": Pressure, "mm": Length, "L/min": VolumeFlow, "°C": Temperature, "g": Mass, "qt": Volume, "%": Fraction,
		"km": Length, "cSt": KinematicViscosity, "rpm": Frequency, "m/s²": Acceleration,
	} {
		d, ok := Known(unit)
		assert.True(t, ok, unit)
		assert.Equal(t, want, d, unit)
	}
	for _, unit := range []string{"", "furlong", "mPa", "8"} {
		_, ok := Known(unit)
		assert.False(t, ok, unit)
	}
}

func TestDimensionNames(t *testing.T) {
	assert.Equal(t, "length", Length.String())
	assert.Equal(t, "unknown dimension", Dimension(-1).String())
	assert.Equal(t, "unknown dimension", dimensions.String())
	assert.Nil(t, dimensions.Units())
	assert.Equal(t, []string{"%"}, Fraction.Units())
	assert.Equal(t, "mm", Length.Units()[0])
	assert.Equal(t, "km", Distance.Units()[0])
	assert.Equal(t, "km/h", RoadSpeed.Units()[0])
	assert.Equal(t, "kW", Power.Units()[0])
	assert.Equal(t, []string{"kg", "lb"}, VehicleMass.Units()[:2])
	assert.Equal(t, "µm", DropletSize.Units()[0])
	assert.Equal(t, []string{"m", "ft"}, TrackLength.Units()[:2])
	for d, as := range map[Dimension]Dimension{VehicleMass: Mass, DropletSize: Length, TrackLength: Length, Distance: Length, RoadSpeed: Speed} {
		assert.ElementsMatch(t, as.Units(), d.Units())
	}
	for d := Number; d < dimensions; d++ {
		assert.NotEmpty(t, d.String())
		_, err := Parse(example(d), d)
		assert.NoError(t, err, "the example of %v", d)
	}
	_, err := Parse("1 mm", dimensions)
	assert.Error(t, err)
}
