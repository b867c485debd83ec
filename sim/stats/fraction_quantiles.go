package stats

import "math"

// fractionBins is the number of bins between 0 and 1 of FractionQuantiles.
const fractionBins = 1000

// FractionQuantiles accumulates fractions, 0 to 1, and tells their quantiles to 0.0005;
// 0 and 1 themselves exactly, so that "empty" and "full" stay what they are. Counts are
// integers, so that merging leaves no trace of its order, and memory is fixed. The zero
// value is empty.
type FractionQuantiles struct {
	zeros, ones int64
	counts      [fractionBins]int64
	count       int64
	invalid     int64
	low, high   float64
}

// Add adds one fraction. One below 0 counts as 0, one above 1 as 1; NaN makes every
// quantile NaN.
func (q *FractionQuantiles) Add(x float64) {
	if math.IsNaN(x) {
		q.invalid++
		return
	}
	x = min(max(x, 0), 1)
	if q.count == 0 {
		q.low, q.high = x, x
	}
	q.low, q.high = min(q.low, x), max(q.high, x)
	q.count++
	switch x {
	case 0:
		q.zeros++
	case 1:
		q.ones++
	default:
		q.counts[min(int(x*fractionBins), fractionBins-1)]++
	}
}

// Merge adds all fractions of o.
func (q *FractionQuantiles) Merge(o *FractionQuantiles) {
	switch {
	case o.count == 0:
	case q.count == 0:
		q.low, q.high = o.low, o.high
	default:
		q.low, q.high = min(q.low, o.low), max(q.high, o.high)
	}
	q.zeros += o.zeros
	q.ones += o.ones
	for i, n := range o.counts {
		q.counts[i] += n
	}
	q.count += o.count
	q.invalid += o.invalid
}

// Count returns how many fractions were added, NaN not.
func (q *FractionQuantiles) Count() int64 { return q.count }

// Quantile returns the p-quantile: the smallest fraction x that was added such that a
// share of at least p is not above x, to 0.0005; the lowest and the highest exactly. It is
// NaN for none, for a p outside [0, 1], or if NaN was added.
func (q *FractionQuantiles) Quantile(p float64) float64 {
	if q.count == 0 || q.invalid > 0 || !(p >= 0 && p <= 1) {
		return math.NaN()
	}
	rank := rankOf(p, q.count)
	switch {
	case rank == q.count:
		return q.high
	case rank == 1:
		return q.low
	case rank <= q.zeros:
		return 0
	}
	rank -= q.zeros
	for i, n := range q.counts {
		if rank -= n; rank <= 0 {
			centre := (float64(i) + 0.5) / fractionBins
			return min(max(centre, q.low), q.high)
		}
	}
	return 1
}
