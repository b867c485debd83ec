package report

import (
	"fmt"
	"math"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
	"sumpward/sim/stats"
)

// VerdictSession is the index of the session length that [Verdict] speaks of.
func VerdictSession(res *sim.Result) int {
	return partedBy(res, res.Scenario.Limits.Risk.Nominal()).spokenOf()
}

// dependence puts to words what a verdict rests on.
type dependence struct {
	*decide.Dependence
	units units.System
}

// write puts the inputs that matter into a document.
func (d dependence) write(doc *Document) {
	if t := d.table(); len(t.rows) > 0 {
		doc.table(t)
	}
	if text := d.others(); text != "" {
		doc.paragraph(text)
	}
}

// what says what may happen in a session.
func (d dependence) what() string {
	switch d.Event {
	case sim.Overflow:
		return "the can overflows"
	case sim.DrainChoked:
		return "the drain backs up"
	case sim.OverPressure:
		return "crankcase pressure goes over its limit"
	case sim.OilLost:
		return "more oil is lost than allowed"
	}
	if d.Scenario.Drain.Return == scenarios.EmptiedByHand {
		return "the can overflows"
	}
	return "the can overflows or its drain backs up"
}

// band says between which chances the inputs that are not measured leave it open.
func (d dependence) band() string {
	low, high := d.count(d.Low), d.count(d.High)
	switch {
	case len(d.Inputs) == 0:
		return ""
	case low == high:
		return fmt.Sprintf("Whatever is not measured, %s in %s simulated %s sessions (one input at a time, across its own range).",
			d.what(), low, words.Length(d.Length, d.units))
	}
	return fmt.Sprintf("Depending on what is not measured, %s in %s to %s simulated %s sessions (one input at a time, across its own range).",
		d.what(), low, high, words.Length(d.Length, d.units))
}

// count writes a chance as a count out of 100, or of more where that says nothing.
func (d dependence) count(e stats.Estimate) string {
	switch {
	case e.Probability == 0:
		return fmt.Sprintf("fewer than %s of 1,000", counted(math.Ceil(1000*e.High)))
	case e.Probability == 1:
		return "all"
	case e.Probability < 0.01:
		return counted(max(1, math.Round(1000*e.Probability))) + " of 1,000"
	}
	return counted(math.Round(100*e.Probability)) + " of 100"
}

// verdict says on what the verdict depends, or that it depends on nothing that is
// not measured.
func (d dependence) verdict() string {
	kept := fmt.Sprintf("Whether a %s session keeps the limit of %s", words.Length(d.Length, d.units), words.Show(d.Limit, units.Fraction, d.units))
	var parts []string
	for _, in := range d.Tips() {
		parts = append(parts, fmt.Sprintf("%s: it does %s", words.InputName(in.Input.Path), d.tipping(in)))
	}
	if len(parts) > 0 {
		return kept + " depends on " + strings.Join(parts, "; and on ") + "."
	}
	for _, p := range d.Pairs {
		parts = append(parts, fmt.Sprintf("%s at %s and %s at %s", words.InputName(p.A.Path), p.A.Format(p.AtA, d.units),
			words.InputName(p.B.Path), p.B.Format(p.AtB, d.units)))
	}
	switch {
	case len(parts) > 0 && d.Chance.Probability > d.Limit:
		return kept + " depends on two inputs together, on none alone: it does with " + strings.Join(parts, "; or with ") + "."
	case len(parts) > 0:
		return kept + " depends on two inputs together, on none alone: it doesn't with " + strings.Join(parts, "; nor with ") + "."
	case len(d.Inputs) == 0:
		return ""
	}
	return "No input that is not measured changes that within its own range, alone or with another of the strongest."
}

// tipping says on which side of which value the limit is kept.
func (d dependence) tipping(in decide.InputDependence) string {
	t, side := in.Tipping, "above"
	if t.KeptBelow {
		side = "below"
	}
	text := fmt.Sprintf("%s %s", side, in.Input.Format(t.Value, d.units))
	if low, high := in.Input.Format(t.Low, d.units), in.Input.Format(t.High, d.units); low != high {
		text += fmt.Sprintf(" (%s to %s)", low, high)
	}
	return text
}

// mostRestedOn is how many inputs the table lists.
const mostRestedOn = 8

// table lists the inputs that move the chance most.
func (d dependence) table() *table {
	t := &table{
		heading: fmt.Sprintf("What it rests on: the chance that %s in %s, with one input at the ends of its own range, the others drawn (measured ones left out)",
			d.what(), words.Length(d.Length, d.units)),
		head: []string{"input", "at its low end", "at its high end", "keeps the limit"}, words: []int{0, 3},
	}
	for _, in := range d.Inputs {
		if in.Tenths || len(t.rows) == mostRestedOn {
			continue
		}
		tips := words.None
		if in.Tips {
			tips = d.tipping(in)
		}
		t.add(words.InputName(in.Input.Path), d.end(in, in.From, in.AtFrom), d.end(in, in.To, in.AtTo), tips)
	}
	return t
}

// others says how far the inputs that the table leaves out move the chance.
func (d dependence) others() string {
	n, most := 0, 0.0
	for _, in := range d.Inputs {
		if in.Tenths {
			n++
			most = max(most, math.Abs(in.AtTo.Probability-in.AtFrom.Probability))
		}
	}
	switch {
	case n == 0, most == 0:
		return ""
	}
	left := fmt.Sprintf("The other %d move", n)
	if n == 1 {
		left = "The one left moves"
	}
	return fmt.Sprintf("%s it by %s of 100 at the most, between the lowest and the highest tenth of the draws.", left, counted(math.Ceil(100*most)))
}

func (d dependence) end(in decide.InputDependence, at float64, e stats.Estimate) string {
	return in.Input.Format(at, d.units) + "\n" + d.chance(e)
}

func (d dependence) chance(e stats.Estimate) string {
	switch e.Probability {
	case 0:
		return "up to " + words.Percent(e.High, e.High/2) + " %"
	case 1:
		return "at least " + words.Percent(e.Low, e.HalfWidth()) + " %"
	}
	return words.Percent(e.Probability, e.HalfWidth()) + " %"
}
