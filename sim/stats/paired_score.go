package stats

import "math"

// PairedCounts is how two events fell out over the same independent trials. The
// counts need not be whole: Trials may be an effective number.
type PairedCounts struct {
	OnlyFirst  float64 // trials in which the first event alone came true
	OnlySecond float64 // trials in which the second alone did
	Trials     float64 // all of them
}

// Tango returns the two-sided score interval at the given confidence level (0.95, say)
// for the difference of two chances estimated on the same independent trials, the
// second less the first: the δ with |T(δ)| ≤ z, T being Score. It leaves out 0 where
// McNemar's statistic (b - c)²/(b + c) is above z². Without trials it is [-1, 1];
// counts below 0, more of them than trials, or a level outside (0, 1) give NaN.
//
// Source: Tango 1998, "Equivalence test and confidence interval for the difference in
// proportions for the paired-sample design", Statist. Med. 17, 891-908; compared with
// others in Newcombe 1998, Statist. Med. 17, 2635-2650, and in Fagerland, Lydersen,
// Laake 2014, Statist. Med. 33, 2850-2875 (all from memory).
func Tango(c PairedCounts, level float64) Interval {
	if !c.valid() || !(level > 0 && level < 1) {
		return Interval{math.NaN(), math.NaN()}
	}
	if c.Trials == 0 {
		return Interval{-1, 1}
	}
	z := normalQuantile(level)
	return Interval{0 - c.turned().upperLimit(z), c.upperLimit(z)}
}

// Score returns the score statistic for the difference δ of the chances, the second
// less the first, in -1..1: standard normal for many trials if δ is true. With n
// trials, b in which the second event alone came true and c the first,
//
//	T(δ) = (b - c - n δ) / √(n (2 q + δ (1 - δ))),
//
// q the maximum-likelihood chance of c among those with the difference δ,
//
//	q = (√(B² - 4 A C) - B) / 2A,
//	A = 2n,  B = -b - c + (2n - b + c) δ,  C = -c δ (1 - δ).
//
// It is 0 where b - c = n δ. Source: Tango 1998 (see there).
func (c PairedCounts) Score(difference float64) float64 {
	if difference < 0 {
		return -c.turned().Score(-difference)
	}
	n, d := c.Trials, difference
	above := c.OnlySecond - c.OnlyFirst - n*d
	if above == 0 {
		return 0
	}
	return above / math.Sqrt(n*(2*c.likeliestOnlyFirst(d)+d*(1-d)))
}

// likeliestOnlyFirst returns q of Score for a δ of 0 or more, by the form of the root
// in which nothing cancels.
func (c PairedCounts) likeliestOnlyFirst(d float64) float64 {
	a := 2 * c.Trials
	b := -c.OnlySecond - c.OnlyFirst + (a-c.OnlySecond+c.OnlyFirst)*d
	minus := c.OnlyFirst * d * (1 - d) // -C, 0 or more
	root := math.Sqrt(b*b + 4*a*minus)
	if b > 0 {
		return 2 * minus / (root + b)
	}
	return (root - b) / (2 * a)
}

// upperLimit returns the δ at or above the estimate with T(δ) = -z, by halving.
func (c PairedCounts) upperLimit(z float64) float64 {
	low, high := (c.OnlySecond-c.OnlyFirst)/c.Trials, 1.0
	for {
		m := low + (high-low)/2
		if m <= low || m >= high {
			return high
		}
		if c.Score(m) > -z {
			low = m
		} else {
			high = m
		}
	}
}

func (c PairedCounts) turned() PairedCounts {
	return PairedCounts{OnlyFirst: c.OnlySecond, OnlySecond: c.OnlyFirst, Trials: c.Trials}
}

func (c PairedCounts) valid() bool {
	return c.OnlyFirst >= 0 && c.OnlySecond >= 0 && c.OnlyFirst+c.OnlySecond <= c.Trials*(1+1e-12)
}
