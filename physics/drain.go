package physics

import "math"

// DrainHose is a round hose that oil drains through.
type DrainHose struct {
	Bore               float64 // inside diameter, m; above 0
	Length             float64 // m
	LossCoefficient    float64 // ΣK of its fittings, turbulent
	LaminarCoefficient float64 // K_1 of its fittings, laminar; see DefaultLaminarCoefficient
}

// DefaultLaminarCoefficient returns the laminar coefficient K_1 of fittings
// whose turbulent loss coefficients add up to lossCoefficient.
//
//	K_1 = 400 ΣK
//
// Prior, of the order of the 90 degree elbows of W. B. Hooper, Chem. Eng.,
// 24 August 1981, 96-100 (K_1 800 beside K_∞ of 0.4 (1 + 1/D_in), which at half
// an inch is 1.2).
func DefaultLaminarCoefficient(lossCoefficient float64) float64 {
	return 400 * lossCoefficient
}

// Resistance returns the coefficients of the pressure that an oil flow q needs,
// N = a q + b q², Pa per m3/s and per (m3/s)².
//
//	a = 128 μ (L + K_1 D/64)/(π D⁴)
//	b = ½ ρ ΣK / A²
//
// density is that of the oil in the hose, kg/m3; viscosity is dynamic, Pa·s.
// Laminar: valid for Re below about 2000, beyond which the resistance is too
// low. Source: Hagen-Poiseuille; fittings by Hooper 1981 (2-K).
func (h DrainHose) Resistance(density, viscosity float64) (a, b float64) {
	d2 := h.Bore * h.Bore
	area := math.Pi / 4 * d2
	a = 32 * viscosity * (h.Length + h.LaminarCoefficient*h.Bore/64) / (d2 * area)
	b = 0.5 * density * h.LossCoefficient / (area * area)
	return a, b
}

// DrainFlow returns the flow that a pressure drives through a resistance, m3/s,
// with the sign of the pressure.
//
//	q = 2 N / (a + √(a² + 4 b |N|))
//
// a and b are as from Resistance, 0 or more; head is N, Pa. The form doesn't
// cancel, so that either may be 0; with both 0 the flow is infinite.
func DrainFlow(a, b, head float64) float64 {
	return math.Copysign(quadraticRoot(a, b, math.Abs(head)), head)
}

// ColumnHeight returns the height of the column of oil that balances a
// pressure, m.
//
//	h = p / (ρ g)
//
// pressure is in Pa, density in kg/m3.
func ColumnHeight(pressure, density float64) float64 {
	return pressure / (density * StandardGravity)
}

// ColumnPressure returns the pressure of a column of oil, Pa: the inverse of
// ColumnHeight. height is in m, density in kg/m3.
func ColumnPressure(height, density float64) float64 {
	return height * density * StandardGravity
}
