package page

import (
	"errors"
	"io"

	"sumpward/report"
	"sumpward/report/words"
	"sumpward/sim/sensitivity"
)

// WriteSensitivity writes a page on which unknown drives the result: what to pin down
// first, and the split of the variance that says so.
func WriteSensitivity(w io.Writer, r report.Sensitivity, m Made) error {
	if r.Result == nil {
		return errors.New("a page on what drives the result needs the split of its variance")
	}
	m.Seed = r.Result.Seed
	return writeFinding(w, "Which unknown drives the result?", r.Finding(), shares(r), m)
}

// shares draws what each driver has of the variance, alone and with others.
func shares(r report.Sensitivity) barDrawing {
	lead := r.Lead()
	if lead == nil {
		return barDrawing{}
	}
	d := barDrawing{
		bars: bars{
			id: "shares", title: "What drives " + report.SensitivityOutput(lead.Output),
			says:  "Shares of the variance.",
			upper: barKind{full, "alone"}, lower: barKind{hollow, "with others"},
			axis: percentScale(1, "share of the variance"),
		},
		note: "Alone: what knowing it takes off the variance, on average. With others: what is left if all else is known. The lines are 95 % intervals.",
	}
	shown, rest := lead.Ranked()
	for _, i := range shown {
		p := lead.Parts[i]
		d.rows = append(d.rows, barRow{words.OneLine(words.Sentence(report.SensitivityDriver(&r.Result.Drivers[i]))), shareMark(p.First), shareMark(p.Total)})
	}
	if len(rest) > 0 {
		d.note += " Not drawn: " + report.SensitivityRest(r.Result, rest) + ", too little to tell."
	}
	return d
}

func shareMark(x sensitivity.Index) barMark {
	return barMark{to: max(x.Value, 0), whisker: &[2]float64{x.Low, x.High}, text: tidy(report.SensitivityShare(x))}
}
