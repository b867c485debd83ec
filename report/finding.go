package report

import (
	"fmt"
	"slices"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/sim/learn"
	"sumpward/sim/sensitivity"
)

// Finding is what a report on what was learned comes to, for a page: the words and
// tables of the report, in the order of their weight. Text is as the report has it:
// not made safe for any medium.
type Finding struct {
	Scenario *scenarios.Scenario
	Layout   string

	Answer string   // in a sentence or a few
	Next   []string // what else to do, or to know, ahead of all figures
	Tables []Grid   // what the answer rests on
	Behind []Grid   // tables behind it
	Lists  []Points
	Notes  []string // how to read it, and what it rests on; cautions apart
}

// Grid is a table for a page. Cells and heads may have several lines.
type Grid struct {
	Heading string
	Head    []string
	Rows    [][]string
}

// Points are a list with a heading, which may be empty.
type Points struct {
	Heading string
	Items   []string
}

func gridOf(t *table) Grid { return Grid{t.heading, t.head, t.rows} }

// thereOf leaves out lists of nothing.
func thereOf(lists ...Points) []Points {
	var there []Points
	for _, l := range lists {
		if len(l.Items) > 0 {
			there = append(there, l)
		}
	}
	return there
}

// Finding says what to pin down first, and shows the split that says so.
func (r Sensitivity) Finding() Finding {
	f := Finding{Scenario: r.Result.Scenario, Layout: Layout(r.Result.Scenario, r.Units), Notes: r.notes()}
	lead := r.lead()
	if lead == nil {
		f.Answer = "Of nothing that this layout comes to within " + r.length() + " can be told what drives it."
	} else {
		f.Answer, f.Next = r.pinFirst(lead)
		f.Next = append(f.Next, r.oneByOne(lead))
		f.Tables = []Grid{gridOf(r.table(lead))}
	}
	for _, o := range r.atLength() {
		if o != lead && o.Telling == sensitivity.Told {
			f.Behind = append(f.Behind, gridOf(r.table(o)))
		}
	}
	var strongest []string
	if r.told() > 1 {
		for _, x := range r.overview() {
			strongest = append(strongest, words.Sentence(x.name)+": "+x.value)
		}
	}
	f.Lists = thereOf(Points{"The strongest of each outcome, with others", strongest}, Points{"What can't be told well", r.untold()})
	return f
}

// pinFirst parts what to pin down first from what else is said of that: the input that
// takes most off leads, or that there is none.
func (r Sensitivity) pinFirst(o *sensitivity.OutputResult) (first string, others []string) {
	all, open := r.pinDown(o), r.open(o)
	at := len(all) - max(1, min(len(open), pinned)) // ahead of it stands what no measuring takes away
	first, others = all[at], append(slices.Clone(all[at+1:]), all[:at]...)
	if len(open) > 0 {
		first = fmt.Sprintf("To pin down first, for %s within %s: %s", outputName(o.Output), r.length(), lowerFirst(first))
	}
	return first, others
}

// Lead returns the outcome by which is said what to pin down; nil: none can be told.
func (r Sensitivity) Lead() *sensitivity.OutputResult { return r.lead() }

// SensitivityShare writes a share of the variance, never as a bare 0.
func SensitivityShare(x sensitivity.Index) string { return shareText(x) }

// Finding says what was learned, and shows the chances and the inputs before and after.
func (r Learn) Finding() Finding {
	l := r.Learned
	f := Finding{
		Scenario: l.Scenario, Layout: Layout(l.Scenario, r.Units), Answer: r.verdict(),
		Tables: []Grid{gridOf(r.sessions())}, Behind: []Grid{gridOf(r.readings())}, Notes: r.notes(),
	}
	if len(l.Told()) > 0 {
		f.Tables = append(f.Tables, gridOf(r.inputs()))
	}
	f.Lists = thereOf(Points{"What must now be seen together", r.pairs()}, Points{"What nothing was learned of", r.untold()})
	return f
}

// Spread writes where an input lies: its middle between the ends of what holds 9 of 10.
func (r Learn) Spread(in learn.Input, s learn.Spread) string {
	return spreadText(in.Quantity, s, r.Units)
}

// Finding says which fault fits and what to check next, and shows how each stands.
func (r Diagnose) Finding() Finding {
	s := r.Found.Bank.Scenario()
	f := Finding{
		Scenario: s, Layout: Layout(s, r.Units), Answer: r.verdict(), Next: []string{r.next()},
		Tables: []Grid{gridOf(r.faults())}, Behind: []Grid{gridOf(r.seenTable())}, Notes: r.notes(),
	}
	if len(r.telling()) > 0 {
		f.Behind = append([]Grid{gridOf(r.checks())}, f.Behind...)
	}
	var mend []string
	for _, x := range r.mend() {
		mend = append(mend, words.Sentence(x.name)+": "+x.value)
	}
	f.Lists = thereOf(Points{"To mend it", mend}, Points{"Not told apart by what was seen", r.apart()})
	return f
}

// OfHundred writes a share as a number out of 100, never a bare 0 or 100.
func OfHundred(share float64) string { return ofHundred(share) }
