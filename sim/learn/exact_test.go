package learn

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/mathext"

	"sumpward/sim/sampling"
)

// made is a target whose likelihood is a function of the place and the luck alone.
func made(inputs int, l func(u []float64, luck uint64) float64) Target {
	t := Target{Notes: inputs}
	for k := range inputs {
		t.Keys = append(t.Keys, sampling.InputKey(fmt.Sprint("input ", k)))
	}
	t.Worker = func() Evaluate {
		return func(u []float64, luck uint64, notes []float64) (float64, error) {
			copy(notes, u)
			return l(u, luck), nil
		}
	}
	return t
}

func sampled(t *testing.T, target Target, o Options) *Posterior {
	p, err := Sample(context.Background(), target, o)
	require.NoError(t, err)
	sum := 0.0
	for i, w := range p.Weight {
		sum += w
		require.Equal(t, p.U[i], p.Notes[i], "notes go with their draw")
	}
	require.InDelta(t, 1, sum, 1e-9)
	return p
}

// z is the standard normal behind an input of the draws.
func (d *Draws) z(input int) func(i int) float64 {
	return func(i int) float64 { return normal(d.U[i][input]) }
}

// reading is one linear reading of standard normal inputs: seen = a·z + error.
type reading struct {
	a           []float64
	seen, error float64
}

// linear is the target of linear readings of standard normals.
func linear(inputs int, readings ...reading) Target {
	return made(inputs, func(u []float64, _ uint64) float64 {
		total := 0.0
		for _, r := range readings {
			off := r.seen
			for k, a := range r.a {
				off -= a * normal(u[k])
			}
			total += -off*off/(2*r.error*r.error) - math.Log(r.error*math.Sqrt(2*math.Pi))
		}
		return total
	})
}

// linearExact is the posterior of linear readings in closed form: with A the rows of
// the readings and R their variances, the prior standard normal,
//
//	C = (I + Aᵀ R⁻¹ A)⁻¹,  m = C Aᵀ R⁻¹ y,  evidence N(y; 0, A Aᵀ + R)
//
// (Bayes' rule for normals; Gelman, Carlin, Stern et al. 2013, Bayesian Data Analysis,
// section 14.8, from memory; derived).
func linearExact(inputs int, readings ...reading) (mean []float64, c *mat.SymDense, logEvidence float64) {
	precision := mat.NewSymDense(inputs, nil)
	right := mat.NewVecDense(inputs, nil)
	for j := range inputs {
		precision.SetSym(j, j, 1)
	}
	s, y := mat.NewSymDense(len(readings), nil), mat.NewVecDense(len(readings), nil)
	for i, r := range readings {
		for j := range inputs {
			right.SetVec(j, right.AtVec(j)+r.a[j]*r.seen/(r.error*r.error))
			for k := j; k < inputs; k++ {
				precision.SetSym(j, k, precision.At(j, k)+r.a[j]*r.a[k]/(r.error*r.error))
			}
		}
		y.SetVec(i, r.seen)
		for k, other := range readings {
			dot := 0.0
			for j := range inputs {
				dot += r.a[j] * other.a[j]
			}
			if i == k {
				dot += r.error * r.error
			}
			if k >= i {
				s.SetSym(i, k, dot)
			}
		}
	}
	var chol, evidence mat.Cholesky
	chol.Factorize(precision)
	c = mat.NewSymDense(inputs, nil)
	_ = chol.InverseTo(c)
	var m, v mat.VecDense
	_ = chol.SolveVecTo(&m, right)
	for j := range inputs {
		mean = append(mean, m.AtVec(j))
	}
	evidence.Factorize(s)
	_ = evidence.SolveVecTo(&v, y)
	logEvidence = -0.5*mat.Dot(y, &v) - 0.5*evidence.LogDet() - 0.5*float64(len(readings))*math.Log(2*math.Pi)
	return mean, c, logEvidence
}

