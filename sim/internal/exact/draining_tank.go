package exact

import "math"

// gravity is the standard acceleration of free fall, m/s².
const gravity = 9.80665

// LaminarTank is a vessel that drains through a full hose with laminar flow, against a
// pressure.
type LaminarTank struct {
	Area       float64 // cross-section of the vessel, m²
	Resistance float64 // pressure over flow, 128 μ L/(π D⁴), Pa·s/m³
	Density    float64 // kg/m³
	Fall       float64 // from the vessel's outlet to where the hose ends, m
	Pressure   float64 // where the hose ends, above that in the vessel, Pa
}

// TimeConstant returns A R/(ρ g) in s.
func (d LaminarTank) TimeConstant() float64 { return d.Area * d.Resistance / (d.Density * gravity) }

// FinalLevel returns the level in m at which the hose carries an inflow in m³/s; below
// 0 the vessel stays empty.
func (d LaminarTank) FinalLevel(inflow float64) float64 {
	return d.Pressure/(d.Density*gravity) - d.Fall + inflow*d.Resistance/(d.Density*gravity)
}

// Level returns the level in m after t in s from h0, valid until the vessel is empty:
//
//	h∞ + (h₀ - h∞) e^(-t/τ)
func (d LaminarTank) Level(h0, inflow, t float64) float64 {
	end := d.FinalLevel(inflow)
	return end + (h0-end)*math.Exp(-t/d.TimeConstant())
}

// TimeBetween returns the time in s from level h0 to h1 in m, NaN if h1 is never
// reached.
func (d LaminarTank) TimeBetween(h0, h1, inflow float64) float64 {
	end := d.FinalLevel(inflow)
	t := d.TimeConstant() * math.Log((h0-end)/(h1-end))
	if t < 0 {
		return math.NaN()
	}
	return t
}

// OrificeTank is a vessel that drains through an orifice, against a pressure.
type OrificeTank struct {
	Area     float64 // cross-section of the vessel, m²
	Orifice  float64 // discharge coefficient times cross-section of the orifice, m²
	Density  float64 // kg/m³
	Fall     float64 // from the vessel's outlet to the orifice, m
	Pressure float64 // beyond the orifice, above that in the vessel, Pa
}

// speed returns the speed of the jet at level h, m/s.
func (d OrificeTank) speed(h float64) float64 {
	return math.Sqrt(2 * (gravity*(h+d.Fall) - d.Pressure/d.Density))
}

// TimeBetween returns the time in s from level h0 down to h1 in m without inflow,
//
//	A/(C_d a g) (y₁ - y₂),  y = √(2 (g (h + H) - Δp/ρ)),
//
// and NaN if h1 is never reached.
func (d OrificeTank) TimeBetween(h0, h1 float64) float64 {
	return d.Area / (d.Orifice * gravity) * (d.speed(h0) - d.speed(h1))
}

// TimeBetweenWithInflow returns the time in s from level h0 to h1 in m with an inflow in
// m³/s, and NaN if h1 is never reached. Torricelli with inflow: with s = √(h + H - Δp/ρg)
// and b = C_d a √(2g),
//
//	t = (2A/b²) [b (s₀ - s₁) + Q ln((b s₀ - Q)/(b s₁ - Q))].
func (d OrificeTank) TimeBetweenWithInflow(h0, h1, inflow float64) float64 {
	b := d.Orifice * math.Sqrt(2*gravity)
	y0, y1 := d.Orifice*d.speed(h0), d.Orifice*d.speed(h1)
	t := 2 * d.Area / (b * b) * (y0 - y1 + inflow*math.Log((y0-inflow)/(y1-inflow)))
	if t < 0 {
		return math.NaN()
	}
	return t
}

// LossyTank is a vessel that drains through a full hose with laminar friction and
// losses that grow with the square of the flow, against a pressure:
//
//	ρ g (h + H) - Δp = R q + K q²
type LossyTank struct {
	LaminarTank
	Loss float64 // K, ½ ρ ΣK/A² of the hose, Pa·s²/m⁶
}

// Flow returns the flow down the hose at level h in m, m³/s; 0 where the pressure holds
// it.
func (d LossyTank) Flow(h float64) float64 {
	net := d.Density*gravity*(h+d.Fall) - d.Pressure
	if net <= 0 {
		return 0
	}
	return 2 * net / (d.Resistance + math.Sqrt(d.Resistance*d.Resistance+4*d.Loss*net))
}

// TimeBetween returns the time in s from level h0 to h1 in m with an inflow Q in m³/s,
// and NaN if h1 is never reached. With y = q - Q,
//
//	t = A/(ρ g) [(R + 2 K Q) ln(y₀/y₁) + 2 K (y₀ - y₁)].
func (d LossyTank) TimeBetween(h0, h1, inflow float64) float64 {
	y0, y1 := d.Flow(h0)-inflow, d.Flow(h1)-inflow
	t := d.Area / (d.Density * gravity) *
		((d.Resistance+2*d.Loss*inflow)*math.Log(y0/y1) + 2*d.Loss*(y0-y1))
	if t < 0 {
		return math.NaN()
	}
	return t
}

// LaminarResistance returns the resistance of a full hose to laminar flow, 128 μ L/(π D⁴)
// in Pa·s/m³, for a viscosity in Pa·s and length and bore in m.
//
// Source: Hagen, Poiseuille.
func LaminarResistance(viscosity, length, bore float64) float64 {
	return 128 * viscosity * length / (math.Pi * math.Pow(bore, 4))
}
