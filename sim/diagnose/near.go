package diagnose

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"sumpward/sim/sampling"
)

// near draws cars of a fault near those that fit what was seen. In normal scores z of the
// coordinates it is
//
//	q(z) = δ φ(z) + (1-δ) N(z; μ, Σ)
//
// with mean and covariance of the cars drawn so far, weighted by the likelihood. Each
// counts φ/q times, 1/δ at the most, which leaves the mean likelihood what it is.
//
// Source: Hesterberg 1995 for the mixture, "Weighted average importance sampling and
// defensive mixture distributions", Technometrics 37(2) 185-194 (from memory); Cappé
// et al. 2004 for adapting it round by round (from memory). The shrinking of Σ is a prior.
type near struct {
	from  int // the first car that is drawn so
	mean  []float64
	lower *mat.TriDense // Cholesky factor of the covariance
	log   float64       // ln det of it
}

const (
	farShare = 0.25 // δ
	// nearCars is the effective number of cars that mean and covariance are taken from at
	// the least: likelihoods are flattened until there are as many.
	nearCars = 60
	wider    = 1.4 // the covariance, over that of the cars
)

// draw moves normal scores that are drawn independently to where q has them, given a
// uniform number, and returns the logarithm of how often the car counts.
func (n *near) draw(which float64, z, work []float64) float64 {
	if which >= farShare {
		for j := len(z) - 1; j >= 0; j-- {
			sum := n.mean[j]
			for k := 0; k <= j; k++ {
				sum += n.lower.At(j, k) * z[k]
			}
			z[j] = sum
		}
	}
	own, moved := 0.0, 0.0
	for j := range z { // work = L⁻¹ (z - μ)
		sum := z[j] - n.mean[j]
		for k := range j {
			sum -= n.lower.At(j, k) * work[k]
		}
		work[j] = sum / n.lower.At(j, j)
		own -= z[j] * z[j] / 2
		moved -= work[j] * work[j] / 2
	}
	return -math.Log(farShare + (1-farShare)*math.Exp(moved-n.log-own))
}

// drawNear adds to a fault's ways of drawing one near the cars that fit, from its next
// car on; none where too few of them come into question.
func (b *Bank) drawNear(fault int, logs []float64) {
	weights := flattened(logs, nearCars)
	if weights == nil {
		return
	}
	w := b.worker(b.glances[0].predictor)
	d := len(b.inputs) + len(b.Faults[fault].Changes)
	n := near{from: b.Draws[fault], mean: make([]float64, d)}
	second := mat.NewSymDense(d, nil)
	effective := 0.0
	for i, p := range weights {
		effective += p * p
		if p == 0 {
			continue
		}
		z := w.scores(fault, i)
		for j := range z {
			n.mean[j] += p * z[j]
			for k := range j + 1 {
				second.SetSym(j, k, second.At(j, k)+p*z[j]*z[k])
			}
		}
	}
	shrink := 1 - min(1, float64(d)*effective)
	for j := range d {
		for k := range j + 1 {
			c := second.At(j, k) - n.mean[j]*n.mean[k]
			if j == k {
				c = min(max(c*wider, 0.02), wider)
			} else {
				c *= shrink * wider
			}
			second.SetSym(j, k, c)
		}
	}
	var c mat.Cholesky
	if !c.Factorize(second) {
		return
	}
	n.lower = mat.NewTriDense(d, mat.Lower, nil)
	c.LTo(n.lower)
	n.log = c.LogDet() / 2
	b.near[fault] = append(b.near[fault], n)
}

// nearOf returns how a car of a fault is drawn; nil: like the scenario's.
func (b *Bank) nearOf(fault, car int) *near {
	list := b.near[fault]
	for i := len(list) - 1; i >= 0; i-- {
		if car >= list[i].from {
			return &list[i]
		}
	}
	return nil
}

// scores returns the normal scores of a car's coordinates: inputs, then severities.
func (w *worker) scores(fault, car int) []float64 {
	block := car / sampling.BlockSize
	if w.fault == nil || w.index != fault || w.block != block {
		w.place(fault, block, sampling.BlockSize)
	}
	w.settle(car - block*sampling.BlockSize)
	return w.z
}

// flattened returns weights that add to 1 in proportion to a power of likelihoods, the highest
// up to 1 at which they count for so many; nil where fewer come into question.
func flattened(logs []float64, cars float64) []float64 {
	most, finite := math.Inf(-1), 0.0
	for _, l := range logs {
		if !math.IsInf(l, -1) {
			finite++
			most = max(most, l)
		}
	}
	if finite < cars {
		return nil
	}
	weights := make([]float64, len(logs))
	at := func(power float64) float64 {
		total, squares := 0.0, 0.0
		for i, l := range logs {
			weights[i] = math.Exp(power * (l - most))
			total += weights[i]
			squares += weights[i] * weights[i]
		}
		for i := range weights {
			weights[i] /= total
		}
		return total * total / squares
	}
	low, high := 0.0, 1.0
	if at(1) >= cars {
		return weights
	}
	for range 40 {
		if middle := (low + high) / 2; at(middle) >= cars {
			low = middle
		} else {
			high = middle
		}
	}
	at(low)
	return weights
}

// score and share turn a coordinate in (0, 1) to its normal score and back.
func score(u float64) float64 { return distuv.UnitNormal.Quantile(u) }

func share(z float64) float64 {
	const least = 1e-12
	return min(max(0.5*math.Erfc(-z/math.Sqrt2), least), 1-least)
}
