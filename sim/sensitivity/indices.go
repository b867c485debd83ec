package sensitivity

import (
	"math"
)

// Index is an estimated share of the variance, with its interval at the level of
// [sim.Level] and its standard error, both from resampled base points. It may come
// out below 0 or above 1, by no more than its error.
type Index struct{ Value, Low, High, Error float64 }

// Share is what one part has of an output's variance.
type Share struct {
	First Index // alone: by how much the variance shrinks, on average, once the part is known
	Total Index // with others: what is left of the variance, on average, once all else is known
}

// Indices is the split of the variance of one output.
type Indices struct {
	Mean, Variance float64
	Parts          []Share // in the order of the design; nil where the output never differs
	Alone          Index   // sum of the first-order indices: the rest takes several parts together
}

// Indices estimates the split of an output's variance. With f the output, f_A and
// f_B at the two places of a base point and f_i at A with part i taken from B,
//
//	V   = ½ mean of (f_A - m)² + (f_B - m)²
//	S_i = mean of (f_B - m) (f_i - f_A) / V
//	T_i = mean of (f_A - f_i)² / 2V
//
// m being the mean of all f_A and f_B: taken away, it leaves the first-order index
// what it is in the limit and its error no larger than it need be. The interval is
// that of the percentiles over resampled base points (1 to resamples, at least 100),
// m and V made anew for each.
//
// Source: Saltelli et al. 2010 (see [Design]), table 2, (b) for S and (f) for T, the
// latter by Jansen 1999, "Analysis of variance designs for model output", Comput.
// Phys. Commun. 117, 35-43; Archer, Saltelli, Sobol' 1997, "Sensitivity measures,
// ANOVA-like techniques and the use of bootstrap", J. Stat. Comput. Simul. 58, 99-120,
// for the intervals; Efron, Tibshirani 1993, "An introduction to the bootstrap",
// chapter 13, for percentiles (all from memory).
func (s *Sample) Indices(output, resamples int) Indices {
	t := s.terms(output)
	all := make([]float64, s.design.Points)
	for j := range all {
		all[j] = 1
	}
	whole := t.estimate(all)
	out := Indices{Mean: t.offset + whole.mean, Variance: whole.variance}
	if !(whole.variance > math.Pow(alike*out.Mean, 2)) {
		return out
	}
	spread := t.resample(s.design.Seed, max(resamples, leastResamples), s.design.Workers)
	for i := range s.design.Parts {
		out.Parts = append(out.Parts, Share{
			First: spread.index(whole.first[i], func(e *estimate) float64 { return e.first[i] }),
			Total: spread.index(whole.total[i], func(e *estimate) float64 { return e.total[i] }),
		})
	}
	out.Alone = spread.index(whole.alone(), (*estimate).alone)
	return out
}

// alike is the spread, over the mean, below which outputs differ by rounding alone.
const alike = 1e-9

// terms are what the estimators sum over base points. Outputs are taken from an
// offset, the mean over all base points, so that no digits are lost; estimates take
// the mean of their own base points from that.
type terms struct {
	offset  float64
	sum     []float64   // f_A + f_B
	squares []float64   // f_A² + f_B²
	product [][]float64 // by part: f_B (f_i - f_A)
	change  [][]float64 // by part: f_i - f_A
	half    [][]float64 // by part: (f_i - f_A)²/2
}

func (s *Sample) terms(output int) *terms {
	n := s.design.Points
	t := &terms{sum: make([]float64, n), squares: make([]float64, n)}
	for j := range n {
		t.offset += (s.at(j, 0)[output] + s.at(j, 1)[output]) / float64(2*n)
	}
	for j := range n {
		a, b := s.at(j, 0)[output]-t.offset, s.at(j, 1)[output]-t.offset
		t.sum[j], t.squares[j] = a+b, a*a+b*b
	}
	for p := range s.design.Parts {
		product, change, half := make([]float64, n), make([]float64, n), make([]float64, n)
		for j := range n {
			b := s.at(j, 1)[output] - t.offset
			d := s.at(j, 2+p)[output] - s.at(j, 0)[output]
			product[j], change[j], half[j] = b*d, d, d*d/2
		}
		t.product, t.change, t.half = append(t.product, product), append(t.change, change), append(t.half, half)
	}
	return t
}

// estimate is the split of the variance over base points of stated weights.
type estimate struct {
	mean, variance float64 // the mean from the offset
	first, total   []float64
}

// estimate works out the split with base points counted so many times each.
func (t *terms) estimate(counts []float64) estimate {
	n := float64(len(counts))
	mean := dot(counts, t.sum) / (2 * n)
	e := estimate{mean: mean, variance: dot(counts, t.squares)/(2*n) - mean*mean}
	for p := range t.product {
		e.first = append(e.first, (dot(counts, t.product[p])-mean*dot(counts, t.change[p]))/n/e.variance)
		e.total = append(e.total, dot(counts, t.half[p])/n/e.variance)
	}
	return e
}

// alone is the sum of the first-order indices.
func (e *estimate) alone() float64 {
	sum := 0.0
	for _, s := range e.first {
		sum += s
	}
	return sum
}

// known reports whether the base points differ in the output.
func (e *estimate) known() bool { return e.variance > 0 && !math.IsInf(e.variance, 0) }

func dot(x, y []float64) float64 {
	sum := 0.0
	for i, v := range x {
		sum += v * y[i]
	}
	return sum
}
