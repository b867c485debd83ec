package stats

import "math"

// Relative error and smallest magnitude told apart from zero, of Quantiles.
const (
	relativeError = 0.0025
	smallest      = 1e-15
)

// growth is the ratio of a bin's bounds: its centre is then within relativeError.
var growth = math.Log1p(2 * relativeError / (1 - relativeError))

// Quantiles accumulates numbers of either sign over many decades and tells their
// quantiles to a relative error of 0.25 %. Counts are integers in bins of equal ratio,
// so that merging leaves no trace of its order; memory grows with the decades covered
// (some 460 bins each), not with the count. +Inf stands for never and may be a
// quantile. Magnitudes below 1e-15 count as zero. The zero value is empty.
//
// Source of the bins: Masson, Rim, Lee 2019, "DDSketch: a fast and fully-mergeable
// quantile sketch with relative-error guarantees", PVLDB 12(12) 2195-2205.
type Quantiles struct {
	negative, positive bins
	zeros              int64
	never, ever        int64 // +Inf and -Inf
	invalid            int64
	low, high          float64 // of the finite numbers
}

// Add adds one number. NaN makes every quantile NaN.
func (q *Quantiles) Add(x float64) {
	switch {
	case math.IsNaN(x):
		q.invalid++
		return
	case math.IsInf(x, 1):
		q.never++
		return
	case math.IsInf(x, -1):
		q.ever++
		return
	}
	if q.finite() == 0 {
		q.low, q.high = x, x
	}
	q.low, q.high = min(q.low, x), max(q.high, x)
	switch {
	case x >= smallest:
		q.positive.add(binOf(x), 1)
	case x <= -smallest:
		q.negative.add(binOf(-x), 1)
	default:
		q.zeros++
	}
}

// Merge adds all numbers of o.
func (q *Quantiles) Merge(o *Quantiles) {
	switch {
	case o.finite() == 0:
	case q.finite() == 0:
		q.low, q.high = o.low, o.high
	default:
		q.low, q.high = min(q.low, o.low), max(q.high, o.high)
	}
	q.positive.merge(&o.positive)
	q.negative.merge(&o.negative)
	q.zeros += o.zeros
	q.never += o.never
	q.ever += o.ever
	q.invalid += o.invalid
}

// Count returns how many numbers were added, infinite ones included, NaN not.
func (q *Quantiles) Count() int64 { return q.finite() + q.never + q.ever }

// Quantile returns the p-quantile: the smallest number x that was added such that a
// share of at least p is not above x, to the relative error; the lowest and the highest
// finite number exactly. It is NaN for none, for a p outside [0, 1], or if NaN was added.
func (q *Quantiles) Quantile(p float64) float64 {
	n := q.Count()
	if n == 0 || q.invalid > 0 || !(p >= 0 && p <= 1) {
		return math.NaN()
	}
	rank := rankOf(p, n) // 1 is the lowest number
	if rank <= q.ever {
		return math.Inf(-1)
	}
	rank -= q.ever
	switch {
	case rank > q.finite():
		return math.Inf(1)
	case rank == q.finite():
		return q.high
	case rank == 1:
		return q.low
	}
	return min(max(q.finiteAt(rank), q.low), q.high)
}

func (q *Quantiles) finite() int64 { return q.negative.count + q.zeros + q.positive.count }

// finiteAt returns the number of the given rank among the finite ones.
func (q *Quantiles) finiteAt(rank int64) float64 {
	negative := q.negative.count
	switch {
	case rank <= negative:
		return -centreOf(q.negative.at(negative - rank + 1))
	case rank <= negative+q.zeros:
		return 0
	}
	return centreOf(q.positive.at(rank - negative - q.zeros))
}

// rankOf returns the rank of the p-quantile of n numbers, ⌈p n⌉ but at least 1. A
// product that only rounding has lifted above a whole number counts as whole.
func rankOf(p float64, n int64) int64 {
	exact := p * float64(n)
	if whole := math.Round(exact); math.Abs(exact-whole) <= 1e-12*exact {
		exact = whole
	}
	return min(max(int64(math.Ceil(exact)), 1), n)
}

// binOf returns the bin of a positive number.
func binOf(x float64) int { return int(math.Floor(math.Log(x) / growth)) }

// centreOf returns the number from which a bin's bounds differ by relativeError.
func centreOf(bin int) float64 { return math.Exp(float64(bin)*growth) * (1 + relativeError) }

// bins are integer counts over a range of indices that grows as needed.
type bins struct {
	first  int // index of counts[0]
	counts []int64
	count  int64
}

func (b *bins) add(index int, n int64) {
	b.cover(index, index)
	b.counts[index-b.first] += n
	b.count += n
}

func (b *bins) merge(o *bins) {
	if o.count == 0 {
		return
	}
	b.cover(o.first, o.first+len(o.counts)-1)
	for i, n := range o.counts {
		b.counts[o.first-b.first+i] += n
	}
	b.count += o.count
}

// cover makes room for the indices low to high, with some to spare so that it seldom
// has to again.
func (b *bins) cover(low, high int) {
	const spare = 64
	if len(b.counts) == 0 {
		b.first, b.counts = low, make([]int64, high-low+1)
		return
	}
	last := b.first + len(b.counts) - 1
	if low >= b.first && high <= last {
		return
	}
	first := b.first
	if low < first {
		first = low - spare
	}
	if high > last {
		last = high + spare
	}
	counts := make([]int64, last-first+1)
	copy(counts[b.first-first:], b.counts)
	b.first, b.counts = first, counts
}

// at returns the index of the bin with the number of the given rank, 1 the lowest.
func (b *bins) at(rank int64) int {
	for i, n := range b.counts {
		if rank -= n; rank <= 0 {
			return b.first + i
		}
	}
	return b.first + len(b.counts) - 1
}
