package physics

import "math"

const (
	sutherlandFactor      = 1.458e-6 // kg/(s·m·K^½)
	sutherlandTemperature = 110.4    // K
)

// Gas holds the two properties of a gas that its losses depend on.
type Gas struct {
	Density   float64 // kg/m3
	Viscosity float64 // dynamic, Pa·s
}

// AirDensity returns the density of dry air as an ideal gas, kg/m3.
//
//	ρ = p / (R T)
//
// pressure is absolute, Pa; temperature is in K. Both must be positive; the
// result is meaningless otherwise. Within 0.05 % of tables at one atmosphere
// and 0 to 140 °C. Source: US Standard Atmosphere 1976, equation (42).
func AirDensity(pressure, temperature float64) float64 {
	return pressure / (AirGasConstant * temperature)
}

// AirViscosity returns the dynamic viscosity of air by Sutherland's law, Pa·s.
//
//	μ = 1.458e-6 T^1.5 / (T + 110.4)
//
// temperature is in K. Valid from about 100 to 1900 K; outside, the formula is
// carried on unchecked (see CheckedAirViscosity). Source: US Standard
// Atmosphere 1976, equation (51); ISO 2533.
func AirViscosity(temperature float64) float64 {
	return sutherlandFactor * temperature * math.Sqrt(temperature) / (temperature + sutherlandTemperature)
}

// CheckedAirViscosity is AirViscosity with its range checked: it returns a
// *RangeError for temperatures outside 100 to 1900 K.
func CheckedAirViscosity(temperature float64) (float64, error) {
	err := RangeError{
		Quantity: "air temperature", Value: temperature, Low: 100, High: 1900, Unit: "K",
		Source: "Sutherland's law, US Standard Atmosphere 1976",
	}.check()
	if err != nil {
		return 0, err
	}
	return AirViscosity(temperature), nil
}

// BlowByGas returns the properties of blow-by gas at one standard atmosphere.
// Blow-by is mostly unburned charge, so dry air stands for it.
//
// temperature is in K, valid as for AirViscosity. The gauge pressures of a
// breather (a few kPa) change the density by a few per cent and are left out.
func BlowByGas(temperature float64) Gas {
	return Gas{
		Density:   AirDensity(StandardPressure, temperature),
		Viscosity: AirViscosity(temperature),
	}
}
