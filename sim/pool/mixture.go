package pool

import (
	"math"
	"slices"
)

// mixture is a weighted sum of normals; one without width is a place.
type mixture []part

type part struct{ weight, mean, sd float64 }

// newCar is the log rate of a new car: of its level, and with one of a session.
func (p *posterior) newCar(sessions float64) mixture {
	m := make(mixture, 0, len(p.list))
	for i := range p.list {
		c := &p.list[i]
		m = append(m, part{c.weight, c.mu, math.Sqrt(c.muSD*c.muSD + c.tau*c.tau + sessions*c.s*c.s)})
	}
	return m
}

// car is the log level of car i.
func (p *posterior) car(i int) mixture {
	var m mixture
	for k := range p.list {
		c := &p.list[k]
		if c.bound != nil && c.bound[i].weight > 0 {
			m = append(m, part{c.weight, c.bound[i].mean, c.bound[i].sd})
			continue
		}
		mean, variance := c.of(i, c.mu)
		share := c.shrinks(i)
		m = append(m, part{c.weight, mean, math.Sqrt(variance + share*share*c.muSD*c.muSD)})
	}
	return m
}

// cdf is the chance of no more than x.
func (m mixture) cdf(x float64) float64 {
	sum := 0.0
	for _, p := range m {
		if p.sd == 0 {
			if p.mean <= x {
				sum += p.weight
			}
			continue
		}
		sum += p.weight * 0.5 * math.Erfc((p.mean-x)/(p.sd*math.Sqrt2))
	}
	return sum
}

// quantile finds where the distribution function reaches q, to 1e-6, by false
// position with the weights of Illinois: Dowell & Jarratt 1971, BIT 11, 168-174
// (from memory).
func (m mixture) quantile(q float64) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range m {
		if math.IsInf(p.sd, 1) {
			return math.NaN() // a flat prior alone has no quantiles
		}
		low, high = min(low, p.mean-5*p.sd-1e-6), max(high, p.mean+5*p.sd+1e-6)
	}
	below, above := -q, 1-q
	for side := 0; high-low > 1e-6; {
		x := low + (high-low)*min(max(below/(below-above), 0.01), 0.99)
		switch d := m.cdf(x) - q; {
		case math.Abs(d) < 1e-9:
			return x
		case d < 0:
			low, below = x, d
			if side == -1 {
				above /= 2
			}
			side = -1
		default:
			high, above = x, d
			if side == 1 {
				below /= 2
			}
			side = 1
		}
	}
	return (low + high) / 2
}

// of90 is the normal quantile that a 90 % interval reaches to.
const of90 = 1.6448536269514722

// level sums a mixture of log rates up.
func (m mixture) level() Level {
	low, middle, high := m.quantile(0.05), m.quantile(0.5), m.quantile(0.95)
	return Level{Median: math.Exp(middle), Low: math.Exp(low), High: math.Exp(high), Factor: math.Exp((high - low) / (2 * of90)), Alone: math.NaN()}
}

// spread sums the posterior of s or τ up, as a geometric standard deviation.
func (p *posterior) spread(of func(*component) float64) Spread {
	type at struct{ v, weight float64 }
	var list []at
	for i := range p.list {
		list = append(list, at{of(&p.list[i]), p.list[i].weight})
	}
	slices.SortStableFunc(list, func(a, b at) int {
		switch {
		case a.v < b.v:
			return -1
		case a.v > b.v:
			return 1
		}
		return 0
	})
	quantile := func(q float64) float64 {
		sum := 0.0
		for _, x := range list {
			if sum += x.weight; sum >= q {
				return math.Exp(x.v)
			}
		}
		return math.NaN()
	}
	return Spread{quantile(0.5), quantile(0.05), quantile(0.95)}
}
