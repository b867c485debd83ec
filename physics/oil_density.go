package physics

import "math"

const densityReference = CelsiusZero + 15

// OilDensity returns the density of a lubricating oil at a temperature, kg/m3.
//
//	ρ = ρ15 exp(-aΔ (1 + 0.8 aΔ)),  a = 0.6278/ρ15,  Δ = T - 15 °C
//
// density15 is the density at 15 °C, kg/m3, 801 to 1164; temperature is in K.
// Outside the range the formula is carried on (see CheckedOilDensity). Source:
// ASTM D1250 / API MPMS chapter 11.1, generalised lubricating oils (table 54D);
// the constant from memory.
func OilDensity(density15, temperature float64) float64 {
	x := 0.6278 / density15 * (temperature - densityReference)
	return density15 * math.Exp(-x*(1+0.8*x))
}

// CheckedOilDensity is OilDensity with its range checked: it returns a
// *RangeError for densities at 15 °C outside 801 to 1164 kg/m3.
func CheckedOilDensity(density15, temperature float64) (float64, error) {
	err := RangeError{
		Quantity: "oil density at 15 °C", Value: density15, Low: 801, High: 1164, Unit: "kg/m3",
		Source: "ASTM D1250, lubricating oils",
	}.check()
	if err != nil {
		return 0, err
	}
	return OilDensity(density15, temperature), nil
}
