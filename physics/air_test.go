package physics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAirAgainstTheStandardAtmosphere(t *testing.T) {
	// US Standard Atmosphere 1976, tables, at 0, 2000, 4000 and 6000 m; density
	// and viscosity printed to five digits.
	for _, c := range []struct{ temperature, pressure, density, viscosity float64 }{
		{288.150, 101325.0, 1.2250, 1.7894e-5},
		{275.154, 79501.4, 1.0066, 1.7260e-5},
		{262.166, 61660.4, 0.81935, 1.6612e-5},
		{249.187, 47217.6, 0.66011, 1.5949e-5},
	} {
		assert.InEpsilon(t, c.density, AirDensity(c.pressure, c.temperature), 6e-5)
		assert.InEpsilon(t, c.viscosity, AirViscosity(c.temperature), 5e-5)
	}
}

func TestAirAgainstATable(t *testing.T) {
	// Cengel, table A-15, air at one atmosphere. Density to the last printed
	// digit (0.05 %); viscosity 0.8 %, because the table rests on other data.
	for _, c := range []struct{ celsius, density, viscosity float64 }{
		{20, 1.204, 1.825e-5}, {40, 1.127, 1.918e-5}, {80, 0.9994, 2.096e-5}, {100, 0.9458, 2.181e-5}, {140, 0.8542, 2.345e-5},
	} {
		gas := BlowByGas(c.celsius + CelsiusZero)
		assert.InEpsilon(t, c.density, gas.Density, 5e-4)
		assert.InEpsilon(t, c.viscosity, gas.Viscosity, 8e-3)
	}
	// Incropera, table A.4 (from memory), densities for 1e5 Pa.
	for _, c := range []struct{ temperature, density, viscosity float64 }{
		{300, 1.1614, 184.6e-7}, {350, 0.9950, 208.2e-7}, {400, 0.8711, 230.1e-7},
	} {
		assert.InEpsilon(t, c.density, AirDensity(1e5, c.temperature), 5e-4)
		assert.InEpsilon(t, c.viscosity, AirViscosity(c.temperature), 8e-3)
	}
}

func TestSutherland(t *testing.T) {
	// Sutherland's law, computed independently.
	for celsius, want := range map[float64]float64{20: 1.813406e-5, 40: 1.907574e-5, 80: 2.087372e-5, 100: 2.173408e-5, 140: 2.338627e-5} {
		assert.InDelta(t, want, AirViscosity(celsius+CelsiusZero), 6e-12)
	}
}

func TestCheckedAirViscosity(t *testing.T) {
	mu, err := CheckedAirViscosity(363.15)
	require.NoError(t, err)
	assert.Equal(t, AirViscosity(363.15), mu)
	_, err = CheckedAirViscosity(90)
	var out *RangeError
	require.ErrorAs(t, err, &out)
	assert.Equal(t, "air temperature is 90 K, outside 100 to 1900 K (Sutherland's law, US Standard Atmosphere 1976)", err.Error())
	_, err = CheckedAirViscosity(1901)
	assert.Error(t, err)
}

func TestPulsationFactor(t *testing.T) {
	assert.Equal(t, 1.0, PulsationFactor(0))
	assert.InDelta(t, 1.18, PulsationFactor(0.6), 1e-15)
	// the mean of (1 + r sin)² over a cycle, by sum
	sum, n := 0.0, 1000
	for i := range n {
		s := 1 + 0.6*math.Sin(2*math.Pi*float64(i)/float64(n))
		sum += s * s / float64(n)
	}
	assert.InDelta(t, sum, PulsationFactor(0.6), 1e-12)
}
