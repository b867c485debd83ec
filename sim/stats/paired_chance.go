package stats

import "math"

// PairedChance accumulates in how many realizations the one or the other of two events
// alone came true, block by block, in integers: the order of the blocks leaves no
// trace. The zero value is empty.
type PairedChance struct {
	onlyFirst, onlySecond int64
	differences           Chance // of a block: onlySecond - onlyFirst, which may be below 0
}

// AddBlock adds a block of n realizations: in onlyFirst of them the first event alone
// came true, in onlySecond the second alone. A block without realizations counts as
// none.
func (c *PairedChance) AddBlock(onlyFirst, onlySecond, n int) {
	if n == 0 {
		return
	}
	c.onlyFirst += int64(onlyFirst)
	c.onlySecond += int64(onlySecond)
	c.differences.AddBlock(onlySecond-onlyFirst, n)
}

// Merge adds all blocks of o.
func (c *PairedChance) Merge(o PairedChance) {
	c.onlyFirst += o.onlyFirst
	c.onlySecond += o.onlySecond
	c.differences.Merge(o.differences)
}

// Trials returns the number of realizations.
func (c *PairedChance) Trials() int64 { return c.differences.Trials() }

// Estimate returns the difference of the shares of realizations in which the two events
// came true, the second less the first, and its two-sided interval at the given
// confidence level (0.95, say). Without realizations the difference is NaN, the
// interval [-1, 1].
//
// FromReplicates is the score interval of Tango at an effective number of trials, with
// the shares as they are,
//
//	n_eff = (p + q - d²)/se² · (z/t)²,
//	se²   = b/(b-1) · Σ (k - d n)² / N²,  b = N²/Σ n²,
//
// where of N realizations in all a share p had the second event alone, q the first, d
// = p - q, and k is the difference of the two counts in a block of n; z is the normal
// quantile and t Student's with b-1 degrees of freedom. As counts are whole, a block
// contributes at least 1/4 to the sum. The spread between blocks is used where at least
// 10 realizations are unlike most (one event alone, the other alone, or neither alone)
// and there are at least 5 blocks. Otherwise, and for the other methods, the interval
// is the score interval at the counts themselves: independent trials. A Latin
// hypercube's variance is at most n/(n-1) of theirs, so that it is not too narrow there
// either; of Sobol' points that is not certain (see Chance.Estimate). With a handful of counts it covers the true difference in 93.1 % of cases at
// the least, in 95.5 % on average (computed for 500 trials at the level 95 %).
//
// TrialsToTell is where the interval would leave out 0 if shares and spread stay what
// they are, rounded up to two digits. It is above the number of realizations unless
// the interval leaves out 0.
//
// Source: Tango 1998 (see [Tango]), and as for Chance.Estimate. The transfer of the
// effective number of trials to pairs is derived.
func (c *PairedChance) Estimate(level float64, method Method) PairedDifference {
	n := c.Trials()
	counts := PairedCounts{OnlyFirst: float64(c.onlyFirst), OnlySecond: float64(c.onlySecond), Trials: float64(n)}
	fromSpread := method == FromReplicates && c.spreadTells()
	if fromSpread {
		effective := c.EffectiveTrials(level) / counts.Trials
		counts.OnlyFirst *= effective
		counts.OnlySecond *= effective
		counts.Trials *= effective
	}
	i := Tango(counts, level)
	d := PairedDifference{
		Difference: float64(c.onlySecond-c.onlyFirst) / float64(n), Low: i.Low, High: i.High,
		OnlyFirst: c.onlyFirst, OnlySecond: c.onlySecond, Trials: n,
	}
	d.TrialsToTell = trialsToTell(c.needed(level, fromSpread), n, d.Tells())
	return d
}

// StandardError returns the standard error of the difference from the spread between
// blocks, NaN for fewer than two blocks.
func (c *PairedChance) StandardError() float64 { return c.differences.StandardError() }

// EffectiveTrials returns the number of independent trials that would give the same
// interval as the blocks do at this confidence level; see Estimate. It is NaN for
// fewer than two blocks, 0 where all realizations are alike.
func (c *PairedChance) EffectiveTrials(level float64) float64 {
	b := c.differences.effectiveBlocks()
	if !(b > 1) {
		return math.NaN()
	}
	se := c.StandardError()
	ratio := normalQuantile(level) / studentQuantile(b-1, level)
	return c.variance() / (se * se) * ratio * ratio
}

// variance returns the variance of one realization's difference, p + q - d².
func (c *PairedChance) variance() float64 {
	n := float64(c.Trials())
	d := float64(c.onlySecond-c.onlyFirst) / n
	return float64(c.onlyFirst+c.onlySecond)/n - d*d
}

// spreadTells reports whether enough realizations and blocks are there for the spread
// between blocks to tell the sampling error.
func (c *PairedChance) spreadTells() bool {
	n := c.Trials()
	most := max(c.onlyFirst, c.onlySecond, n-c.onlyFirst-c.onlySecond)
	return n-most >= minEvents && c.differences.effectiveBlocks() >= minBlocks
}

// needed returns how many realizations it takes for the interval to leave out 0 if the
// shares stay what they are. At δ = 0 the score is
//
//	T² = n (p - q)²/(p + q),
//
// with the effective number of trials for n where the spread between blocks is used;
// Student's t then comes down with more blocks.
func (c *PairedChance) needed(level float64, fromSpread bool) float64 {
	discordant, d := float64(c.onlyFirst+c.onlySecond), float64(c.onlySecond-c.onlyFirst)
	if d == 0 {
		return math.Inf(1)
	}
	n := float64(c.Trials())
	if !fromSpread {
		z := normalQuantile(level)
		return n * z * z * discordant / (d * d)
	}
	b := c.differences.effectiveBlocks()
	r := c.StandardError() * math.Sqrt(b) / (d / n) * math.Sqrt(discordant/n/c.variance())
	return n / b * blocksToTell(math.Abs(r), level)
}
