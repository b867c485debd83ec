package track

import "math"

// circle is the motion at the edge of the friction circle on a corner of
// constant radius, in closed form. With u = v²,
//
//	u = ū + ρ sin α,  T = a cos α,  du/ds = 2 (T - c u - γ)
//	s = ∫ ρ cos α / (2 D) dα,  D = a cos α - b sin α - e = R (cos ψ - cos ψ∞)
//	  = ρ/(2R²) [a ψ - (b+j) ln|sin((ψ∞-ψ)/2)| + (j-b) ln|sin((ψ∞+ψ)/2)|]
//
// with ψ = α + atan(b/a), R² = a² + b², cos ψ∞ = e/R, j = a e/(R sin ψ∞). At ψ∞
// drive balances drag and slope. Derived; without drag and slope, and on a flat
// corner, it is v² = μ g r sin(2s/r + const).
type circle struct {
	a, b, e       float64 // m/s2
	rho           float64 // m2/s2
	scale         float64 // ρ/(2R²)
	r             float64 // R, m/s2
	delta         float64 // atan(b/a)
	balance       float64 // ψ∞
	near, far     float64 // b+j, j-b
	noBalance     bool    // |e| > R
	noDragOrSlope bool
}

// newCircle sets up the circle of a corner. direction is 1 driving forward, -1
// braking, seen backward.
func newCircle(g *ground, direction float64) circle {
	c := circle{a: g.w * g.rho, b: direction * g.drag * g.rho, e: direction * (g.gravity + g.drag*g.mean), rho: g.rho}
	c.noDragOrSlope = c.b == 0 && c.e == 0
	r2 := c.a*c.a + c.b*c.b
	c.r = math.Sqrt(r2)
	c.scale = c.rho / (2 * r2)
	cos := c.e / c.r
	if c.noBalance = math.Abs(cos) > 1-1e-9; c.noBalance {
		return c
	}
	c.delta = math.Atan2(c.b, c.a)
	c.balance = math.Acos(cos)
	j := c.a * cos / math.Sqrt(1-cos*cos)
	c.near, c.far = c.b+j, j-c.b
	return c
}

// distance is the antiderivative of ds at α, m; gap is α∞ - α, given apart
// because it may be tiny.
func (c *circle) distance(alpha, gap float64) float64 {
	psi := alpha + c.delta
	if c.noDragOrSlope {
		return c.scale * c.a * psi
	}
	return c.scale * (c.a*psi - c.near*math.Log(math.Abs(math.Sin(gap/2))) +
		c.far*math.Log(math.Abs(math.Sin(c.balance-gap/2))))
}

// at is distance at α.
func (c *circle) at(alpha float64) float64 { return c.distance(alpha, c.balance-c.delta-alpha) }

// excess is D at α with α∞ - α.
func (c *circle) excess(gap float64) float64 {
	return 2 * c.r * math.Sin(gap/2) * math.Sin(c.balance-gap/2)
}

// advance returns α after a distance of h, m. It stops at π/2, the fastest that
// the corner allows, and at low, standstill.
func (c *circle) advance(alpha, low, h float64) float64 {
	end := c.balance - c.delta
	gap := end - alpha
	d := c.excess(gap)
	if c.noDragOrSlope {
		d = c.a * math.Cos(alpha)
	}
	switch {
	case d == 0 || math.Abs(gap) < 1e-14:
		return alpha
	case d > 0 && end < math.Pi/2, d < 0 && gap < 0:
		return end - c.approach(gap, h, alpha)
	case d > 0:
		return c.between(alpha, math.Pi/2, h)
	default:
		return c.between(alpha, low, h)
	}
}

// approach returns α∞ - α after a distance of h on the way to the balance, by
// Newton's method on its logarithm, bracketed.
func (c *circle) approach(gap, h, alpha float64) float64 {
	end := alpha + gap
	start := c.distance(alpha, gap)
	sign := math.Copysign(1, gap)
	f := func(y float64) (value, slope float64) {
		x := sign * math.Exp(y)
		return c.distance(end-x, x) - start - h, -x * c.rho * math.Cos(end-x) / (2 * c.excess(x))
	}
	low, high := math.Log(1e-14), math.Log(math.Abs(gap))
	if low >= high {
		return gap
	}
	if value, _ := f(low); value <= 0 {
		return 0
	}
	y := high
	if sign < 0 { // the slope is 0 at the fastest
		y = (low + high) / 2
	}
	tolerance := 1e-12*h + 1e-14*math.Abs(start)
	for range 60 {
		value, slope := f(y)
		if math.Abs(value) <= tolerance {
			break
		}
		if value > 0 {
			low = y
		} else {
			high = y
		}
		next := y - value/slope
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		if next == y {
			break
		}
		y = next
	}
	return sign * math.Exp(y)
}

// between returns α after a distance of h on the way to end, which lies a finite
// distance away.
func (c *circle) between(alpha, end, h float64) float64 {
	start := c.at(alpha)
	whole := c.at(end) - start
	if !(whole > h) {
		return end
	}
	low, high := 0.0, 1.0 // of the way
	x := h / whole
	tolerance := 1e-12*h + 1e-14*math.Abs(start)
	for range 60 {
		at := alpha + x*(end-alpha)
		value := c.at(at) - start - h
		if math.Abs(value) <= tolerance {
			break
		}
		if value < 0 {
			low = x
		} else {
			high = x
		}
		d := c.excess(c.balance - c.delta - at)
		if c.noDragOrSlope {
			d = c.a * math.Cos(at)
		}
		next := x - value*2*d/(c.rho*math.Cos(at)*(end-alpha))
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		if next == x {
			break
		}
		x = next
	}
	return alpha + x*(end-alpha)
}
