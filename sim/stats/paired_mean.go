package stats

import "math"

// PairedMean accumulates the difference of two numbers over the same realizations,
// block by block. Its sums are rounded: add the blocks in their order. The zero value
// is empty.
type PairedMean struct {
	trials, blocks, size     int64   // sums of n, of blocks and of n²
	sum                      float64 // of differences
	shift                    float64 // mean difference of the first block
	excess, excessN, excess2 float64 // sums of e, e n and e², e = a block's sum - shift n
}

// AddBlock adds a block of n realizations by the sum of their differences, the second
// number less the first. A block without realizations counts as none.
func (m *PairedMean) AddBlock(sumOfDifferences float64, n int) {
	if n == 0 {
		return
	}
	size := float64(n)
	if m.blocks == 0 {
		m.shift = sumOfDifferences / size
	}
	m.trials += int64(n)
	m.size += int64(n) * int64(n)
	m.blocks++
	m.sum += sumOfDifferences
	e := sumOfDifferences - m.shift*size
	m.excess += e
	m.excessN += e * size
	m.excess2 += e * e
}

// Trials returns the number of realizations.
func (m *PairedMean) Trials() int64 { return m.trials }

// Estimate returns the mean difference and its two-sided interval at the given
// confidence level (0.95, say), by Student's t over the blocks,
//
//	d ∓ t(b-1) se,  se² = b/(b-1) · Σ (s - d n)² / N²,  b = N²/Σ n²,
//
// with s the sum over a block of n realizations and N realizations in all; b is the
// number of blocks, less where the last one is cut short. It holds for blocks that are
// Latin hypercubes or Sobol' points of their own as well as for independent realizations.
// Where one skewed input makes all of the difference they leave little but the luck in
// its last stratum, and the interval, narrow then, covers less often than it says (87 %
// for 95 %, measured for five blocks of a log-normal difference of geometric standard
// deviation 2). With fewer than two blocks (1.5, for a last one cut short) there is no spread to tell from: the
// interval is then infinite. Without realizations the difference is NaN. TrialsToTell
// is rounded up to two digits.
//
// Source: Student 1908, Biometrika 6, 1-25. The shift by the first block's mean, which
// keeps digits: Chan, Golub, LeVeque 1983, Am. Stat. 37(3) 242-247 (from memory).
func (m *PairedMean) Estimate(level float64) MeanDifference {
	n := float64(m.trials)
	e := MeanDifference{Difference: m.sum / n, Low: math.Inf(-1), High: math.Inf(1), TrialsToTell: math.Inf(1)}
	b := n * n / float64(m.size)
	if !(b-1 >= leastFreedom) {
		return e
	}
	se := math.Sqrt(b/(b-1)*m.residualSquares()) / n
	half := studentQuantile(b-1, level) * se
	e.Low, e.High = e.Difference-half, e.Difference+half
	if e.Difference != 0 {
		needed := n / b * blocksToTell(math.Abs(se*math.Sqrt(b)/e.Difference), level)
		e.TrialsToTell = trialsToTell(needed, m.trials, e.Tells())
	}
	return e
}

// residualSquares returns Σ (s - d n)² over the blocks.
func (m *PairedMean) residualSquares() float64 {
	d := m.excess / float64(m.trials) // mean difference less the shift
	return math.Max(0, m.excess2-2*d*m.excessN+d*d*float64(m.size))
}
