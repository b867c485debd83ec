package learn

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/stat/distuv"

	"sumpward/sim/sampling"
)

// bins counts in which of equal parts of 0..1 a rank falls.
type bins []int

func (b bins) add(rank float64) { b[min(int(rank*float64(len(b))), len(b)-1)]++ }

// chance is that of a chi-square as large where all parts are alike.
func (b bins) chance() float64 {
	n := 0
	for _, k := range b {
		n += k
	}
	expected, sum := float64(n)/float64(len(b)), 0.0
	for _, k := range b {
		sum += (float64(k) - expected) * (float64(k) - expected) / expected
	}
	return distuv.ChiSquared{K: float64(len(b) - 1)}.Survival(sum)
}

// rank is the share of the weight below a true value.
func rank(d *Draws, value func(i int) float64, true float64) float64 {
	r, _ := d.Mean(func(i int) float64 {
		if value(i) < true {
			return 1
		}
		return 0
	})
	return r
}

// Simulation-based calibration: a place is drawn from the prior, what would be seen
// there with its errors and luck is drawn too, and learned from; the rank of the true
// value among the draws is then uniform, whatever the likelihood. The made car has
// three inputs and luck; seen are a product, a root with luck in it, and a yes or no.
//
// Source: Talts, Betancourt, Simpson, Vehtari, Gelman 2018, "Validating Bayesian
// inference algorithms with simulation-based calibration", arXiv 1804.06788 (from
// memory). 600 repeats, chi-square of 20 parts, level 1/1000 for each of four ranks.
func TestRanksOfTheTrueInputsAreUniform(t *testing.T) {
	const repeats, parts = 600, 20
	predict := func(u []float64, luck uint64) (product, root, yes float64) {
		lap := sampling.SpreadOf(0.1).Factor(normal(sampling.Uniform(3, 11, luck)))
		a, b, c := math.Exp(0.4*normal(u[0])), 0.5+u[1], 2*u[2]
		return a * b, math.Sqrt(b+c) * lap, 1 / (1 + math.Exp(-3*(a-c)))
	}
	names := []string{"first", "second", "third", "product"}
	counted := map[string]bins{}
	for _, n := range names {
		counted[n] = make(bins, parts)
	}
	tempered := 0
	for k := range uint64(repeats) {
		s := sampling.NewStream(12, sampling.InputKey("true"), k)
		u := []float64{s.Float64(), s.Float64(), s.Float64()}
		product, root, chance := predict(u, 1<<50+k)
		product += 0.03 * s.NormFloat64()
		root += 0.02 * s.NormFloat64()
		yes := s.Float64() < chance
		target := made(3, func(u []float64, luck uint64) float64 {
			p, r, c := predict(u, luck)
			if !yes {
				c = 1 - c
			}
			p, r = (product-p)/0.03, (root-r)/0.02
			return -p*p/2 - r*r/2 + math.Log(c)
		})
		post := sampled(t, target, Options{Seed: 1000 + k, Draws: 200, Workers: 2})
		if len(post.Levels) > 0 {
			tempered++
		}
		for j := range u {
			counted[names[j]].add(rank(post.Draws, func(i int) float64 { return post.U[i][j] }, u[j]))
		}
		a := func(u []float64) float64 { p, _, _ := predict(u, 0); return p }
		counted["product"].add(rank(post.Draws, func(i int) float64 { return a(post.U[i]) }, a(u)))
	}
	assert.Greater(t, tempered, repeats*9/10)
	for _, n := range names {
		t.Logf("%-8s chance of as uneven ranks %.3f: %v", n, counted[n].chance(), counted[n])
		assert.Greater(t, counted[n].chance(), 1e-3, n)
	}
}
