package page

import (
	"errors"
	"fmt"
	"io"
	"math"

	"sumpward/report"
	"sumpward/report/words"
	"sumpward/sim/learn"
)

// WriteLearned writes a page on what was learned from what was seen: which inputs
// narrowed, and the chances before and after.
func WriteLearned(w io.Writer, r report.Learn, m Made) error {
	if r.Learned == nil {
		return errors.New("a page on what was learned needs it")
	}
	m.Seed = r.Learned.Seed
	return writeFinding(w, "What does it tell that this was seen?", r.Finding(), narrowed(r), m)
}

// mostNarrowed is how many inputs are drawn; the table has all.
const mostNarrowed = 10

// narrowed draws where inputs lay before and lie now, each on a scale of its own.
func narrowed(r report.Learn) barDrawing {
	d := barDrawing{
		bars: bars{
			id: "narrowed", title: "What is known of the inputs, before and after",
			says:  "The middle between the ends of what holds 9 of 10, each input on a scale of its own.",
			upper: barKind{hollow, "before"}, lower: barKind{full, "after"},
			axis: scale{high: 1},
		},
		note: "Each bar holds 9 of 10 of what is thought possible, the mark across is the middle. Each input has a scale of its own; the numbers stand beside it.",
	}
	told := r.Learned.Told()
	for _, in := range told[:min(len(told), mostNarrowed)] {
		d.rows = append(d.rows, narrowedRow(r, in))
	}
	if more := len(told) - mostNarrowed; more > 0 {
		d.note += fmt.Sprintf(" The table has %d more.", more)
	}
	return d
}

func narrowedRow(r report.Learn, in learn.Input) barRow {
	low, high := math.Min(in.Before.P05, in.After.P05), math.Max(in.Before.P95, in.After.P95)
	mark := func(s learn.Spread) barMark {
		at := func(v float64) float64 { return (v - low) / (high - low) }
		middle := at(s.P50)
		return barMark{from: at(s.P05), to: at(s.P95), middle: &middle, text: tidy(r.Spread(in, s))}
	}
	return barRow{words.Sentence(words.InputName(in.Quantity.Path)), mark(in.Before), mark(in.After)}
}
