package stats

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
)

// Counts are written as JSON to be put together elsewhere. What is read back is checked,
// so that a file that was tampered with can't lead anywhere but to an error.

// lowestBin and highestBin bound the bins of Quantiles: those of 1e-15 and of the largest float64.
var lowestBin, highestBin = binOf(smallest), binOf(math.MaxFloat64)

type chanceJSON [6]int64

// MarshalJSON writes the sums behind the chance.
func (c Chance) MarshalJSON() ([]byte, error) {
	return json.Marshal(chanceJSON{c.events, c.trials, c.blocks, c.squares, c.products, c.size})
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (c *Chance) UnmarshalJSON(data []byte) error {
	var sums []int64
	if err := json.Unmarshal(data, &sums); err != nil {
		return err
	}
	if len(sums) != len(chanceJSON{}) {
		return fmt.Errorf("a chance is six sums (got %d)", len(sums))
	}
	read := Chance{sums[0], sums[1], sums[2], sums[3], sums[4], sums[5]}
	if !read.possible() {
		return fmt.Errorf("sums that no blocks add up to (got %v)", sums)
	}
	*c = read
	return nil
}

// possible reports whether there can be blocks that add up so.
func (c *Chance) possible() bool {
	const most = math.MaxInt64 / 4 // leaves room to add up
	inOrder := func(list ...int64) bool {
		for i, n := range list {
			if n < 0 || n > most || i > 0 && n < list[i-1] {
				return false
			}
		}
		return true
	}
	if c.blocks == 0 {
		return *c == Chance{}
	}
	return inOrder(0, c.events, c.trials) && inOrder(1, c.blocks, c.trials) &&
		inOrder(0, c.squares, c.products, c.size) && c.events <= c.squares && c.trials <= c.size
}

// BlocksUpTo reports whether the sums can be those of blocks of no more than n realizations.
func (c *Chance) BlocksUpTo(n int64) bool {
	return c.blocks <= c.trials && c.trials-c.blocks <= c.blocks*(n-1) && c.size <= c.trials*n
}

type binsJSON []int64 // index, count, index, count …, ascending, counts above 0

type quantilesJSON struct {
	Negative binsJSON `json:"negative,omitempty"`
	Positive binsJSON `json:"positive,omitempty"`
	Zeros    int64    `json:"zeros,omitempty"`
	Never    int64    `json:"never,omitempty"`
	Ever     int64    `json:"ever,omitempty"`
	Invalid  int64    `json:"invalid,omitempty"`
	Low      float64  `json:"low"`
	High     float64  `json:"high"`
}

// MarshalJSON writes the counts.
func (q Quantiles) MarshalJSON() ([]byte, error) {
	return json.Marshal(quantilesJSON{
		pairs(q.negative.first, q.negative.counts), pairs(q.positive.first, q.positive.counts),
		q.zeros, q.never, q.ever, q.invalid, q.low, q.high,
	})
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (q *Quantiles) UnmarshalJSON(data []byte) error {
	var j quantilesJSON
	if err := json.Unmarshal(data, &j); err != nil {
		return err
	}
	read := Quantiles{zeros: j.Zeros, never: j.Never, ever: j.Ever, invalid: j.Invalid, low: j.Low, high: j.High}
	for _, side := range []struct {
		to   *bins
		from binsJSON
	}{{&read.negative, j.Negative}, {&read.positive, j.Positive}} {
		if err := side.from.check(lowestBin, highestBin); err != nil {
			return err
		}
		for i := len(side.from) - 2; i >= 0; i -= 2 { // the highest first makes room once
			if len(side.to.counts) == 0 {
				side.to.cover(int(side.from[0]), int(side.from[i]))
			}
			side.to.add(int(side.from[i]), side.from[i+1])
		}
	}
	if !counts(read.zeros, read.never, read.ever, read.invalid) || read.low > read.high {
		return errors.New("counts below 0 or beyond all bounds")
	}
	*q = read
	return nil
}

type fractionsJSON struct {
	Bins    binsJSON `json:"bins,omitempty"`
	Zeros   int64    `json:"zeros,omitempty"`
	Ones    int64    `json:"ones,omitempty"`
	Invalid int64    `json:"invalid,omitempty"`
	Low     float64  `json:"low"`
	High    float64  `json:"high"`
}

// MarshalJSON writes the counts.
func (q FractionQuantiles) MarshalJSON() ([]byte, error) {
	return json.Marshal(fractionsJSON{pairs(0, q.counts[:]), q.zeros, q.ones, q.invalid, q.low, q.high})
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (q *FractionQuantiles) UnmarshalJSON(data []byte) error {
	var j fractionsJSON
	if err := json.Unmarshal(data, &j); err != nil {
		return err
	}
	if err := j.Bins.check(0, fractionBins-1); err != nil {
		return err
	}
	if !counts(j.Zeros, j.Ones, j.Invalid) || !(0 <= j.Low && j.Low <= j.High && j.High <= 1) {
		return errors.New("counts below 0 or fractions outside 0 to 1")
	}
	*q = FractionQuantiles{zeros: j.Zeros, ones: j.Ones, invalid: j.Invalid, low: j.Low, high: j.High, count: j.Zeros + j.Ones}
	for i := 0; i < len(j.Bins); i += 2 {
		q.counts[j.Bins[i]] = j.Bins[i+1]
		q.count += j.Bins[i+1]
	}
	return nil
}

// pairs lists the bins that aren't empty.
func pairs(first int, all []int64) binsJSON {
	var list binsJSON
	for i, n := range all {
		if n > 0 {
			list = append(list, int64(first+i), n)
		}
	}
	return list
}

func (b binsJSON) check(lowest, highest int) error {
	if len(b)%2 != 0 {
		return errors.New("bins come with their counts")
	}
	for i := 0; i < len(b); i += 2 {
		if b[i] < int64(lowest) || b[i] > int64(highest) || i > 0 && b[i] <= b[i-2] {
			return fmt.Errorf("bins in ascending order, %d to %d (got %d)", lowest, highest, b[i])
		}
		if b[i+1] == 0 || !counts(b[i+1]) {
			return fmt.Errorf("a bin's count from 1 on (got %d)", b[i+1])
		}
	}
	return nil
}

// counts reports whether numbers are counts that can be added up.
func counts(list ...int64) bool {
	for _, n := range list {
		if n < 0 || n > 1<<50 {
			return false
		}
	}
	return true
}
