package report

import (
	"fmt"
	"math"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim/learn"
)

// Learn is the report on what was learned from what was seen.
type Learn struct {
	Learned *learn.Learned
	Units   units.System
	Written string // scenario that was written; empty: none
}

// Document is the report for people.
func (r Learn) Document() *Document {
	l := r.Learned
	d := &Document{}
	d.title(l.Scenario.Title, Layout(l.Scenario, r.Units))
	d.paragraph(r.verdict())
	d.table(r.sessions())
	if len(l.Told()) > 0 {
		d.table(r.inputs())
	}
	d.list("", r.untold())
	d.list("What must now be seen together", r.pairs())
	d.table(r.readings())
	d.list("", append(r.notes(), Cautions...))
	return d
}

// verdict says whether what was seen fits, what it told of, and what comes of it.
func (r Learn) verdict() string {
	l := r.Learned
	text := r.fits() + " "
	told := l.Told()
	switch len(told) {
	case 0:
		text += "It tells nothing of any input that could be made out from chance. "
	default:
		names := []string{}
		for _, in := range told[:min(3, len(told))] {
			names = append(names, words.InputName(in.Quantity.Path))
		}
		text += "It tells most of " + words.Joined(names, "and") + ". "
	}
	return text + r.change()
}

// fits says whether what was seen fits together under the inputs.
func (r Learn) fits() string {
	var strained, misfits, rare []string
	for i := range r.Learned.Readings {
		x := &r.Learned.Readings[i]
		name := diagnoseSeen{*x.Observation, r.Units}.short()
		if x.IsRare() {
			rare = append(rare, fmt.Sprintf("%s (%s)", name, points(x.Rare)))
		}
		switch x.Fit() {
		case learn.Strained:
			strained = append(strained, name)
		case learn.Misfit:
			misfits = append(misfits, name)
		}
	}
	switch {
	case len(misfits) > 0:
		return "What was seen does not fit together under these inputs: " + words.Joined(misfits, "and") + ". Read that again before anything rests on it, or look for a fault (diagnose)."
	case len(strained) > 0:
		return "What was seen fits, but for " + words.Joined(strained, "and") + ", which is off further than readings mostly are."
	}
	if len(rare) > 0 {
		return "What was seen can be under these inputs, but few cars would show as much: " + words.Joined(rare, "and") + ". Look whether it was read right, whether the inputs hold, or for a fault (diagnose)."
	}
	return "What was seen fits the inputs."
}

// change tells the chance before and after, for the session that it moves most.
func (r Learn) change() string {
	l := r.Learned
	best, event, most := 0, learn.Overflow, -1.0
	for i, s := range l.Sessions {
		for _, e := range []int{learn.Overflow, learn.DrainChoked} {
			if x := math.Abs(s.After[e].Probability - s.Before[e].Probability); x > most {
				best, event, most = i, e, x
			}
		}
	}
	s := l.Sessions[best]
	what := [...]string{"Overflow", "A choked drain"}[event]
	return fmt.Sprintf("%s within %s: %s before, %s after.", what, r.length(s.Length), r.chance(s, s.Before, event).Text(), r.chance(s, s.After, event).Text())
}

func (r Learn) length(seconds float64) string {
	return words.DrivenBy(r.Learned.Scenario, r.Units).Length(seconds)
}

func (r Learn) chance(s learn.Session, all [3]learn.Chance, event int) words.Chance {
	c := all[event]
	return words.Chance{Estimate: c.Estimate, Events: c.Events, Of: c.Draws, Impossible: event == learn.DrainChoked && !s.Drains}
}

// sessions tells the chances before and after.
func (r Learn) sessions() *table {
	l := r.Learned
	t := &table{
		heading: "Chance before and after what was seen, and its 95 % interval from sampling alone",
		head:    []string{"within", "overflow\nbefore", "overflow\nafter"},
	}
	events := []int{learn.Overflow}
	if l.Sessions[0].Drains {
		t.head = append(t.head, "drain choked\nbefore", "drain choked\nafter")
		events = append(events, learn.DrainChoked)
	}
	for _, s := range l.Sessions {
		row := []string{r.length(s.Length)}
		for _, e := range events {
			for _, all := range [][3]learn.Chance{s.Before, s.After} {
				row = append(row, r.chance(s, all, e).Cell())
			}
		}
		t.add(row...)
	}
	return t
}

// inputs tells of each input that was learned of where it lay and where it lies.
func (r Learn) inputs() *table {
	t := &table{
		heading: "What is known of the inputs before and after: the middle and, on either side, where 9 of 10 lie",
		head:    []string{"input", "before", "after", "narrower\nby"}, words: []int{0},
	}
	for _, in := range r.Learned.Told() {
		t.add(words.InputName(in.Quantity.Path), spreadText(in.Quantity, in.Before, r.Units), spreadText(in.Quantity, in.After, r.Units), narrower(in))
	}
	return t
}

func narrower(in learn.Input) string {
	switch n := in.Narrower(); {
	case math.Abs(n) < 0.05 || math.IsNaN(n):
		return words.None
	case n < 0:
		return "wider"
	default:
		return fmt.Sprintf("%.0f %%", 100*n)
	}
}

// spreadText writes a spread in one unit, that of its largest value.
func spreadText(q *scenarios.Quantity, s learn.Spread, u units.System) string {
	if q.Per != "" {
		return sharingUnit(q.Format(s.P05, u), q.Format(s.P50, u), q.Format(s.P95, u))
	}
	return spreadIn(q.Dimension, s, u)
}

