package physics

import "math"

// Flooding is a vertical hose in which oil runs down against gas going up, by
// the correlation of Wallis.
//
//	√j_g* + m √j_f* = C
//	j* = j √(ρ/(g D (ρ_f - ρ_g)))
//	m = max(1, 5.6/√N_f),  N_f = √(g D³ ρ_f (ρ_f - ρ_g)) / μ
//
// j are flows over the area of the hose. C is 0.725 for sharp-edged ends and
// 0.88 to 1.0 where end effects are small. No data are published for oil in
// hoses of 5 to 25 mm: take any result as good to ± 50 %, and C as an uncertain
// input. Moderate inclination tends to raise the limit.
//
// Source: G. B. Wallis, AEEW-R123, 1961, and One-dimensional Two-phase Flow,
// 1969, chapter 11 (from memory); m for viscous liquids from the same, N_f < 2,
// carried on to where it reaches 1.
type Flooding struct {
	Bore         float64 // inside diameter, m
	GasDensity   float64 // kg/m3
	OilDensity   float64 // of the oil in the hose, kg/m3; above GasDensity
	OilViscosity float64 // dynamic, Pa·s
	Constant     float64 // C, 0.55 to 1.0
}

// Factor returns m, the weight of the oil flow: 1, or more for oil so viscous
// that it runs down slowly in any case.
func (f Flooding) Factor() float64 {
	number := math.Sqrt(StandardGravity*f.Bore*f.Bore*f.Bore*f.OilDensity*(f.OilDensity-f.GasDensity)) / f.OilViscosity
	return math.Max(1, 5.6/math.Sqrt(number))
}

// OilLimit returns the largest flow of oil that can run down, m3/s, while
// gasFlow in m3/s goes up: 0 from GasLimit on. Gas that goes down (gasFlow below
// 0) counts as none.
func (f Flooding) OilLimit(gasFlow float64) float64 { return f.Curve().OilLimit(gasFlow) }

// FloodingCurve is a Flooding with all worked out that doesn't depend on the flows.
type FloodingCurve struct {
	constant, perGas, oil float64
}

// Curve works out all that doesn't depend on the flows.
func (f Flooding) Curve() FloodingCurve {
	m := f.Factor()
	return FloodingCurve{f.Constant, 1 / f.unitFlow(f.GasDensity), f.unitFlow(f.OilDensity) / (m * m)}
}

// OilLimit is that of Flooding.
func (c FloodingCurve) OilLimit(gasFlow float64) float64 {
	rest := c.constant - math.Sqrt(math.Max(0, gasFlow)*c.perGas)
	if !(rest > 0) {
		return 0
	}
	return rest * rest * c.oil
}

// GasLimit returns the gas flow up the hose at which no oil comes down, m3/s.
func (f Flooding) GasLimit() float64 {
	return f.Constant * f.Constant * f.unitFlow(f.GasDensity)
}

// unitFlow returns the flow at which j* of a fluid is 1, m3/s.
func (f Flooding) unitFlow(density float64) float64 {
	area := math.Pi / 4 * f.Bore * f.Bore
	return area * math.Sqrt(StandardGravity*f.Bore*(f.OilDensity-f.GasDensity)/density)
}
