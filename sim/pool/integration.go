package pool

import (
	"context"
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// component is what is known given s, τ and, where readings are bounds, μ.
type component struct {
	given
	weight float64 // of all 1
	mu     float64 // mean
	muSD   float64
	bound  []part // θ of a car with bounds, by car; no weight for a car without
}

// posterior is the mixture of all components.
type posterior struct{ list []component }

// places are the numbers of places of the integration. Twice as many change no
// quantile by more than 2 % (a test holds it).
type places struct {
	first int // of s and of τ, on the log, in the first pass
	grid  int // in the second
	level int // of μ, where readings are bounds
	bound int // of θ of a car with bounds
}

var (
	allExact   = places{first: 14, grid: 20}
	withBounds = places{first: 12, grid: 16, level: 10, bound: 12}
)

func placesFor(groups []group) places {
	for i := range groups {
		if len(groups[i].bounds) > 0 {
			return withBounds
		}
	}
	return allExact
}

// rule is places z with weights, of all 1, for means over a standard normal.
type rule []struct{ z, weight float64 }

// hermite returns the rule of Gauss and Hermite with n places.
func hermite(n int) rule {
	z, w := make([]float64, n), make([]float64, n)
	if n > 0 {
		quad.Hermite{}.FixedLocations(z, w, math.Inf(-1), math.Inf(1))
	}
	list := make(rule, n)
	for i := range z {
		list[i].z, list[i].weight = z[i]*math.Sqrt2, w[i]/math.Sqrt(math.Pi)
	}
	return list
}

// lattice is a range of the log of a spread.
type lattice struct{ low, high float64 }

func (l lattice) places(n int) []float64 {
	if l.low == l.high {
		return []float64{math.Exp(l.low)}
	}
	list := make([]float64, n)
	for i := range list {
		list[i] = math.Exp(l.low + (l.high-l.low)*float64(i)/float64(n-1))
	}
	return list
}

// lattices are the ranges of s and of τ.
type lattices struct{ within, between lattice }

// rangeOf is where a spread is looked for at first: its prior from 1/500 to 5 scales.
func rangeOf(scale, known float64) lattice {
	if known > 0 {
		return lattice{math.Log(known), math.Log(known)}
	}
	return lattice{math.Log(scale / 500), math.Log(5 * scale)}
}

// integrate finds the posterior on a coarse grid of s and τ, and again on a finer
// one where the first had its weight.
func integrate(ctx context.Context, groups []group, p Priors, n places) (*posterior, error) {
	within, between := rangeOf(p.WithinScale, p.KnownWithin), rangeOf(p.BetweenScale, p.KnownBetween)
	rough := n
	rough.grid = n.first
	post, err := over(ctx, groups, p, rough, lattices{within, between})
	if err != nil {
		return nil, err
	}
	within = post.narrowed(within, n.first, func(c *component) float64 { return c.s })
	between = post.narrowed(between, n.first, func(c *component) float64 { return c.tau })
	return over(ctx, groups, p, n, lattices{within, between})
}

// narrowed is the part of a range that has the weight, and a place on either side.
func (p *posterior) narrowed(l lattice, n int, of func(*component) float64) lattice {
	if l.low == l.high {
		return l
	}
	low, high := math.Inf(1), math.Inf(-1)
	for i := range p.list {
		if v := math.Log(of(&p.list[i])); p.list[i].weight > 1e-6 {
			low, high = min(low, v), max(high, v)
		}
	}
	step := (l.high - l.low) / float64(n-1)
	return lattice{max(l.low, low-step), min(l.high, high+step)}
}

// over evaluates the model at every place of a grid.
func over(ctx context.Context, groups []group, p Priors, n places, l lattices) (*posterior, error) {
	post := &posterior{}
	taus := l.between.places(n.grid)
	if p.CompletePooled {
		taus = []float64{0}
	}
	level, theta := hermite(n.level), hermite(n.bound)
	for _, s := range l.within.places(n.grid) {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		for _, tau := range taus {
			g := condition(groups, p, s, tau)
			if p.KnownWithin == 0 {
				g.log += logHalfNormal(s, p.WithinScale)
			}
			if p.KnownBetween == 0 && !p.CompletePooled {
				g.log += logHalfNormal(tau, p.BetweenScale)
			}
			if n.level > 0 && !math.IsInf(g.levelSD, 1) {
				post.list = append(post.list, g.atLevels(groups, level, theta)...)
				continue
			}
			post.list = append(post.list, component{given: g, weight: g.log, mu: g.level, muSD: g.levelSD})
		}
	}
	post.normalize()
	return post, nil
}

// logHalfNormal is the log density of a half-normal, on the log of its variable.
func logHalfNormal(v, scale float64) float64 { return -0.5*(v/scale)*(v/scale) + math.Log(v) }

// atLevels parts a component by places of μ, with the chance of all bounds there.
func (g given) atLevels(groups []group, level, theta rule) []component {
	var list []component
	for _, at := range level {
		c := component{given: g, mu: g.level + g.levelSD*at.z, weight: g.log + math.Log(at.weight), bound: make([]part, len(groups))}
		for i := range groups {
			if len(groups[i].bounds) > 0 {
				mean, variance := c.of(i, c.mu)
				var log float64
				log, c.bound[i] = g.bounded(groups[i].bounds, part{1, mean, math.Sqrt(variance)}, theta)
				c.weight += log
			}
		}
		list = append(list, c)
	}
	return list
}

// bounded is the log chance of bounds over the normal that exact readings leave of
// θ, and the normal of the same mean and spread as what bounds leave of it.
func (g *given) bounded(bounds []reading, before part, theta rule) (float64, part) {
	logs := make([]float64, len(theta))
	most := math.Inf(-1)
	for k, at := range theta {
		logs[k] = math.Log(at.weight) + g.logBounds(bounds, before.mean+before.sd*at.z)
		most = max(most, logs[k])
	}
	var sum, first, second float64
	for k, at := range theta {
		w := math.Exp(logs[k] - most)
		sum, first, second = sum+w, first+w*at.z, second+w*at.z*at.z
	}
	z := first / sum
	spread := math.Sqrt(max(second/sum-z*z, 0))
	return most + math.Log(sum), part{1, before.mean + before.sd*z, before.sd * spread}
}

// negligible is the weight below which a component is dropped.
const negligible = 1e-6

// normalize turns log weights into weights of all 1.
func (p *posterior) normalize() {
	most := math.Inf(-1)
	for i := range p.list {
		most = max(most, p.list[i].weight)
	}
	sum := 0.0
	kept := p.list[:0]
	for _, c := range p.list {
		if w := math.Exp(c.weight - most); w > negligible {
			c.weight = w
			sum += w
			kept = append(kept, c)
		}
	}
	p.list = kept
	for i := range p.list {
		p.list[i].weight /= sum
	}
}
