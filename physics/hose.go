package physics

import "math"

// Hose is a smooth round hose with its fittings.
type Hose struct {
	Bore            float64 // inside diameter, m; above 0
	Length          float64 // m; 0 or more
	LossCoefficient float64 // ΣK of entrance, fittings and exit, on the velocity head in the bore; 0 or more
}

// PressureDrop returns the pressure lost by gas along the hose, Pa, with the
// sign of the flow.
//
//	Δp = ½ ρ (Q/A)² (f L/D + ΣK)
//
// f is Churchill's friction factor of a smooth pipe, to 1e-7 of itself. flow is in m3/s at the
// density of gas. In the laminar limit the friction term is 32 μ L V/D², so a
// flow of 0 gives 0. Compressibility is left out: good to a drop of a few kPa.
// A bore of 0 gives Inf or NaN. Source: Darcy-Weisbach; Churchill 1977.
func (h Hose) PressureDrop(flow float64, gas Gas) float64 {
	drop, _ := h.resist(gas).drop(flow)
	return drop
}

// Flow returns the gas flow that a pressure drop drives through the hose, m3/s:
// the inverse of PressureDrop, to 1e-12 of itself, with the sign of the drop.
//
// drop is in Pa. A hose with neither length nor loss coefficient has no
// resistance and gives an infinite flow.
func (h Hose) Flow(drop float64, gas Gas) float64 {
	flow, _ := h.resist(gas).flow(drop, 0)
	return flow
}

// PulsationFactor returns the factor by which a pulsating flow loses more
// pressure than a steady flow of the same mean.
//
//	mean (1 + r sin ωt)² = 1 + ½ r²
//
// amplitude is r, the flow amplitude over the mean flow, 0 to 1 (above 1 the
// flow reverses within a cycle and the factor is too large). Derived for
// quadratic losses, which the losses of a breather nearly are at full flow.
func PulsationFactor(amplitude float64) float64 {
	return 1 + 0.5*amplitude*amplitude
}

// hoseResistance is a hose with one gas in it.
type hoseResistance struct {
	laminar  float64 // friction when laminar, Pa per m3/s
	dynamic  float64 // ½ρ/A², Pa per (m3/s)²
	slender  float64 // L/D
	fittings float64 // ΣK
	reynolds float64 // Re per m3/s
}

func (h Hose) resist(gas Gas) hoseResistance {
	d2 := h.Bore * h.Bore
	area := math.Pi / 4 * d2
	return hoseResistance{
		laminar:  32 * gas.Viscosity * h.Length / (d2 * area),
		dynamic:  0.5 * gas.Density / (area * area),
		slender:  h.Length / h.Bore,
		fittings: h.LossCoefficient,
		reynolds: gas.Density * h.Bore / (area * gas.Viscosity),
	}
}

// drop returns the pressure drop at a flow, and its slope in Pa per m3/s.
func (r hoseResistance) drop(flow float64) (drop, slope float64) {
	q := math.Abs(flow)
	re := r.reynolds * q
	if re < laminarReynolds || r.slender == 0 {
		fittings := r.dynamic * r.fittings * q
		drop, slope = (r.laminar+fittings)*q, r.laminar+2*fittings
	} else {
		f, exponent := tabledFriction(re)
		friction := f * r.slender
		drop = r.dynamic * q * q * (friction + r.fittings)
		slope = r.dynamic * q * (2*(friction+r.fittings) + exponent*friction)
	}
	return math.Copysign(drop, flow), slope
}

// flow inverts drop, and returns the slope of the flow in m3/s per Pa.
//
// Newton's method on ln Δp against ln Q. How it converges depends on nothing but
// the Reynolds numbers of trial and root and the share of friction: within 8
// passes from trials up to a factor of 50 off.
//
// near is a trial flow, 0 for none; the result doesn't depend on it beyond
// rounding.
func (r hoseResistance) flow(drop, near float64) (flow, slope float64) {
	want := math.Abs(drop)
	q := quadraticRoot(r.laminar, r.dynamic*r.fittings, want)
	if !(r.reynolds*q >= laminarReynolds) || r.slender == 0 || math.IsInf(q, 0) {
		return math.Copysign(q, drop), 1 / (r.laminar + 2*r.dynamic*r.fittings*q)
	}
	q = math.Abs(near)
	if q*r.reynolds < laminarReynolds {
		q = r.turbulentFlow(want)
	}
	for range 50 {
		trial, gradient := r.drop(q)
		ratio := want / trial
		exponent := gradient * q / trial
		q *= powerNearOne(ratio, 1/exponent)
		if math.Abs(ratio-1) < 1e-7 {
			slope = 1 / gradient
			break
		}
	}
	return math.Copysign(q, drop), slope
}

// turbulentFlow returns a trial for the flow at a drop: with a friction factor
// of 0.03, then with that of Blasius at the flow so found.
func (r hoseResistance) turbulentFlow(drop float64) float64 {
	q := math.Sqrt(drop / (r.dynamic * (r.fittings + 0.03*r.slender)))
	blasius := 0.3164 / math.Sqrt(math.Sqrt(r.reynolds*q))
	return math.Sqrt(drop / (r.dynamic * (r.fittings + blasius*r.slender)))
}

// powerNearOne returns x^y, by a series where x is close to 1.
func powerNearOne(x, y float64) float64 {
	e := x - 1
	if math.Abs(e) > 0.02 {
		return math.Pow(x, y)
	}
	l := y * e * (1 - e*(1.0/2-e*(1.0/3-e/4)))
	return 1 + l*(1+l*(1.0/2+l*(1.0/6+l/24)))
}

// quadraticRoot returns the q >= 0 that solves a q + b q² = n for n, a, b >= 0,
// without cancellation. +Inf if a and b are 0 and n is not.
func quadraticRoot(a, b, n float64) float64 {
	if n == 0 {
		return 0
	}
	return 2 * n / (a + math.Sqrt(a*a+4*b*n))
}
