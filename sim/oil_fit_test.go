package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/physics"
)

// The fit is the laws of ASTM D341 and D1250, far within what a step of temperature
// leaves open (1 % of viscosity).
func TestOilFitIsTheLaw(t *testing.T) {
	for _, nu := range [][2]float64{{98e-6, 14.5e-6}, {40e-6, 8e-6}, {250e-6, 25e-6}, {500e-6, 30e-6}, {20e-6, 4e-6}} {
		law, err := physics.ViscosityThrough(313.15, nu[0], 373.15, nu[1])
		require.NoError(t, err)
		oil := &Oil{Viscosity: law, Density15: 870}
		for _, r := range []struct{ low, high, within float64 }{
			{333, 391, 1e-7}, {333, 381, 2e-6}, {298, 391, 5e-6}, {391, 391, 1e-12}, {270, 380, 1e-4}, {250, 430, 1e-12},
		} {
			var f oilFit
			f.start(oil, r.low, r.high)
			for i := range 201 {
				temperature := r.low + (r.high-r.low)*float64(i)/200
				density, viscosity := f.at(temperature)
				exact := physics.OilDensity(870, temperature)
				assert.InEpsilon(t, exact, density, 5e-7)
				require.InEpsilon(t, law.At(temperature)*exact, viscosity, max(r.within, 1e-9), "%v at %g K of %v", nu, temperature, r)
			}
		}
	}
}
