package learn

import (
	"cmp"
	"math"
	"slices"
)

// Draws are weighted draws of a target.
type Draws struct {
	U             [][]float64 // by draw: the place in the open unit cube
	Luck          []uint64
	LogLikelihood []float64
	Notes         [][]float64 // by draw: see [Evaluate]
	Weight        []float64   // they add up to 1
	Root          []int       // by draw: the first draw that it descends from
}

// Len is the number of draws.
func (d *Draws) Len() int { return len(d.Weight) }

// Effective returns the effective number of draws that the weights leave, of
// those without a common ancestor:
//
//	1 / Σ W²,  W the weights of all draws that descend from one
//
// Source: Kong, Liu, Wong 1994, J. Am. Stat. Assoc. 89, 278-288, for weights (from
// memory); families in the place of draws: derived from the variance of [Draws.Mean].
func (d *Draws) Effective() float64 {
	sum := 0.0
	for _, w := range d.families(func(int) float64 { return 1 }) {
		sum += w * w
	}
	return 1 / sum
}

// families returns the weighted sums of a value over the draws that descend from
// each first draw.
func (d *Draws) families(value func(i int) float64) []float64 {
	sums := make([]float64, d.Len())
	for i, w := range d.Weight {
		if w > 0 {
			sums[d.Root[i]] += w * value(i)
		}
	}
	return sums
}

// Mean returns the weighted mean of a value of the draws and its Monte Carlo
// standard error,
//
//	se² = Σ (Σ w (x - mean))²,
//
// the inner sum over draws that descend from one first draw, the outer over those:
// draws of one family need not be independent, families are. That the first draws
// were stratified makes the error smaller than this says.
//
// Source: Chan, Lai 2013, "A general theory of particle filters in hidden Markov
// models and some applications", Ann. Stat. 41(6) 2877-2904 (from memory).
func (d *Draws) Mean(value func(i int) float64) (mean, se float64) {
	for i, w := range d.Weight {
		if w > 0 {
			mean += w * value(i)
		}
	}
	sum := 0.0
	for _, s := range d.families(func(i int) float64 { return value(i) - mean }) {
		sum += s * s
	}
	return mean, math.Sqrt(sum)
}

// Deviation returns the weighted standard deviation of a value.
func (d *Draws) Deviation(value func(i int) float64) float64 {
	mean, _ := d.Mean(value)
	sum := 0.0
	for i, w := range d.Weight {
		if w > 0 {
			sum += w * (value(i) - mean) * (value(i) - mean)
		}
	}
	return math.Sqrt(sum)
}

// Quantiles returns weighted quantiles of a value: the smallest that a share of
// at least p of the weight is not above.
func (d *Draws) Quantiles(value func(i int) float64, p ...float64) []float64 {
	order := d.order(value)
	out := make([]float64, len(p))
	for k, share := range p {
		sum := 0.0
		for _, i := range order {
			sum += d.Weight[i]
			if d.Weight[i] > 0 {
				out[k] = value(i)
				if sum >= share-1e-12 {
					break
				}
			}
		}
	}
	return out
}

// order lists the draws by a value, ascending.
func (d *Draws) order(value func(i int) float64) []int {
	order := make([]int, d.Len())
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(value(a), value(b)) })
	return order
}

// ranks returns for each draw the share of the weight below its value, ties
// and the draw itself by half.
func (d *Draws) ranks(value func(i int) float64) []float64 {
	order, out := d.order(value), make([]float64, d.Len())
	below := 0.0
	for from := 0; from < len(order); {
		to, here := from, 0.0
		for to < len(order) && value(order[to]) == value(order[from]) {
			here += d.Weight[order[to]]
			to++
		}
		for _, i := range order[from:to] {
			out[i] = below + here/2
		}
		below, from = below+here, to
	}
	return out
}

// below is the share of the weight where a value is below v, and half of that where
// it is the same.
func (d *Draws) below(value func(i int) float64, v float64) float64 {
	sum := 0.0
	for i, w := range d.Weight {
		switch x := value(i); {
		case x < v:
			sum += w
		case x == v:
			sum += w / 2
		}
	}
	return sum
}

// RankCorrelation returns the weighted rank correlation (Spearman) of two values
// of the draws; 0 where one of them is the same in all.
func (d *Draws) RankCorrelation(x, y func(i int) float64) float64 {
	return d.correlation(d.ranks(x), d.ranks(y))
}

func (d *Draws) correlation(x, y []float64) float64 {
	var mx, my, xx, yy, xy float64
	for i, w := range d.Weight {
		mx, my = mx+w*x[i], my+w*y[i]
	}
	for i, w := range d.Weight {
		a, b := x[i]-mx, y[i]-my
		xx, yy, xy = xx+w*a*a, yy+w*b*b, xy+w*a*b
	}
	if xx <= 0 || yy <= 0 {
		return 0
	}
	return xy / math.Sqrt(xx*yy)
}

// apart is the largest difference between the distribution functions of a value
// under two sets of draws (Kolmogorov and Smirnov's distance): 0 where both are
// alike, 1 where they don't overlap.
func apart(a *Draws, x func(i int) float64, b *Draws, y func(i int) float64) float64 {
	first, second := a.order(x), b.order(y)
	var fa, fb, most float64
	for i, j := 0, 0; i < len(first) && j < len(second); {
		at := min(x(first[i]), y(second[j]))
		for i < len(first) && x(first[i]) <= at {
			fa += a.Weight[first[i]]
			i++
		}
		for j < len(second) && y(second[j]) <= at {
			fb += b.Weight[second[j]]
			j++
		}
		most = max(most, math.Abs(fa-fb))
	}
	return most
}