// Every tolerance is four standard errors, those of the draws themselves, at a fixed seed.
func TestNormalReadingsHaveTheirClosedForm(t *testing.T) {
	for name, c := range map[string]struct {
		inputs   int
		readings []reading
		tempered bool
	}{
		"one input, wide":     {1, []reading{{[]float64{1}, 0.7, 0.8}}, false},
		"one input, narrow":   {1, []reading{{[]float64{1}, 1.6, 0.02}}, true},
		"one input, far out":  {1, []reading{{[]float64{1}, 3.5, 0.3}}, true},
		"a sum of two":        {2, []reading{{[]float64{1, 1}, 2, 0.05}}, true},
		"two readings, three": {3, []reading{{[]float64{1, -0.5, 0.2}, 1, 0.05}, {[]float64{0.3, 0.3, 1}, -1.5, 0.1}}, true},
		"twelve, one told of": {12, []reading{{[]float64{1, 0.5, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0.1}, 1.2, 0.05}}, true},
	} {
		t.Run(name, func(t *testing.T) {
			p := sampled(t, linear(c.inputs, c.readings...), Options{Seed: 3, Draws: 2000})
			assert.Equal(t, c.tempered, len(p.Levels) > 0)
			mean, cov, logEvidence := linearExact(c.inputs, c.readings...)
			for j := range c.inputs {
				got, se := p.Mean(p.z(j))
				assert.InDelta(t, mean[j], got, 4*se, "mean of %d", j)
				assert.Less(t, se, 0.2*math.Sqrt(cov.At(j, j)), "the error is small against the spread")
				for k := j; k < c.inputs; k++ {
					got, se := p.Mean(func(i int) float64 { return (p.z(j)(i) - mean[j]) * (p.z(k)(i) - mean[k]) })
					assert.InDelta(t, cov.At(j, k), got, 4*se, "covariance of %d and %d", j, k)
				}
			}
			assert.InDelta(t, logEvidence, p.LogEvidence, 4*p.LogEvidenceError)
			assert.Less(t, p.LogEvidenceError, 0.3)
			t.Logf("levels %d, evaluations %d, effective %.0f, evidence %.3f ± %.3f", len(p.Levels), p.Evaluations, p.Effective(), p.LogEvidence-logEvidence, p.LogEvidenceError)
			for _, l := range p.Levels {
				t.Logf("  %+v", l)
			}
		})
	}
}

// What a share of yes among so many answers tells of a chance that was anything
// between 0 and 1: Beta(1 + yes, 1 + no), evidence B(1 + yes, 1 + no) (Bayes 1763).
func TestYesAndNoHaveTheirClosedForm(t *testing.T) {
	for _, c := range []struct{ yes, no float64 }{{1, 0}, {0, 1}, {3, 2}, {0, 12}, {140, 60}} {
		target := made(1, func(u []float64, _ uint64) float64 { return c.yes*math.Log(u[0]) + c.no*math.Log(1-u[0]) })
		p := sampled(t, target, Options{Seed: 8, Draws: 2000})
		a, b := 1+c.yes, 1+c.no
		share := func(i int) float64 { return p.U[i][0] }
		mean, se := p.Mean(share)
		assert.InDelta(t, a/(a+b), mean, 4*se, "%+v", c)
		variance, se := p.Mean(func(i int) float64 { return (p.U[i][0] - a/(a+b)) * (p.U[i][0] - a/(a+b)) })
		assert.InDelta(t, a*b/((a+b)*(a+b)*(a+b+1)), variance, 4*se, "%+v", c)
		assert.InDelta(t, mathext.Lbeta(a, b), p.LogEvidence, 4*p.LogEvidenceError, "%+v", c)
		for _, q := range []float64{0.05, 0.5, 0.95} {
			at := p.Quantiles(share, q)[0]
			below, se := p.Mean(func(i int) float64 {
				if p.U[i][0] <= mathext.InvRegIncBeta(a, b, q) {
					return 1
				}
				return 0
			})
			assert.InDelta(t, q, below, 4*se, "%+v: quantile %g at %g", c, q, at)
		}
	}
}

