package learn

import (
	"context"
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mathext"

	"sumpward/sim/sampling"
)

// Posterior is what is known after something was seen.
type Posterior struct {
	Prior *Draws // equal weights, with their likelihoods
	*Draws

	LogEvidence      float64 // logarithm of the marginal likelihood
	LogEvidenceError float64 // its standard error
	Levels           []Level // of tempering; none where one importance step was enough
	Evaluations      int
}

// Level is one step of tempering.
type Level struct {
	Exponent   float64 // of the likelihood, up to 1
	Effective  float64 // number of draws that the weights of the step left
	Moves      int     // of each draw, that followed
	Acceptance float64 // share of them
}

// ErrImpossible says that what was seen can't be at any of the first draws.
var ErrImpossible = errors.New("what was seen can't be at any of the draws")

// How the steps are chosen.
const (
	enough = 0.25 // effective share of the draws that makes one importance step do
	share  = 0.5  // effective share that a step of tempering leaves
)

// Sample draws from the posterior of a target: the density proportional to the
// likelihood over the unit cube.
//
// The first draws are Latin hypercubes. Where weighting them by the likelihood
// leaves a quarter of them effective, that is all. Else the likelihood is taken
// in by steps: to a power that rises from 0 to 1, each as far as leaves half of the
// draws effective; systematic resampling; then moves that leave the tempered
// posterior as it is (see [mover]). The marginal likelihood is the product of the
// steps' mean weights.
//
// It fails with ErrImpossible where the likelihood of all first draws is 0, and with
// the error of a check, if there is one, of the first draws.
//
// Source: Del Moral, Doucet, Jasra 2006, "Sequential Monte Carlo samplers", J. R.
// Stat. Soc. B 68(3) 411-436; Jasra, Stephens, Doucet, Tsagaris 2011, Scand. J.
// Stat. 38(1) 1-22, for steps of a chosen effective size (both from memory).
func Sample(ctx context.Context, t Target, o Options, checks ...func(first *Draws) error) (*Posterior, error) {
	if o.Draws == 0 {
		o.Draws = Usual
	}
	if o.Draws < 2 || len(t.Keys) == 0 {
		return nil, fmt.Errorf("%d draws of %d inputs: at least 2 of 1 are needed", o.Draws, len(t.Keys))
	}
	p := newPool(ctx, &t, o)
	prior, err := first(p, &t, o)
	if err != nil {
		return nil, err
	}
	for _, check := range checks {
		if err := check(prior); err != nil {
			return nil, err
		}
	}
	post, err := temper(p, &t, o, prior)
	if post != nil {
		post.Evaluations = int(p.done.Load())
	}
	return post, err
}

// first evaluates the first draws.
func first(p *pool, t *Target, o Options) (*Draws, error) {
	d := newDraws(o.Draws, len(t.Keys), t.Notes)
	block := make([][]float64, len(t.Keys))
	for b := 0; b*sampling.BlockSize < o.Draws; b++ {
		from := b * sampling.BlockSize
		n := min(sampling.BlockSize, o.Draws-from)
		for k := range block {
			block[k] = make([]float64, n)
		}
		sampling.LatinHypercube{}.Block(o.Seed, t.Keys, b, block)
		for i := range n {
			for k := range block {
				d.U[from+i][k] = block[k][i]
			}
		}
	}
	for i := range d.Luck {
		d.Luck[i], d.Root[i], d.Weight[i] = uint64(i)+1, i, 1/float64(o.Draws)
	}
	return d, p.each(o.Draws, func(e Evaluate, i int) (err error) {
		d.LogLikelihood[i], err = likelihood(e, d.U[i], d.Luck[i], d.Notes[i])
		return err
	})
}

func newDraws(n, inputs, notes int) *Draws {
	d := &Draws{LogLikelihood: make([]float64, n), Luck: make([]uint64, n), Weight: make([]float64, n), Root: make([]int, n)}
	for range n {
		d.U, d.Notes = append(d.U, make([]float64, inputs)), append(d.Notes, make([]float64, notes))
	}
	return d
}

