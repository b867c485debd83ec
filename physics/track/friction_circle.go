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
	mean, rho     float64 // m2/s2
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
	c := circle{a: g.w * g.rho, b: direction * g.drag * g.rho, e: direction * (g.gravity + g.drag*g.mean), mean: g.mean, rho: g.rho}
	c.noDragOrSlope = c.b == 0 && c.e == 0
	r2 := c.a*c.a + c.b*c.b
	c.r = math.Sqrt(r2)
	c.scale = c.rho / (2 * r2)
	c.delta = math.Atan(c.b / c.a)
	if c.e == 0 {
		c.balance, c.near, c.far = math.Pi/2, c.b, -c.b
		return c
	}
	cos := c.e / c.r
	if c.noBalance = math.Abs(cos) > 1-1e-9; c.noBalance {
		return c
	}
	c.balance = math.Acos(cos)
	j := c.a * cos / math.Sqrt(1-cos*cos)
	c.near, c.far = c.b+j, j-c.b
	return c
}

// distance is the antiderivative of ds at α, m, and D there; gap is α∞ - α,
// given apart because it may be tiny.
func (c *circle) distance(alpha, gap float64) (distance, excess float64) {
	psi := alpha + c.delta
	if c.noDragOrSlope {
		return c.scale * c.a * psi, c.a * math.Cos(alpha)
	}
	near, far := math.Sin(gap/2), math.Sin(c.balance-gap/2)
	excess = 2 * c.r * near * far
	if c.e == 0 {
		return c.scale * (c.a*psi - c.b*math.Log(math.Abs(near*far))), excess
	}
	return c.scale * (c.a*psi - c.near*math.Log(math.Abs(near)) + c.far*math.Log(math.Abs(far))), excess
}

// at is distance at α.
func (c *circle) at(alpha float64) float64 {
	s, _ := c.distance(alpha, c.balance-c.delta-alpha)
	return s
}

// advance returns α after a distance of h, m. It stops at π/2, the fastest that
// the corner allows, and at standstill.
func (c *circle) advance(alpha, h float64) float64 {
	end := c.balance - c.delta
	gap := end - alpha
	start, d := c.distance(alpha, gap)
	switch {
	case d == 0 || math.Abs(gap) < 1e-14:
		return alpha
	case d > 0 && end < math.Pi/2, d < 0 && gap < 0:
		return end - c.approach(gap, way{start, start + h})
	case d > 0:
		return c.between(alpha, math.Pi/2, way{start, start + h})
	default:
		standstill := math.Asin(max(-c.mean/c.rho, -1))
		return c.between(alpha, standstill, way{start, start + h})
	}
}

// way is a stretch of road, by the antiderivative of ds, m.
type way struct{ from, to float64 }

// precise is the relative size of a Newton step after which there need be no
// other: the error is about its square.
const precise = 1e-5

// approach returns α∞ - α at the end of a way that leads from gap towards the
// balance, by Newton's method on its logarithm, bracketed.
func (c *circle) approach(gap float64, on way) float64 {
	end := c.balance - c.delta
	sign := math.Copysign(1, gap)
	low, high := math.Log(1e-12), math.Log(math.Abs(gap))
	if low >= high {
		return gap
	}
	y := min(c.guess(gap, on.to-on.from), high)
	if y <= low {
		return 0
	}
	for range 60 {
		x := sign * math.Exp(y)
		s, d := c.distance(end-x, x)
		if s > on.to {
			low = y
		} else {
			high = y
		}
		next := y + (s-on.to)*2*d/(x*c.rho*math.Cos(end-x))
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		step := math.Abs(next - y)
		y = next
		if step <= precise {
			break
		}
	}
	return sign * math.Exp(y)
}

// guess solves ± A (x0 - x) + B log(x0/x) = h for log x, what the distance comes
// to on a short way; from the side from which Newton's method needs no bracket.
func (c *circle) guess(gap, h float64) float64 {
	a, b, x0 := c.scale*c.a, c.scale*c.near, math.Abs(gap)
	y0 := math.Log(x0)
	y := y0
	if gap < 0 {
		a = -a
		y = y0 - (h-a*x0)/b
	}
	for range 12 {
		x := math.Exp(y)
		step := (a*(x0-x) + b*(y0-y) - h) / (a*x + b)
		y += step
		if math.Abs(step) < 1e-3 {
			break
		}
	}
	return y
}

// between returns α at the end of a way that leads from α towards end, which lies
// a finite distance away.
func (c *circle) between(alpha, end float64, on way) float64 {
	whole, h := c.at(end)-on.from, on.to-on.from
	if !(whole > h) {
		return end
	}
	low, high := 0.0, 1.0 // of the way
	x := h / whole
	if c.noDragOrSlope {
		return alpha + x*(end-alpha)
	}
	for range 60 {
		at := alpha + x*(end-alpha)
		s, d := c.distance(at, c.balance-c.delta-at)
		if s < on.to {
			low = x
		} else {
			high = x
		}
		next := x - (s-on.to)*2*d/(c.rho*math.Cos(at)*(end-alpha))
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		step := math.Abs(next - x)
		x = next
		if step <= precise*x {
			break
		}
	}
	return alpha + x*(end-alpha)
}