// A reading of |z| leaves two places: both keep their share, and the evidence is
// twice that of one.
func TestBothModesAreKept(t *testing.T) {
	const seen, e = 1.8, 0.03
	target := made(2, func(u []float64, _ uint64) float64 {
		off := (math.Abs(normal(u[0])) - seen) / e
		return -off*off/2 - math.Log(e*math.Sqrt(2*math.Pi))
	})
	p := sampled(t, target, Options{Seed: 5, Draws: 2000})
	require.NotEmpty(t, p.Levels)
	above, se := p.Mean(func(i int) float64 {
		if p.U[i][0] > 0.5 {
			return 1
		}
		return 0
	})
	assert.InDelta(t, 0.5, above, 4*se)
	assert.Less(t, se, 0.12)
	_, cov, _ := linearExact(1, reading{[]float64{1}, seen, e})
	size := func(i int) float64 { return math.Abs(p.z(0)(i)) }
	mean, se := p.Mean(size)
	assert.InDelta(t, seen/(1+e*e), mean, 4*se)
	assert.InEpsilon(t, math.Sqrt(cov.At(0, 0)), p.Deviation(size), 0.1)
	_, _, one := linearExact(1, reading{[]float64{1}, seen, e})
	assert.InDelta(t, one+math.Log(2), p.LogEvidence, 4*p.LogEvidenceError)
}

// Luck that goes into a reading is learned of too, and is not taken for the input:
// seen = z + 0.5 luck + error is a reading of z with both errors together.
func TestLuckIsProposedToo(t *testing.T) {
	const seen, e, spread = 1.4, 0.1, 0.5
	target := made(1, func(u []float64, luck uint64) float64 {
		off := (seen - normal(u[0]) - spread*normal(sampling.Uniform(1, 7, luck))) / e
		return -off*off/2 - math.Log(e*math.Sqrt(2*math.Pi))
	})
	p := sampled(t, target, Options{Seed: 2, Draws: 4000})
	require.NotEmpty(t, p.Levels)
	mean, cov, logEvidence := linearExact(1, reading{[]float64{1}, seen, math.Hypot(e, spread)})
	got, se := p.Mean(p.z(0))
	assert.InDelta(t, mean[0], got, 4*se)
	got, se = p.Mean(func(i int) float64 { return (p.z(0)(i) - mean[0]) * (p.z(0)(i) - mean[0]) })
	assert.InDelta(t, cov.At(0, 0), got, 4*se)
	assert.InDelta(t, logEvidence, p.LogEvidence, 4*p.LogEvidenceError)
	different := map[uint64]bool{}
	for _, l := range p.Luck {
		different[l] = true
	}
	assert.Greater(t, len(different), 2000)
}

// The errors that draws state of their means are those that means have: over 60
// seeds the squares of (mean - exact)/error add up as they would, chi-square, chances
// of 1/10,000 on either side. (Stratified first draws make them smaller, never larger:
// so only the side of too small errors is tight.)
func TestStatedErrorsAreTheirs(t *testing.T) {
	const seeds = 60
	r := []reading{{[]float64{1, 1}, 1.5, 0.06}}
	mean, _, logEvidence := linearExact(2, r...)
	var means, evidences float64
	for seed := range uint64(seeds) {
		p := sampled(t, linear(2, r...), Options{Seed: seed, Draws: 400})
		got, se := p.Mean(p.z(0))
		means += (got - mean[0]) * (got - mean[0]) / (se * se)
		evidences += (p.LogEvidence - logEvidence) * (p.LogEvidence - logEvidence) / (p.LogEvidenceError * p.LogEvidenceError)
	}
	t.Logf("mean squares: %.2f of means, %.2f of evidences", means/seeds, evidences/seeds)
	assert.InDelta(t, 1, means/seeds, 0.85)
	assert.Less(t, means, 108.) // chi-square of 60 degrees, 0.9999
	assert.Less(t, evidences, 108.)
}
