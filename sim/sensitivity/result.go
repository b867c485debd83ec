package sensitivity

import (
	"cmp"
	"slices"

	"sumpward/scenarios"
)

// Result is which inputs drive what a scenario comes to.
type Result struct {
	Scenario     *scenarios.Scenario
	Seed         uint64
	Sampling     string
	Split        Split
	Length       float64 // s, of the session
	Points       int     // base points
	Realizations int     // all of them: Points · (drivers + 2)
	Drivers      []Driver
	Outputs      []OutputResult
}

// Of returns what is known of an output; nil where the layout has no such output.
func (r *Result) Of(o Output) *OutputResult {
	for i := range r.Outputs {
		if r.Outputs[i].Output == o {
			return &r.Outputs[i]
		}
	}
	return nil
}

// OutputResult is the split of one output's variance.
type OutputResult struct {
	Output
	Indices
	Events  int // of the realizations at the two places of the base points, those with the event; -1: it is none
	Sampled int // those realizations: two for each base point
	Telling
}

// Telling says whether there is enough to tell what drives an output.
type Telling int

// How it stands.
const (
	Told       Telling = iota
	TooRare            // it happened in fewer than FewestEvents
	TooCommon          // it failed to happen in fewer than FewestEvents
	NeverMoves         // it was the same in all realizations
)

// FewestEvents is how many realizations with an event, and how many without, it takes
// to tell what drives it. Chosen: with 30 the chance itself has an error of about a
// fifth.
const FewestEvents = 30

// outputOf splits the variance of the output in a column, and counts the events in
// another.
func outputOf(s *Sample, o Output, column, counted int) OutputResult {
	out := OutputResult{Output: o, Indices: s.Indices(column, Resamples), Events: -1, Sampled: 2 * s.design.Points}
	if counted >= 0 {
		out.Events = s.happened(counted)
		switch {
		case out.Events < FewestEvents:
			out.Telling = TooRare
		case out.Sampled-out.Events < FewestEvents && o.Chance():
			out.Telling = TooCommon
		}
	}
	if len(out.Parts) == 0 && out.Telling == Told {
		out.Telling = NeverMoves
	}
	return out
}

// happened counts the realizations at the two places in which an event happened.
func (s *Sample) happened(column int) int {
	n := 0
	for j := range s.design.Points {
		for which := range 2 {
			if s.at(j, which)[column] > 0 {
				n++
			}
		}
	}
	return n
}

// least is the share of the variance below which a driver is pooled.
const least = 0.01

// Ranked lists the drivers of an output, the one that has most of the variance with
// others first, and apart from them the rest: those whose total index is below its
// error, or below a hundredth. Of a rest of one, there is none.
func (o *OutputResult) Ranked() (shown, rest []int) {
	for i, p := range o.Parts {
		if p.Total.Value <= p.Total.Error || p.Total.Value < least {
			rest = append(rest, i)
		} else {
			shown = append(shown, i)
		}
	}
	if len(rest) == 1 {
		shown, rest = append(shown, rest...), nil
	}
	slices.SortStableFunc(shown, func(a, b int) int {
		return cmp.Compare(o.Parts[b].Total.Value, o.Parts[a].Total.Value)
	})
	return shown, rest
}

// AtMost bounds the total index of drivers together: it is no more than the sum of
// theirs. The interval is as wide as if all erred alike.
func (o *OutputResult) AtMost(drivers []int) Index {
	var sum Index
	for _, i := range drivers {
		t := o.Parts[i].Total
		sum.Value, sum.Low, sum.High, sum.Error = sum.Value+t.Value, sum.Low+t.Low, sum.High+t.High, sum.Error+t.Error
	}
	return sum
}
