package track

import (
	"fmt"
	"math"

	"sumpward/physics"
)

// fastestEver bounds the square of speed, m2/s2, where nothing else does.
const fastestEver = 1e7

// shape says how the grip that is left for driving and braking moves with speed.
type shape uint8

const (
	even    shape = iota // doesn't: a straight
	round                // falls to 0 at the cornering limit
	growing              // banking so steep that there is no cornering limit
)

// ground is one cell for one vehicle: with u = v², all by mass,
//
//	side force    f_y = p u - q     normal force  f_z = r u + n
//	T² = μ² f_z² - f_y² = w² (u_c - u) (u - u_l)
//
// T is what the friction circle leaves for driving and braking. On the level,
// u_c is g/κ (μ cos β + sin β)/(cos β - μ sin β). Derived.
type ground struct {
	p, q, r, n float64 // 1/m, m/s2, 1/m, m/s2
	gravity    float64 // against driving, g sin θ, m/s2
	drag       float64 // k/m of the drag force k v², 1/m
	cap        float64 // largest u: cornering limit, top speed or fastestEver, m2/s2
	limit      float64 // u_c, m2/s2; +Inf: none
	least      float64 // u_l, m2/s2
	w          float64 // 1/m
	mean, rho  float64 // (u_c + u_l)/2, (u_c - u_l)/2, m2/s2
	tyre       float64 // T of a straight, m/s2
	grip       float64
	shape      shape
}

// straightest is the curvature from which a corner is driven as one, 1/m. Below
// it, cornering at 100 m/s takes less than 1e-5 m/s2.
const straightest = 1e-9

// set works the ground out.
func (g *ground) set(s *surface, grip, drag, top float64) error {
	across := physics.StandardGravity * s.cosSlope
	*g = ground{
		p: s.curvature * s.cosSlope * s.cosBanking, r: s.curvature * s.cosSlope * s.sinBanking,
		q: across * s.sinBanking, n: across * s.cosBanking,
		gravity: physics.StandardGravity * s.sinSlope, drag: drag, grip: grip,
		cap: min(top, fastestEver), limit: math.Inf(1),
	}
	hold := grip*grip*g.n*g.n - g.q*g.q
	if !(hold > 0) {
		return fmt.Errorf("a banking of %.3g° is too steep to stand on with a grip of %.3g: give less banking or more grip",
			math.Atan2(s.sinBanking, s.cosBanking)*180/math.Pi, grip)
	}
	g.tyre = math.Sqrt(hold)
	if !(g.tyre > math.Abs(g.gravity)) {
		return fmt.Errorf("a slope of %.3g %% is too steep for a grip of %.3g: give a gentler slope or more grip",
			100*s.sinSlope/s.cosSlope, grip)
	}
	if s.curvature < straightest {
		return nil
	}
	outward, inward := g.p-grip*g.r, g.p+grip*g.r
	if !(inward > 0) {
		return fmt.Errorf("a banking of %.3g° leans too far out of the corner for a grip of %.3g: give less",
			math.Atan2(s.sinBanking, s.cosBanking)*180/math.Pi, grip)
	}
	if outward <= 1e-6*g.p {
		g.shape = growing
		return nil
	}
	g.shape = round
	g.limit = (grip*g.n + g.q) / outward
	g.least = -(grip*g.n - g.q) / inward
	g.w = math.Sqrt(outward * inward)
	g.mean, g.rho = (g.limit+g.least)/2, (g.limit-g.least)/2
	g.cap = min(g.cap, g.limit)
	return nil
}

// hold returns T, what the friction circle leaves at u, m/s2.
func (g *ground) hold(u float64) float64 {
	switch g.shape {
	case even:
		return g.tyre
	case round:
		return g.w * math.Sqrt(max((g.limit-u)*(u-g.least), 0))
	default:
		fz, fy := g.grip*(g.r*u+g.n), g.p*u-g.q
		return math.Sqrt(max((fz-fy)*(fz+fy), 0))
	}
}

// against is drag and slope at u, m/s2.
func (g *ground) against(u float64) float64 { return g.drag*u + g.gravity }

