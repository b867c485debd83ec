package physics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// thin oil, so that m = 1
const thin = 1e-4

func area(bore float64) float64 { return math.Pi / 4 * bore * bore }

func TestFloodingOfAirAndWater(t *testing.T) {
	// Wallis 1961 and 1969 (form and constants from memory): 25.4 mm, 998.2 and
	// 1.204 kg/m3; superficial velocities computed independently.
	for _, c := range []struct{ constant, gas, liquid, gasBesideLiquid float64 }{
		{0.725, 7.54895, 0.262175, 2.39528},
		{0.88, 11.12182, 0.386261, 4.55854},
		{1.00, 14.36186, 0.498787, 6.70726},
	} {
		f := Flooding{Bore: 0.0254, GasDensity: 1.204, OilDensity: 998.2, OilViscosity: 1e-3, Constant: c.constant}
		a := area(f.Bore)
		assert.Equal(t, 1.0, f.Factor())
		assert.InDelta(t, c.gas, f.GasLimit()/a, 5e-6)
		assert.InDelta(t, c.liquid, f.OilLimit(0)/a, 5e-7)
		assert.InDelta(t, 0.05, f.OilLimit(c.gasBesideLiquid*a)/a, 5e-7)
	}
}

func TestFloodingOfHotOil(t *testing.T) {
	// Wallis 1961 and 1969 (from memory), hot oil of 820 against gas of 1.00
	// kg/m3: gas limit for three constants, and the oil that may run down
	// against 1 m/s with C = 0.725 and m = 1; computed independently.
	for _, c := range []struct{ bore, low, middle, high, oil float64 }{
		{0.006, 3.64883, 5.37580, 6.94189, 0.81800e-6},
		{0.008, 4.21331, 6.20744, 8.01581, 1.94499e-6},
		{0.010, 4.71062, 6.94013, 8.96195, 3.75707e-6},
		{0.012, 5.16023, 7.60253, 9.81732, 6.38640e-6},
		{0.016, 5.95852, 8.77865, 11.33606, 14.57993e-6},
		{0.019, 6.49315, 9.56631, 12.35319, 23.73147e-6},
		{0.025, 7.44815, 10.97331, 14.17008, 51.25285e-6},
	} {
		for constant, want := range map[float64]float64{0.725: c.low, 0.88: c.middle, 1: c.high} {
			f := Flooding{c.bore, 1.00, 820, thin, constant}
			assert.InDelta(t, want, f.GasLimit()/area(c.bore), 5e-6, "%g m, C %g", c.bore, constant)
			assert.Zero(t, f.OilLimit(f.GasLimit()*(1+1e-9)))
			assert.Zero(t, f.OilLimit(10*f.GasLimit()))
		}
		f := Flooding{c.bore, 1.00, 820, thin, 0.725}
		assert.InDelta(t, c.oil, f.OilLimit(1.0*area(c.bore)), 5e-12)
		assert.Equal(t, f.OilLimit(0), f.OilLimit(-1e-3), "gas that goes down counts as none")
	}
}

func TestFloodingOfViscousOil(t *testing.T) {
	// Wallis 1969 (from memory): √j_g* + 5.6 √(j_f*/N_f) = C for N_f < 2. For N_f
	// above 31.4 the factor would fall below 1 and stays there.
	f := Flooding{0.012, 1.00, 820, 1.0, 0.725}
	number := math.Sqrt(9.80665*math.Pow(0.012, 3)*820*819) / 1.0
	assert.InDelta(t, 3.373, number, 1e-3, "337.3 at 0.010 Pa·s, computed independently")
	assert.InEpsilon(t, 5.6/math.Sqrt(number), f.Factor(), 1e-12)
	star := f.OilLimit(0) / area(0.012) * math.Sqrt(820/(9.80665*0.012*819))
	assert.InEpsilon(t, 0.725, 5.6*math.Sqrt(star/number), 1e-12)
	f.OilViscosity = number / 31.3
	assert.Greater(t, f.Factor(), 1.0)
	f.OilViscosity = number / 31.4
	assert.Equal(t, 1.0, f.Factor())
	assert.Equal(t, Flooding{0.012, 1.00, 820, thin, 0.725}.GasLimit(), f.GasLimit(), "viscosity doesn't move the gas limit")
}

func TestSelfVentingFlow(t *testing.T) {
	// P. D. Hills, Chem. Eng., 5 September 1983: a published sheet of the limit
	// Fr = 0.3, m3/h and mm, printed to 1 mm (so 2.5 %/D in flow; g 9.81 there).
	for hourly, bore := range map[float64]float64{2: 56, 5: 81, 10: 107, 20: 142, 25: 155, 80: 246, 100: 269, 200: 355} {
		flow := hourly / 3600
		assert.Less(t, SelfVentingFlow((bore-0.7)/1000), flow, "%g m3/h", hourly)
		assert.Greater(t, SelfVentingFlow((bore+0.7)/1000), flow, "%g m3/h", hourly)
	}
	assert.InDelta(t, 0.296, FroudeNumber(36.0/3600, 0.180), 5e-4, "published example: 36 m3/h in 180 mm")
	// Fr = 0.3 in hoses; computed independently, mL/s
	for bore, want := range map[float64]float64{0.006: 2.0575, 0.008: 4.2237, 0.010: 7.3786, 0.012: 11.6392, 0.016: 23.8930, 0.019: 36.7160, 0.025: 72.9158} {
		assert.InDelta(t, want*1e-6, SelfVentingFlow(bore), 6e-11)
		assert.InEpsilon(t, SelfVentingFroude, FroudeNumber(SelfVentingFlow(bore), bore), 1e-14)
	}
}
