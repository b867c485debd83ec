package decide

import (
	"math"

	"sumpward/sim/stats"
)

// Threshold is where along an input, more of which helps, the chance of overflow or
// a choked drain comes down to the limit of risk.
type Threshold struct {
	Path         string
	Session      float64 // s
	From, To     float64 // what was searched
	Found        bool    // the chance is at or below the limit at To
	Least        bool    // it already is at From: Value and Low are From
	Value        float64 // where the estimated chance meets the limit; NaN unless Found
	Low          float64 // below Low the whole interval of the chance is above the limit; NaN unless Found
	High         float64 // from High on the whole interval is at or below the limit; +Inf where it isn't at To
	Buy          float64 // High rounded up to what can be bought or made; NaN where High is +Inf
	Realizations int
	Contrary     int // realizations that come out otherwise at Value than what the search takes for granted: that more of the input never hurts
}

// search says how a threshold is looked for.
type search struct {
	path     string
	from, to float64
	risk     float64
	nearness func(value float64) float64 // how near two values may stay apart
	rounded  func(value float64) float64 // up to what can be bought or made
}

// threshold finds where the chance within a session comes down to the limit. Its
// interval holds all values at which the interval of the chance holds the limit.
func (l *ladder) threshold(s search, session float64) (Threshold, error) {
	t := Threshold{
		Path: s.path, Session: session, From: s.from, To: s.to, Realizations: l.n,
		Value: math.NaN(), Low: math.NaN(), High: math.Inf(1), Buy: math.NaN(),
	}
	end, err := l.chance(s.to, session)
	if err != nil || end.Probability > s.risk {
		return t, err
	}
	t.Found = true
	var below float64
	if below, t.Value, err = l.descent(s, session, func(c stats.Estimate) float64 { return c.Probability }); err != nil {
		return t, err
	}
	t.Least = below == t.Value
	if t.Low, _, err = l.descent(s, session, func(c stats.Estimate) float64 { return c.Low }); err != nil {
		return t, err
	}
	if end.High > s.risk {
		return t, nil
	}
	if _, t.High, err = l.descent(s, session, func(c stats.Estimate) float64 { return c.High }); err != nil {
		return t, err
	}
	t.Buy = s.rounded(t.High)
	return t, nil
}

// descent halves the range until it is pinned down where an end of the interval of
// the chance, or its middle, comes down to the limit: it is above it at low and not
// at high. Both are the start of the range where it is not above it there.
func (l *ladder) descent(s search, session float64, of func(stats.Estimate) float64) (low, high float64, err error) {
	c, err := l.chance(s.from, session)
	if err != nil || of(c) <= s.risk {
		return s.from, s.from, err
	}
	low, high = s.from, s.to
	for high-low > s.nearness(high) {
		middle := (low + high) / 2
		if c, err = l.chance(middle, session); err != nil {
			return low, high, err
		}
		if of(c) <= s.risk {
			high = middle
		} else {
			low = middle
		}
	}
	return low, high, nil
}
