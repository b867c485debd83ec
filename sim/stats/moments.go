package stats

import "math"

// Moments accumulates the mean and the variance of finite numbers. The zero value is
// empty. Its sums are rounded, so the order of Add and Merge shows in the last digits:
// fill one per block and merge in the order of the blocks (InOrder does it).
//
// Source: Welford 1962, Technometrics 4(3) 419-420, for Add; Chan, Golub, LeVeque
// 1983, Am. Stat. 37(3) 242-247, for Merge (both from memory).
type Moments struct {
	n          int64
	mean, sumS float64 // sumS is the sum of squares about the mean
}

// Add adds one number.
func (m *Moments) Add(x float64) {
	m.n++
	d := x - m.mean
	m.mean += d / float64(m.n)
	m.sumS += d * (x - m.mean)
}

// Merge adds all numbers of o.
func (m *Moments) Merge(o Moments) {
	if o.n == 0 {
		return
	}
	if m.n == 0 {
		*m = o
		return
	}
	n, on := float64(m.n), float64(o.n)
	d := o.mean - m.mean
	m.n += o.n
	m.mean += d * on / (n + on)
	m.sumS += o.sumS + d*d*n*on/(n+on)
}

// Count returns how many numbers were added.
func (m *Moments) Count() int64 { return m.n }

// Mean returns the mean, NaN for none.
func (m *Moments) Mean() float64 {
	if m.n == 0 {
		return math.NaN()
	}
	return m.mean
}

// Variance returns the unbiased variance, NaN for fewer than two numbers.
func (m *Moments) Variance() float64 {
	if m.n < 2 {
		return math.NaN()
	}
	return m.sumS / float64(m.n-1)
}

// StandardDeviation returns the square root of Variance.
func (m *Moments) StandardDeviation() float64 { return math.Sqrt(m.Variance()) }

// StandardError returns the standard error of the mean of independent numbers. For
// stratified realizations use a Moments of the blocks' means instead: it is the
// standard error of their mean.
func (m *Moments) StandardError() float64 { return math.Sqrt(m.Variance() / float64(m.n)) }
