package exact

import "math"

// OnOffBuffer is a vessel whose inflow is switched on and off at random (a two-state
// Markov process, exponential times in both states) and that drains at a constant rate
// while there is oil. Any consistent units do.
//
// Sources: Anick, Mitra, Sondhi 1982, Bell Syst. Tech. J. 61, 1871-1894; Kulkarni 1997,
// in Frontiers in Queueing (both from memory; the formulas are derived anew).
type OnOffBuffer struct {
	OnRate   float64 // rate of switching from off to on, 1/s
	OffRate  float64 // rate of switching from on to off, 1/s
	Rise     float64 // net rate at which it fills when on, m³/s, above 0
	Fall     float64 // net rate at which it empties when off, m³/s, above 0
	Capacity float64 // m³; not used by the infinite buffer
}

// decay returns z of the stationary density e^(-z x), 1/m³.
func (b OnOffBuffer) decay() float64 { return b.OffRate/b.Rise - b.OnRate/b.Fall }

// OnShare returns the long-run share of time on.
func (b OnOffBuffer) OnShare() float64 { return b.OnRate / (b.OnRate + b.OffRate) }

// InfiniteExceedance returns the long-run share of time that a vessel without a top
// holds more than x in m³. It needs z = OffRate/Rise - OnRate/Fall > 0 (it empties on
// average); otherwise it returns 1.
//
//	l (r₀ + r₁) / (r₀ (l + m)) · e^(-z x)
func (b OnOffBuffer) InfiniteExceedance(x float64) float64 {
	z := b.decay()
	if z <= 0 {
		return 1
	}
	return b.OnRate * (b.Fall + b.Rise) / (b.Fall * (b.OnRate + b.OffRate)) * math.Exp(-z*x)
}

// Stationary is the long-run state of an OnOffBuffer of finite capacity.
type Stationary struct {
	Empty float64 // share of time empty (and off)
	Full  float64 // share of time full (and on): it overflows at the rate Rise

	density float64 // c of the density on, c e^(-z x)
	buffer  OnOffBuffer
}

// Stationary returns the long-run state: densities f_on = c e^(-z x) and f_off =
// (r₁/r₀) f_on, masses c r₁/l at 0 and c r₁ e^(-z B)/m at the capacity B, with c from a
// total of 1.
func (b OnOffBuffer) Stationary() Stationary {
	z := b.decay()
	empty := b.Rise / b.OnRate
	full := b.Rise * math.Exp(-z*b.Capacity) / b.OffRate
	inside := (1 + b.Rise/b.Fall) * integralOfExp(-z, b.Capacity)
	c := 1 / (empty + full + inside)
	return Stationary{Empty: c * empty, Full: c * full, density: c, buffer: b}
}

// Exceedance returns the long-run share of time that the vessel holds more than x in
// m³, 0 ≤ x < capacity.
func (s Stationary) Exceedance(x float64) float64 {
	b := s.buffer
	z := b.decay()
	inside := math.Exp(-z*x) * integralOfExp(-z, b.Capacity-x)
	return s.density*(1+b.Rise/b.Fall)*inside + s.Full
}

// OverflowRate returns the long-run mean flow over the top in m³/s.
func (s Stationary) OverflowRate() float64 { return s.buffer.Rise * s.Full }

// LossShare returns the long-run share of the inflow that goes over the top, for the
// gross inflow when on in m³/s.
func (s Stationary) LossShare(inflow float64) float64 {
	return s.OverflowRate() / (s.buffer.OnShare() * inflow)
}

// MeanPassage returns the mean time in s until the vessel is full, from a content x in
// m³, on or off:
//
//	m_on  = [(B - x) + m (I(B) - I(x))] / r₁,  m_off = m_on + d(x),
//	d(x)  = (1/l + q/z) e^(z x) - q/z,  I = ∫ d,  q = 1/r₀ + 1/r₁.
func (b OnOffBuffer) MeanPassage(x float64, on bool) float64 {
	z, q := b.decay(), 1/b.Fall+1/b.Rise
	// d = e^(zx)/l + q (e^(zx)-1)/z and its integral, in a form that holds at z = 0.
	d := func(y float64) float64 { return math.Exp(z*y)/b.OnRate + q*integralOfExp(z, y) }
	integral := func(y float64) float64 {
		return integralOfExp(z, y)/b.OnRate + q*doubleIntegralOfExp(z, y)
	}
	t := ((b.Capacity - x) + b.OffRate*(integral(b.Capacity)-integral(x))) / b.Rise
	if !on {
		t += d(x)
	}
	return t
}

// integralOfExp returns ∫₀^y e^(zu) du.
func integralOfExp(z, y float64) float64 {
	if z*y == 0 {
		return y
	}
	return math.Expm1(z*y) / z
}

// doubleIntegralOfExp returns ∫₀^y ∫₀^v e^(zu) du dv = (e^(zy) - 1 - zy)/z².
func doubleIntegralOfExp(z, y float64) float64 {
	w := z * y
	if math.Abs(w) > 0.1 {
		return (math.Expm1(w) - w) / (z * z)
	}
	sum, term := 0.0, 0.5
	for k := 3.0; k < 16; k++ {
		sum += term
		term *= w / k
	}
	return y * y * sum
}
