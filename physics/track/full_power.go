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

// advance returns u after h metres. With E = v³,
//
//	dE/ds = 3 (P0/m + (P1/m - γ) v - c E)
//
// On the level and at constant power it is exact, v³ = P/k + (v0³ - P/k)
// e^(-3 k s/m); else Runge-Kutta of order 4.
func (p propulsion) advance(u, h float64) float64 {
	v := math.Sqrt(u)
	cube := u * v
	if p.slope == 0 {
		cube += 3 * (p.constant - p.drag*cube) * h * expm1Over(-3*p.drag*h)
		return square(math.Cbrt(max(cube, 0)))
	}
	for n := p.steps(u, h); n > 0; n-- {
		x := h / n
		k1 := p.cubeRate(cube, v)
		k2 := p.cubeRateNear(cube+x/2*k1, v)
		k3 := p.cubeRateNear(cube+x/2*k2, v)
		k4 := p.cubeRateNear(cube+x*k3, v)
		if cube += x / 6 * (k1 + 2*k2 + 2*k3 + k4); cube <= 1e-6 {
			return 0
		}
		v = math.Cbrt(cube)
		h -= x
	}
	return v * v
}

// steps is how many Runge-Kutta steps are taken: one, unless the car crawls.
func (p propulsion) steps(u, h float64) float64 {
	rough := h * max(p.constant/(u*math.Sqrt(u)), math.Abs(p.rate(u))/u)
	if rough <= 1 {
		return 1
	}
	return min(math.Ceil(rough), 1000)
}

func (p propulsion) cubeRate(cube, v float64) float64 {
	return 3 * (p.constant + p.slope*v - p.drag*cube)
}

// cubeRateNear is cubeRate at a speed near v, by two steps of Halley's method
// for the cube root.
func (p propulsion) cubeRateNear(cube, v float64) float64 {
	cube = max(cube, 0)
	if ratio := cube / (v * v * v); ratio < 0.6 || ratio > 1.6 {
		return p.cubeRate(cube, math.Cbrt(cube))
	}
	for range 2 {
		c := v * v * v
		v *= (c + 2*cube) / (2*c + cube)
	}
	return p.cubeRate(cube, v)
}

// distance returns where in a step u passes target.
func (p propulsion) distance(target float64, s span) float64 {
	return distanceTo(target, s, func(x float64) float64 { return p.advance(s.from, x) }, p.rate)
}

// standstill is the square of the speed below which a car has stopped, m2/s2.
const standstill = 1e-4
