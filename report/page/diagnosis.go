package page

import (
	"errors"
	"fmt"
	"io"

	"sumpward/report"
	"sumpward/report/words"
	"sumpward/sim/diagnose"
)

// WriteDiagnosis writes a page on which fault fits what was seen and what to check
// next.
func WriteDiagnosis(w io.Writer, r report.Diagnose, m Made) error {
	if r.Found == nil {
		return errors.New("a page on what is wrong needs the diagnosis")
	}
	m.Seed = r.Found.Bank.Seed
	return writeFinding(w, "Which fault fits what was seen?", r.Finding(), chancesOf(r.Found.Standings), m)
}

// fitMarks stand before the words, so that they are found without colour.
var fitMarks = map[diagnose.Fit]string{diagnose.Fits: within.Mark(), diagnose.CantTell: unclear.Mark(), diagnose.DoesNotFit: beyond.Mark()}

// chancesOf draws the chance of each fault beside its base rate.
func chancesOf(list []diagnose.Standing) barDrawing {
	d := barDrawing{
		bars: bars{
			id: "chances", title: "The chance of each fault",
			says:  "Of 100 cars that come back with oil missing.",
			upper: barKind{full, "with what was seen"}, lower: barKind{hollow, "before anything else was seen"},
			axis: percentScale(1, ""),
		},
		note: "The line is the 95 % interval of sampling. Beside the name stands how the fault fits.",
	}
	d.axis.title = "of 100 cars that come back with oil missing"
	for _, s := range list {
		low, high := s.Interval()
		after := report.OfHundred(s.Chance)
		if l, h := report.OfHundred(low), report.OfHundred(high); l != h {
			after += fmt.Sprintf(" (%s to %s)", l, h)
		}
		d.rows = append(d.rows, barRow{
			name:  fmt.Sprintf("%s %s: %s", fitMarks[s.Fit], words.Sentence(words.OneLine(s.Name())), s.Fit),
			upper: barMark{to: s.Chance, whisker: &[2]float64{low, high}, text: tidy(after)},
			lower: barMark{to: s.BaseRate, text: report.OfHundred(s.BaseRate)},
		})
	}
	return d
}