// sharingUnit joins values, with their unit once where it is the same.
func sharingUnit(values ...string) string {
	_, unit, _ := strings.Cut(values[len(values)-1], " ")
	for _, v := range values {
		if _, other, found := strings.Cut(v, " "); !found || other != unit {
			return strings.Join(values, " .. ")
		}
	}
	for i := range values[:len(values)-1] {
		values[i], _, _ = strings.Cut(values[i], " ")
	}
	return strings.Join(values, " .. ")
}

// spreadIn writes three values in one unit.
func spreadIn(d units.Dimension, s learn.Spread, u units.System) string {
	unit := units.SensibleUnit(max(math.Abs(s.P05), math.Abs(s.P95)), d, u)
	if d == units.Temperature {
		unit = units.DisplayUnit(d, u)
	}
	at := func(v float64) string { return shortened(unit.FromSI(v), 3) }
	return unit.Attach(at(s.P05) + " .. " + at(s.P50) + " .. " + at(s.P95))
}

// untold names the inputs that nothing was learned of.
func (r Learn) untold() []string {
	var names []string
	for _, in := range r.Learned.Inputs {
		if !in.Told {
			names = append(names, words.InputName(in.Quantity.Path))
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []string{"What was seen tells nothing, or too little to make out, of: " + strings.Join(names, "; ") + "."}
}

// pairs says which inputs learned about each other.
func (r Learn) pairs() []string {
	var list []string
	for _, p := range r.Learned.Pairs {
		how := "where one is high the other is high too"
		if p.After < 0 {
			how = "where one is high the other is low"
		}
		if math.Abs(p.After) < math.Abs(p.Before) {
			how = "they went together before, and do less now"
		}
		list = append(list, fmt.Sprintf("%s and %s: %s (rank correlation %.2f, before %.2f)", words.InputName(p.First.Path), words.InputName(p.Second.Path), how, p.After, p.Before))
	}
	return list
}

// readings tells what was seen against what was to be expected.
func (r Learn) readings() *table {
	t := &table{
		heading: "What was seen against what the inputs let expect, before and after it: 9 of 10 cars lie there, errors of reading apart. Off by: the reading from the middle, in all that it may differ by",
		head:    []string{"seen", "", "expected\nbefore", "expected\nafter", "off by", "fits"}, words: []int{0, 5}, whole: 0,
	}
	for i := range r.Learned.Readings {
		x := &r.Learned.Readings[i]
		w := diagnoseSeen{*x.Observation, r.Units}
		t.add(w.name()+fittedWith(x.Observation), w.value(x.Observation.Value)+"\n"+w.error(), r.expected(x, x.Before), r.expected(x, x.After), offBy(x), fitWord(x.Fit()))
	}
	return t
}

func fittedWith(o *scenarios.Observation) string {
	if o.Layout == "" {
		return ""
	}
	return ", fitted: " + o.Layout
}

// expected writes what was expected of an observation.
func (r Learn) expected(x *learn.Reading, s learn.Spread) string {
	w := diagnoseSeen{*x.Observation, r.Units}
	if x.Observation.Whether() {
		if s.P05 == s.P95 {
			return w.value(s.P50)
		}
		return fmt.Sprintf("%s in\n%s", w.value(1), points(s.P50))
	}
	low, high := w.value(s.P05), w.value(s.P95)
	if number, unit, found := strings.Cut(low, " "); found && strings.HasSuffix(high, " "+unit) {
		low = number
	}
	return low + " ..\n" + high
}

func offBy(x *learn.Reading) string {
	if x.Observation.Whether() {
		return words.None
	}
	return fmt.Sprintf("%.1f", math.Abs(x.Residual))
}

func fitWord(f learn.Fit) string {
	return map[learn.Fit]string{learn.Fits: "yes", learn.Strained: "just", learn.Misfit: "no"}[f]
}

// notes say what the figures rest on.
func (r Learn) notes() []string {
	l := r.Learned
	how := "weighted once by how likely they make what was seen"
	if n := len(l.Levels); n > 0 {
		how = fmt.Sprintf("which took it in by %d steps", n)
	}
	list := []string{fmt.Sprintf("%s draws, %s, seed %d; they know every input's mean as well as %.0f independent ones. The chances are of sessions to come, each with a luck of its own.",
		words.Grouped(int64(l.Len())), how, l.Seed, l.Own)}
	for _, w := range l.Warnings {
		list = append(list, "Beware: "+w+".")
	}
	if r.Written != "" {
		list = append(list, "Written: "+r.Written+", which draws the inputs together as they were learned.")
	}
	return append(list, RestsOn(l.Scenario))
}

// Unfit says which observation is next to impossible under the inputs, and what to do.
func Unfit(e *learn.UnfitError, u units.System) string {
	w := diagnoseSeen{*e.Observation, u}
	lead := fmt.Sprintf("what was seen is next to impossible under these inputs: %s: %s (%s)", w.name()+fittedWith(e.Observation), w.value(e.Observation.Value), w.error())
	allow := fmt.Sprintf("under these inputs %s .. %s", w.value(e.Low), w.value(e.High))
	if e.Observation.Whether() {
		allow = "under these inputs " + w.value(1-e.Observation.Value)
	}
	off := ""
	if !math.IsInf(e.Off, 1) && !e.Observation.Whether() {
		off = fmt.Sprintf("; the nearest of all draws is %.0f errors off", e.Off)
	}
	if e.Together {
		allow += ", but not together with what else was seen"
	}
	return lead + "; " + allow + off +
		"\n  look at the reading and its unit; state its error as large as it is; widen the inputs that it rests on; or something is wrong with the car: sumpward diagnose"
}