// atTheLimit returns u after h metres with all the grip there is: direction 1
// drives forward, -1 brakes and is seen backward. It doesn't know the cap, but
// never passes the cornering limit.
func (g *ground) atTheLimit(u, h, direction float64) float64 {
	c := direction * g.drag
	switch {
	case g.shape == even:
		return linear{g.tyre - direction*g.gravity, c}.advance(u, h)
	case g.shape == growing || g.isLight(u, h):
		return g.rungeKutta(u, h, direction)
	}
	circle := newCircle(g, direction)
	if circle.noBalance {
		return g.rungeKutta(u, h, direction)
	}
	alpha := circle.advance(g.angle(u), h)
	return min(g.mean+g.rho*math.Sin(alpha), g.limit)
}

// angle returns α of u.
func (g *ground) angle(u float64) float64 { return math.Atan2(g.w*(u-g.mean), g.hold(u)) }

// isLight tells whether a Runge-Kutta step on a corner is as good as the closed
// form: the friction circle hardly bends on it.
func (g *ground) isLight(u, h float64) bool {
	reach := 2 * (g.tyre + math.Abs(g.gravity) + g.drag*u) * h
	return reach < 0.08*g.rho && u+reach < g.mean+0.6*g.rho
}

func (g *ground) rungeKutta(u, h, direction float64) float64 {
	f := func(u float64) float64 { return 2 * (g.hold(u) - direction*g.against(u)) }
	k1 := f(u)
	k2 := f(u + h/2*k1)
	k3 := f(u + h/2*k2)
	k4 := f(u + h*k3)
	return u + h/6*(k1+2*k2+2*k3+k4)
}

// distanceAtTheLimit returns the distance in which atTheLimit reaches target
// within a step.
func (g *ground) distanceAtTheLimit(target float64, s span, direction float64) float64 {
	switch {
	case g.shape == even:
		return linear{g.tyre - direction*g.gravity, direction * g.drag}.distance(s.from, target)
	case g.shape == growing || g.isLight(s.from, s.length):
		return distanceTo(target, s,
			func(x float64) float64 { return g.rungeKutta(s.from, x, direction) },
			func(u float64) float64 { return 2 * (g.hold(u) - direction*g.against(u)) })
	}
	circle := newCircle(g, direction)
	return max(circle.at(g.angle(target))-circle.at(g.angle(s.from)), 0)
}

// linear is the motion du/ds = 2 (F - c u).
type linear struct {
	force float64 // F, m/s2
	drag  float64 // c, 1/m
}

// advance returns u after h metres.
func (l linear) advance(u, h float64) float64 {
	return u + 2*(l.force-l.drag*u)*h*expm1Over(-2*l.drag*h)
}

// distance is the distance in which advance takes u to target.
func (l linear) distance(u, target float64) float64 {
	rate := 2 * (l.force - l.drag*u)
	x := -2 * l.drag * (target - u) / rate
	return (target - u) / rate * log1pOver(x)
}

// expm1Over is (e^x - 1)/x.
func expm1Over(x float64) float64 {
	if math.Abs(x) > 0.03 {
		return math.Expm1(x) / x
	}
	return 1 + x/2*(1+x/3*(1+x/4*(1+x/5*(1+x/6*(1+x/7)))))
}

// log1pOver is log(1 + x)/x.
func log1pOver(x float64) float64 {
	if x == 0 {
		return 1
	}
	return math.Log1p(x) / x
}

// span is a step from one u to another over some metres.
type span struct{ from, to, length float64 }

// distanceTo returns where in a step the solution passes target: at gives u
// after some metres, rate du/ds at u. Newton's method, bracketed.
func distanceTo(target float64, s span, at, rate func(float64) float64) float64 {
	low, high := 0.0, s.length
	sign := math.Copysign(1, s.to-s.from)
	x := s.length * (target - s.from) / (s.to - s.from)
	for range 40 {
		u := at(x)
		if math.Abs(u-target) <= 1e-13*target {
			break
		}
		if sign*(u-target) < 0 {
			low = x
		} else {
			high = x
		}
		next := x - (u-target)/rate(u)
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		if next == x {
			break
		}
		x = next
	}
	return x
}
