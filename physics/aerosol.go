package physics

import "math"

const (
	willekeFreePath    = 0.0664e-6 // m, at willekeTemperature and StandardPressure
	willekeTemperature = 293.15    // K
)

// SlipCorrection returns Cunningham's slip correction of a droplet in air, by
// Hinds.
//
//	Cc = 1 + (λ/d) [2.34 + 1.05 exp(-0.39 d/λ)]
//
// diameter is d, freePath is λ, both m; freePath 0 gives 1. Within 2.1 % of
// measurements at all sizes. Source: W. C. Hinds, Aerosol Technology, 2nd ed.,
// Wiley 1999, equation 3.20 (from memory).
func SlipCorrection(diameter, freePath float64) float64 {
	kn := freePath / diameter
	if kn < 0.01 { // the exponential is below 1e-17
		return 1 + 2.34*kn
	}
	return 1 + kn*(2.34+1.05*math.Exp(-0.39/kn))
}

// SlipConstants are the constants of a slip correction in the Knudsen form.
type SlipConstants struct{ A, B, G float64 }

// Slip corrections in the Knudsen form (constants from memory).
var (
	Davies1945      = SlipConstants{1.257, 0.400, 1.10}  // C. N. Davies, Proc. Phys. Soc. 57, 1945
	AllenRaabe1982  = SlipConstants{1.155, 0.471, 0.596} // M. D. Allen & O. G. Raabe, J. Aerosol Sci. 13, 1982: oil drops
	AllenRaabe1985  = SlipConstants{1.142, 0.558, 0.999} // the same, Aerosol Sci. Technol. 4, 1985: solid spheres
	KimISO15900Slip = SlipConstants{1.165, 0.483, 0.997} // J. H. Kim and others, J. Res. NIST 110, 2005; ISO 15900
)

// Correction returns the slip correction.
//
//	Cc = 1 + Kn [A + B exp(-G/Kn)],  Kn = 2λ/d
//
// diameter is d, freePath is λ, both m.
func (s SlipConstants) Correction(diameter, freePath float64) float64 {
	kn := 2 * freePath / diameter
	return 1 + kn*(s.A+s.B*math.Exp(-s.G/kn))
}

// MeanFreePath returns the mean free path of air, m, by Willeke.
//
//	λ = λ_0 (p_0/p) (T/T_0) (1 + S/T_0) / (1 + S/T)
//
// temperature is T, K; pressure is p, Pa absolute; λ_0 = 0.0664 µm at 293.15 K
// and 101325 Pa, S = 110.4 K. Source: K. Willeke, J. Aerosol Sci. 7, 1976,
// 381-387 (from memory).
func MeanFreePath(temperature, pressure float64) float64 {
	return willekeFreePath * StandardPressure / pressure * temperature / willekeTemperature *
		(1 + sutherlandTemperature/willekeTemperature) / (1 + sutherlandTemperature/temperature)
}

// Droplet is a droplet of oil in a gas.
type Droplet struct {
	Diameter     float64 // m
	Density      float64 // of the oil, kg/m3
	Gas          Gas     // around it
	MeanFreePath float64 // of the gas, m; 0: no slip
}

// SlipCorrection returns the slip correction of the droplet, by Hinds.
func (d Droplet) SlipCorrection() float64 { return SlipCorrection(d.Diameter, d.MeanFreePath) }

// RelaxationTime returns the time that the droplet takes to follow the gas, s.
//
//	τ = ρ d² Cc / (18 μ)
//
// Valid for Reynolds numbers of the droplet below 1. Source: Hinds 1999,
// chapter 5.
func (d Droplet) RelaxationTime() float64 {
	return d.Density * d.Diameter * d.Diameter * d.SlipCorrection() / (18 * d.Gas.Viscosity)
}

// SettlingVelocity returns the velocity at which the droplet falls through gas
// at rest, m/s, by Stokes with slip.
//
//	v = (ρ - ρ_g) g d² Cc / (18 μ)
//
// Valid for Reynolds numbers below 1, where it is up to 14 % too high; carried
// on beyond (see SettlingVelocitySchillerNaumann). Source: Hinds 1999, chapter
// 3, which leaves ρ_g out.
func (d Droplet) SettlingVelocity() float64 {
	return (d.Density - d.Gas.Density) * StandardGravity * d.Diameter * d.Diameter * d.SlipCorrection() / (18 * d.Gas.Viscosity)
}

