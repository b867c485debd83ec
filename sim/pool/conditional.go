package pool

import "math"

// given is everything normal once s and τ are known: for each car the precision
// weighted mean of its exact readings, and the shop's level.
type given struct {
	s, tau  float64
	mean    []float64 // of a car's exact readings
	weight  []float64 // precision of that mean for θ; 0 without an exact reading
	level   float64   // mean of μ
	levelSD float64
	log     float64 // log marginal likelihood of the exact readings, and the priors of s and τ
}

// condition solves the model given s and τ:
//
//	ȳ_i = Σ_j w_ij y_ij / W_i,  w_ij = 1/(s² + e_ij²),  W_i = Σ_j w_ij
//	ȳ_i ~ N(μ, 1/W_i + τ²)
//	μ | all: the precision-weighted mean of the ȳ_i and the prior
//
// Source: Gelman et al. 2013, section 5.4 (from memory).
func condition(groups []group, p Priors, s, tau float64) given {
	g := given{s: s, tau: tau, mean: make([]float64, len(groups)), weight: make([]float64, len(groups))}
	prior := math.Log(p.Median)
	sd := math.Log(p.Factor)
	precision := 1 / (sd * sd) // 0: flat
	sum := precision * prior
	for i := range groups {
		var w, wy float64
		for _, r := range groups[i].exact {
			one := 1 / (s*s + r.e*r.e)
			w, wy = w+one, wy+one*r.y
		}
		if w == 0 {
			continue
		}
		m := wy / w
		g.mean[i], g.weight[i] = m, w
		for _, r := range groups[i].exact { // of the readings about their mean
			v := s*s + r.e*r.e
			g.log += logNormal(r.y-m, v)
		}
		g.log -= logNormal(0, 1/w)
		v := 1/w + tau*tau
		sum, precision = sum+m/v, precision+1/v
	}
	if precision == 0 { // flat, and nothing exact
		g.level, g.levelSD = prior, math.Inf(1)
		return g
	}
	g.level, g.levelSD = sum/precision, 1/math.Sqrt(precision)
	for i, w := range g.weight {
		if w > 0 {
			g.log += logNormal(g.mean[i]-g.level, 1/w+tau*tau)
		}
	}
	if !math.IsInf(sd, 1) {
		g.log += logNormal(prior-g.level, sd*sd)
	}
	g.log += 0.5 * math.Log(2*math.Pi/precision)
	return g
}

// of is θ_i given μ: its mean and variance.
func (g *given) of(i int, mu float64) (mean, variance float64) {
	if g.tau == 0 {
		return mu, 0
	}
	share := g.shrinks(i)
	return share*mu + (1-share)*g.mean[i], share * g.tau * g.tau
}

// shrinks is the share of the shop's level in a car's: 1 is complete pooling, 0 none.
func (g *given) shrinks(i int) float64 {
	if g.tau == 0 {
		return 1
	}
	return 1 / (1 + g.weight[i]*g.tau*g.tau)
}

// logNormal is the log density of a normal at a distance, given its variance.
func logNormal(d, variance float64) float64 {
	return -0.5 * (d*d/variance + math.Log(2*math.Pi*variance))
}

// logBounds is the log chance of a car's bounds at θ.
func (g *given) logBounds(bounds []reading, theta float64) float64 {
	sum := 0.0
	for _, r := range bounds {
		z := (r.y - theta) / g.s
		if r.kind == above {
			z = -z
		}
		sum += logCDF(z)
	}
	return sum
}

// logCDF is the log of the standard normal's distribution function; far below, by
// its asymptote: Abramowitz & Stegun 1964, 26.2.12.
func logCDF(z float64) float64 {
	if z < -30 {
		return -0.5*z*z - math.Log(-z) - 0.5*math.Log(2*math.Pi) - 1/(z*z)
	}
	return math.Log(0.5 * math.Erfc(-z/math.Sqrt2))
}
