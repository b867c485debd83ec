package exact

import (
	"math"
	"math/cmplx"
)

// ReachedBy returns the chance that the vessel has been full by time t in s, from a
// content x in m³, on or off.
//
// The transform φ = E[e^(-sT)] of the passage time T solves
//
//	φ_on'  = ((s+m)/r₁) φ_on - (m/r₁) φ_off,  φ_on(B) = 1,
//	φ_off' = (l/r₀) φ_on - ((s+l)/r₀) φ_off,  (s+l) φ_off(0) = l φ_on(0).
//
// Nothing arrives before τ = (B-x)/r₁, and from on exactly at τ with the chance
// e^(-mτ): both are taken out before φ/s is inverted numerically, to about 1e-9. Near
// the times τ + k B (1/r₀ + 1/r₁), k = 1, 2 ..., where one more full emptying becomes
// possible, the law has a kink and the error reaches 4e-7 (measured).
func (b OnOffBuffer) ReachedBy(t, x float64, on bool) float64 {
	tau := (b.Capacity - x) / b.Rise
	atom := 0.0
	if on {
		atom = math.Exp(-b.OffRate * tau)
	}
	switch {
	case t < tau:
		return 0
	case t == tau:
		return atom
	}
	return atom + invertEuler(func(s complex128) complex128 {
		return (b.delayedTransform(s, x, on) - complex(atom, 0)) / s
	}, t-tau)
}

// delayedTransform returns e^(sτ) φ(x; s), τ = (B-x)/r₁.
func (b OnOffBuffer) delayedTransform(s complex128, x float64, on bool) complex128 {
	l, m := complex(b.OnRate, 0), complex(b.OffRate, 0)
	rise, fall := complex(b.Rise, 0), complex(b.Fall, 0)
	p, q := (s+m)/rise, (s+l)/fall
	root := cmplx.Sqrt((p-q)*(p-q) + 4*(p*q-l*m/(fall*rise)))
	if real(root) < 0 {
		root = -root
	}
	theta1, theta2 := (p-q+root)/2, (p-q-root)/2
	slope := p - m/rise*l/(s+l) // φ_on'(0)/φ_on(0)
	c1 := (slope - theta2) / (theta1 - theta2)
	c2 := 1 - c1
	// All exponentials are taken relative to e^(θ₁ B), and the delay into the first.
	below, capacity := complex(b.Capacity-x, 0), complex(b.Capacity, 0)
	e1 := c1 * cmplx.Exp((s/rise-theta1)*below)
	e2 := c2 * cmplx.Exp((s/rise-theta2)*below+(theta2-theta1)*capacity)
	full := c1 + c2*cmplx.Exp((theta2-theta1)*capacity)
	if on {
		return (e1 + e2) / full
	}
	return rise / m * ((p-theta1)*e1 + (p-theta2)*e2) / full
}