// SettlingVelocitySchillerNaumann is SettlingVelocity with the drag of Schiller
// & Naumann, which tends to that of Stokes as the Reynolds number falls.
//
//	C_D = 24/Re (1 + 0.15 Re^0.687),  Re = ρ_g v d / μ
//
// Valid for Re below 800, within 5 % of measurements; carried on beyond. Source:
// L. Schiller & A. Naumann, Z. VDI 77, 1933 (from memory).
func (d Droplet) SettlingVelocitySchillerNaumann() float64 {
	v := d.SettlingVelocity()
	return v * schillerNaumannSlowing(d.Gas.Density*v*d.Diameter/d.Gas.Viscosity)
}

const schillerNaumannExponent = 0.687

// schillerNaumannSlowing returns the share r of its Stokes velocity that a
// droplet reaches, from its Reynolds number x at that velocity: the root of
// r (1 + 0.15 (x r)^0.687) = 1, good to 1e-9, by Halley's method for ln r.
func schillerNaumannSlowing(x float64) float64 {
	const exponent = schillerNaumannExponent
	excess := 0.15 * math.Exp(exponent*math.Log(x))
	if excess < 1e-5 {
		return 1 - excess
	}
	t, q := 0.0, excess
	for range 12 {
		share := q / (1 + q)
		value := t + math.Log(1+q)
		slope := 1 + exponent*share
		bend := exponent * exponent * share / (1 + q)
		step := 2 * value * slope / (2*slope*slope - value*bend)
		t -= step
		if math.Abs(step) < 1e-3 { // the next one would be below 1e-9
			break
		}
		q = excess * math.Exp(exponent*t)
	}
	return math.Exp(t)
}

// slowingTable holds schillerNaumannSlowing for the many sizes of a cut: values
// and slopes, for cubic interpolation, at the ends of sixteen parts of each
// octave of x from 2^-30, where it is 1 to 1e-7, to 2^20.
var slowingTable = func() (t [slowingOctaves*slowingParts + 1]struct{ value, slope float64 }) {
	for i := range t {
		x := math.Ldexp(1+float64(i%slowingParts)/slowingParts, slowingFirst+i/slowingParts)
		r := schillerNaumannSlowing(x)
		excess := schillerNaumannExponent * (1 - r) // 1 - r is the share of the drag that isn't Stokes's
		t[i].value, t[i].slope = r, -r*excess/(1+excess)/x
	}
	return t
}()

const (
	slowingFirst   = -30 // log2 x
	slowingOctaves = 50
	slowingParts   = 16 // 2^(52 - partBits)
)

// quickSlowing is schillerNaumannSlowing from a table, good to a relative 2e-7; below the
// table it is 1, above it the slow way. The part of the octave is read from
// the bits of x.
func quickSlowing(x float64) float64 {
	const partBits, exponentBias = 48, 1023
	if !(x >= 1.0/(1<<-slowingFirst)) {
		return 1
	}
	bits := math.Float64bits(x)
	i := int(bits>>partBits) - (exponentBias+slowingFirst)*slowingParts
	if i >= slowingOctaves*slowingParts {
		return schillerNaumannSlowing(x)
	}
	a, b := &slowingTable[i], &slowingTable[i+1]
	width := math.Float64frombits((bits>>partBits+1)<<partBits) - math.Float64frombits(bits>>partBits<<partBits)
	u := float64(bits&(1<<partBits-1)) / (1 << partBits)
	v := 1 - u
	return v*v*((1+2*u)*a.value+u*width*a.slope) + u*u*((1+2*v)*b.value-v*width*b.slope)
}

// diameterWithSlip returns the diameter d whose d √Cc is given, both m, with the
// slip correction of Hinds: by Newton's method, which comes down to the root of
// a convex function from that with the 2.34 alone.
func diameterWithSlip(corrected, freePath float64) float64 {
	if freePath == 0 || math.IsInf(corrected, 1) {
		return corrected
	}
	half := 1.17 * freePath
	d := corrected * corrected / (half + math.Hypot(half, corrected))
	for range 20 {
		e := 1.05 * math.Exp(-0.39*d/freePath)
		excess := d*d + freePath*d*(2.34+e) - corrected*corrected
		step := excess / (2*d + freePath*(2.34+e) - 0.39*d*e)
		d -= step
		if math.Abs(step) <= 1e-13*d {
			break
		}
	}
	return d
}
