package page

import (
	"fmt"
	"strings"

	"sumpward/report"
	"sumpward/report/words"
	"sumpward/sim/decide"
)

// depends reports whether the answer depends on what is not measured.
func (v *view) depends() bool {
	if v.page.Dependence == nil {
		return v.roadReading()
	}
	return v.page.Dependence.Depends()
}

// roadReading reports whether carry-over on track rests on a road interval alone.
func (v *view) roadReading() bool { return decide.TrackUnread(v.scenario()) }

// dependsOnTrack reports whether a verdict depends on the carry-over on track, not
// read; a dependence of nil: it was not looked at.
func (v *view) dependsOnTrack(d *decide.Dependence) bool {
	return v.roadReading() && (d == nil || d.DependsOnTrack())
}

// namesOf names, in short, the inputs that a verdict depends on.
func (v *view) namesOf(d *decide.Dependence) string {
	if v.dependsOnTrack(d) {
		return "the carry-over on track, which a reading over a road interval does not tell"
	}
	var names []string
	for _, in := range d.Tips() {
		names = append(names, typographic(words.InputName(in.Input.Path)))
	}
	const most = 2
	if more := len(names) - most; more > 0 {
		names = append(names[:most], "other inputs")
	}
	if len(names) > 0 {
		return words.Joined(names, "and") + ", not measured"
	}
	return "two inputs together that were not measured"
}

// measureFirst says at which values of what is not measured the limit is kept.
func (v *view) measureFirst() string {
	if !v.depends() {
		return ""
	}
	d := v.page.Dependence
	switch {
	case d == nil:
		return "Weigh first what a sealed can catches in one session."
	case d.DependsOnTrack():
		return together("It meets the limit " + typographic(report.TrackTipping(d.Track, v.page.Units)) + ": weigh first what a sealed can catches in one session.")
	}
	var parts []string
	for _, in := range d.Tips() {
		parts = append(parts, typographic(words.InputName(in.Input.Path))+" "+v.tipping(in))
	}
	kept := "It meets the limit with "
	sep := "; or with "
	if len(parts) == 0 {
		if d.Chance.Probability <= d.Limit {
			kept, sep = "It does not meet the limit with ", "; nor with "
		}
		for _, p := range d.Pairs {
			parts = append(parts, typographic(fmt.Sprintf("%s at %s and %s at %s", words.InputName(p.A.Path), p.A.Format(p.AtA, v.page.Units),
				words.InputName(p.B.Path), p.B.Format(p.AtB, v.page.Units))))
		}
	}
	most := 2
	if len(d.Tips()) == 0 {
		most = 1
	}
	if more := len(parts) - most; more > 0 {
		parts = append(parts[:most], fmt.Sprintf("%d more, listed below", more))
		if more == 1 {
			parts[most] = "one more, listed below"
		}
	}
	return together(kept + strings.Join(parts, sep) + ": measure these first.")
}

// tipping says on which side of which value the limit is kept, with its interval.
func (v *view) tipping(in decide.InputDependence) string { return report.Tipping(in, v.page.Units) }

// typographic writes an apostrophe as print has it.
func typographic(text string) string { return strings.ReplaceAll(words.OneLine(text), "'", "’") }

// dependenceRow is how one input moves the chance across its own range.
type dependenceRow struct {
	Input               string
	Low, High           string // ends of its range
	ChanceLow, ChanceHi string
	Keeps               string // where it carries the chance across the limit
}

// mostDependences is how many inputs are listed.
const mostDependences = 8

func (v *view) dependences() []dependenceRow {
	d := v.page.Dependence
	if d == nil {
		return nil
	}
	var list []dependenceRow
	for _, in := range d.Inputs {
		if in.Tenths || !in.Moves() && !in.Unclear || len(list) == mostDependences {
			continue
		}
		row := dependenceRow{
			Input: words.Sentence(typographic(words.InputName(in.Input.Path))),
			Low:   in.Input.Format(in.From, v.page.Units), High: in.Input.Format(in.To, v.page.Units),
			ChanceLow: words.Estimated(in.AtFrom), ChanceHi: words.Estimated(in.AtTo),
		}
		switch {
		case in.Tips:
			row.Keeps = v.tipping(in)
		case in.Unclear:
			row.Keeps = "can’t tell"
		}
		list = append(list, row)
	}
	return list
}

// pairs says which two inputs together carry the chance across the limit.
func (v *view) pairs() []string {
	if v.page.Dependence == nil {
		return nil
	}
	var list []string
	for _, p := range v.page.Dependence.Pairs {
		list = append(list, words.Sentence(typographic(fmt.Sprintf("%s at %s and %s at %s: %s", words.InputName(p.A.Path), p.A.Format(p.AtA, v.page.Units),
			words.InputName(p.B.Path), p.B.Format(p.AtB, v.page.Units), words.Estimated(p.Chance)))))
	}
	return list
}
