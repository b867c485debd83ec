package track

import "math"

// propulsion is the full power by mass on a stretch of the power curve against
// drag and slope:
//
//	du/ds = 2 (P0/(m v) + P1/m - γ - c u)
type propulsion struct {
	constant float64 // P0/m, W/kg
	slope    float64 // P1/m - γ, m/s2
	drag     float64 // c, 1/m
}

func (p propulsion) rate(u float64) float64 {
	return 2 * (p.constant/math.Sqrt(u) + p.slope - p.drag*u)
}

// advance returns u after h metres. On the level and at constant power it is
// exact, v³ = P/k + (v0³ - P/k) e^(-3 k s/m), else a Runge-Kutta step.
func (p propulsion) advance(u, h float64) float64 {
	if p.slope == 0 {
		cube := u * math.Sqrt(u)
		cube += 3 * (p.constant - p.drag*cube) * h * expm1Over(-3*p.drag*h)
		return square(math.Cbrt(math.Max(cube, 0)))
	}
	k1 := p.rate(u)
	k2 := p.rate(math.Max(u+h/2*k1, standstill))
	k3 := p.rate(math.Max(u+h/2*k2, standstill))
	k4 := p.rate(math.Max(u+h*k3, standstill))
	return u + h/6*(k1+2*k2+2*k3+k4)
}

// distance returns where in a step u passes target.
func (p propulsion) distance(target float64, s span) float64 {
	return distanceTo(target, s, func(x float64) float64 { return p.advance(s.from, x) }, p.rate)
}

// standstill is the square of the speed below which a car has stopped, m2/s2.
const standstill = 1e-4