// temper turns the first draws into those of the posterior.
func temper(p *pool, t *Target, o Options, prior *Draws) (*Posterior, error) {
	post := &Posterior{Prior: prior}
	w, logMean, effective := weights(prior.LogLikelihood, 1)
	if effective == 0 {
		return post, ErrImpossible
	}
	if effective >= enough*float64(o.Draws) {
		d := *prior
		d.Weight = w
		post.Draws, post.LogEvidence = &d, logMean
		post.LogEvidenceError = post.evidenceError()
		return post, nil
	}
	d, m := prior, newMover(p, t, o)
	for exponent := 0.0; exponent < 1; {
		if len(post.Levels) == mostLevels {
			return post, fmt.Errorf("what was seen was not taken in within %d steps: it fits in too small a part of what the inputs allow", mostLevels)
		}
		rise := nextRise(d.LogLikelihood, 1-exponent)
		w, logMean, effective := weights(d.LogLikelihood, rise)
		post.LogEvidence += logMean
		if exponent += rise; exponent > 1-1e-12 {
			exponent = 1
		}
		d = resampled(d, w, resamplingPoint(o.Seed, len(post.Levels)))
		level := Level{Exponent: exponent, Effective: effective}
		var err error
		if level.Moves, level.Acceptance, err = m.move(d, exponent, len(post.Levels)); err != nil {
			return post, err
		}
		post.Levels = append(post.Levels, level)
	}
	post.Draws = d
	post.LogEvidenceError = post.evidenceError()
	return post, nil
}

// evidenceError is the standard error of the logarithm of the marginal likelihood,
//
//	se² = Σ W² - 1/n
//
// over the weights W of the families (Chan and Lai 2013, see [Draws.Mean]; derived).
func (p *Posterior) evidenceError() float64 {
	return math.Sqrt(max(0, 1/p.Effective()-1/float64(p.Len())))
}

// weights returns the weights that a rise of the exponent gives, adding up to 1,
// the logarithm of their mean before that, and their effective number; 0 where
// all are 0.
func weights(logLikelihood []float64, rise float64) (w []float64, logMean, effective float64) {
	w = make([]float64, len(logLikelihood))
	top := floats.Max(logLikelihood)
	if math.IsInf(top, -1) {
		return w, top, 0
	}
	sum := 0.0
	for i, l := range logLikelihood {
		w[i] = math.Exp(rise * (l - top))
		sum += w[i]
	}
	squares := 0.0
	for i := range w {
		w[i] /= sum
		squares += w[i] * w[i]
	}
	return w, rise*top + math.Log(sum/float64(len(w))), 1 / squares
}

// nextRise is by how much the exponent can rise, up to a most: until the weights
// leave a share of those draws effective that are possible at all.
func nextRise(logLikelihood []float64, most float64) float64 {
	possible := 0
	for _, l := range logLikelihood {
		if !math.IsInf(l, -1) {
			possible++
		}
	}
	wanted := share * float64(possible)
	holds := func(rise float64) bool {
		_, _, effective := weights(logLikelihood, rise)
		return effective >= wanted
	}
	if holds(most) {
		return most
	}
	low, high := 0.0, most
	for range 60 {
		if mid := (low + high) / 2; holds(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}

// resamplingPoint is the one draw that systematic resampling takes.
func resamplingPoint(seed uint64, level int) float64 {
	return sampling.Uniform(seed, sampling.InputKey("learn: resampling"), uint64(level))
}

// resampled returns draws of equal weight, each as often as its weight says, to
// the next whole number: systematic resampling.
//
// Source: Kitagawa 1996, J. Comput. Graph. Stat. 5(1) 1-25 (from memory).
func resampled(d *Draws, w []float64, point float64) *Draws {
	n := len(w)
	out := newDraws(n, len(d.U[0]), len(d.Notes[0]))
	from, below := 0, w[0]
	for i := range n {
		at := (float64(i) + point) / float64(n)
		for below < at && from < n-1 {
			from++
			below += w[from]
		}
		for w[from] == 0 { // where rounding left the last one short
			from--
		}
		copy(out.U[i], d.U[from])
		copy(out.Notes[i], d.Notes[from])
		out.Luck[i], out.LogLikelihood[i], out.Root[i] = d.Luck[from], d.LogLikelihood[from], d.Root[from]
		out.Weight[i] = 1 / float64(n)
	}
	return out
}

// normal and uniform turn coordinates into standard normals and back.
func normal(u float64) float64 { return mathext.NormalQuantile(u) }

func uniform(z float64) float64 {
	p := 0.5 * math.Erfc(-z/math.Sqrt2)
	return min(max(p, 0x1p-53), 1-0x1p-53)
}
