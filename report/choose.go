package report

import (
	"fmt"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// Choose is the report on the cans of a shelf.
type Choose struct {
	Choice *decide.Choice
	Units  units.System
}

// Document is the report for people.
func (r Choose) Document() *Document {
	c := r.Choice
	d := &Document{}
	d.title(c.Scenario.Title, "Shelf: "+r.shelfTitle())
	d.table(r.cans())
	d.table(r.fits())
	for p := range c.Shelf.Places {
		if t := r.drained(p); len(t.rows) > 0 {
			d.table(t)
		}
	}
	if t := r.sealed(); len(t.rows) > 0 {
		d.table(t)
	}
	d.paragraph(r.verdict())
	d.facts(r.picks())
	if text := r.sealedVerdict(); text != "" {
		d.paragraph(text)
	}
	if text := r.kept(); text != "" {
		d.paragraph(text)
	}
	d.list("", append([]string{r.sampling(), RestsOn(r.restsOn())}, Cautions...))
	return d
}

func (r Choose) shelfTitle() string {
	if title := r.Choice.Shelf.Title; title != "" {
		return title
	}
	return "untitled shelf"
}

// longest writes the longest session.
func (r Choose) longest() string {
	return words.Length(r.Choice.Sessions[len(r.Choice.Sessions)-1], r.Units)
}

// cans lists what is on the shelf.
func (r Choose) cans() *table {
	volume, mm, mass := words.ColumnOf(units.Volume, r.Units), words.ColumnOf(units.Length, r.Units), words.ColumnOf(units.Mass, r.Units)
	t := &table{
		heading: "On the shelf",
		head:    []string{"can", mm.Headed("outer size"), volume.Headed("usable"), mm.Headed("drain bore"), mass.Headed("mass"), "price"},
		words:   []int{0},
	}
	if r.Units == units.Metric {
		mass.Decimals = 0
	}
	for i := range r.Choice.Shelf.Cans {
		can := &r.Choice.Shelf.Cans[i]
		bore, weight, price := "no drain", words.None, words.None
		if can.DrainBore != nil {
			fine := mm
			fine.Decimals++
			bore = fine.Text(can.DrainBore.Nominal())
		}
		if can.Mass != nil {
			weight = mass.Text(can.Mass.Nominal())
		}
		if can.Price != nil {
			price = r.price(*can.Price)
		}
		t.add(can.Name, outerSize(can.Size, mm), volume.Text(can.UsableVolume.Nominal()), bore, weight, price)
	}
	return t
}

// price writes a price with as many decimals as it was stated with.
func (r Choose) price(p float64) string {
	return strings.TrimSuffix(fmt.Sprintf("%.2f", p), ".00") + " " + r.Choice.Shelf.Currency
}

func outerSize(s scenarios.Size, c words.Column) string {
	if s.Round {
		return "round " + c.Text(s.Length) + " x " + c.Text(s.Height)
	}
	return c.Text(s.Length) + " x " + c.Text(s.Width) + " x " + c.Text(s.Height)
}

// fits lists, by place, which cans fit and by how much the others don't.
func (r Choose) fits() *table {
	t := &table{heading: "Which fit, upright, either way round", head: []string{"place", "fit", "too large"}, words: []int{0, 1, 2}}
	for p, place := range r.Choice.Shelf.Places {
		var fit, large []string
		for k, can := range r.Choice.Shelf.Cans {
			if e := r.Choice.Shelf.Excess(k, p); e.Fits() {
				fit = append(fit, can.Name)
			} else {
				large = append(large, can.Name+" ("+r.tooLarge(e)+")")
			}
		}
		t.add(place.Name, orNone(fit), orNone(large))
	}
	return t
}

func orNone(names []string) string {
	if len(names) == 0 {
		return "none"
	}
	return strings.Join(names, ", ")
}

// tooLarge says by how much a can doesn't fit.
func (r Choose) tooLarge(e scenarios.Excess) string {
	c := words.FineLengths(r.Units)
	var list []string
	for _, x := range []struct {
		by  float64
		way string
	}{{e.High, "high"}, {e.Long, "long"}, {e.Wide, "wide"}} {
		if x.by > 0 {
			list = append(list, c.WithUnit(x.by)+" too "+x.way)
		}
	}
	return strings.Join(list, ", ")
}

// mostShown is how many session lengths a table has room for.
const mostShown = 3

// shown lists the session lengths that tables show: the shortest, one in between
// and the longest. CSV and JSON hold all.
func (r Choose) shown() []int {
	n := len(r.Choice.Sessions)
	if n > mostShown {
		return []int{0, n / 2, n - 1}
	}
	var list []int
	for i := range n {
		list = append(list, i)
	}
	return list
}

// drained holds the chances of the cans that drain back from a place.
func (r Choose) drained(place int) *table {
	name := r.Choice.Shelf.Places[place].Name
	t := &table{
		heading: words.Sentence(name) + ", drained back: chance that the drain backs up or oil gets past, and its 95 % interval from sampling alone",
		head:    []string{"can\nreturn"}, words: []int{0},
	}
	for _, i := range r.shown() {
		t.head = append(t.head, words.Length(r.Choice.Sessions[i], r.Units))
	}
	t.head = append(t.head, "at "+r.longest())
	t.words = append(t.words, len(t.head)-1)
	for i := range r.Choice.Options {
		o := &r.Choice.Options[i]
		if o.Mounting.Place != place || !o.Fits || o.Return == decide.ByHandName {
			continue
		}
		row := []string{o.Can + "\nto " + o.Return}
		for _, s := range r.shown() {
			row = append(row, r.chance(o, s))
		}
		t.add(append(row, r.outcome(o))...)
	}
	return t
}

// chance writes the chance of an option within one session length.
func (r Choose) chance(o *decide.Option, session int) string {
	if o.Result == nil {
		return words.None
	}
	return words.SessionChances(o.Result, &o.Result.Sessions[session])[words.Fails].Cell()
}

// outcome says how an option fares at the longest session, and what keeps it
// from the limit.
func (r Choose) outcome(o *decide.Option) string {
	switch {
	case o.Result == nil:
		return o.Problem
	case o.Standing == decide.Meets:
		return "meets it"
	case o.Standing == decide.Untold:
		return "can't tell"
	}
	last := &o.Result.Sessions[len(o.Result.Sessions)-1]
	var list []string
	if r.Choice.Stands(last.DrainChoked) == decide.Breaks && o.Result.Kind != sim.NoDrain {
		list = append(list, "backs up")
	}
	if r.Choice.Stands(last.Overflow) == decide.Breaks {
		list = append(list, "gets past")
	}
	if len(list) == 0 && r.Choice.Stands(last.Fails) == decide.Breaks {
		list = append(list, "backs up or gets past")
	}
	return strings.Join(append(list, r.besides(last)...), ", ")
}

// besides lists what else surely breaks the limit.
func (r Choose) besides(s *sim.SessionResult) []string {
	var list []string
	if r.Choice.Stands(s.OverPressure) == decide.Breaks {
		list = append(list, "over-pressure")
	}
	if r.Choice.Stands(s.OilLost) == decide.Breaks {
		list = append(list, "oil lost")
	}
	return list
}

// sealed holds what becomes of the cans that are emptied by hand.
func (r Choose) sealed() *table {
	t := &table{
		heading: "Without a drain, where the can can be reached to be emptied: chance that oil gets past, and how often it must be emptied for that to meet the limit",
		head:    []string{"can", "within " + r.longest(), "must be emptied", "then", "besides"}, words: []int{0, 2, 4},
	}
	seen := map[int]bool{}
	for i := range r.Choice.Options {
		o := &r.Choice.Options[i]
		if o.Return != decide.ByHandName || !o.Fits || seen[o.Mounting.Can] {
			continue // the place makes no difference
		}
		seen[o.Mounting.Can] = true
		then, besides := words.None, words.None
		if o.Emptying != nil && o.Emptying.Does {
			then = words.Chance{Estimate: o.Emptying.Overflow, Events: o.Emptying.Events, Of: int64(o.Emptying.Of)}.Cell()
		}
		if o.Result != nil {
			besides = r.lost(o)
		}
		t.add(o.Can, r.chance(o, len(r.Choice.Sessions)-1), EmptiedEvery(o, r.Units), then, besides)
	}
	return t
}

// lost says of over-pressure and oil lost where they don't surely meet the limit.
func (r Choose) lost(o *decide.Option) string {
	last := &o.Result.Sessions[len(o.Result.Sessions)-1]
	all := words.SessionChances(o.Result, last)
	var list []string
	for _, x := range []struct {
		c    words.Chance
		what string
	}{{all[words.OverPressure], "over-pressure"}, {all[words.OilLost], "oil lost"}} {
		if r.Choice.Stands(x.c.Estimate) != decide.Meets {
			text := x.what + " " + x.c.WithInterval()
			if r.Choice.Stands(x.c.Estimate) == decide.Untold {
				text += ", can't tell"
			}
			list = append(list, text)
		}
	}
	if len(list) == 0 {
		return words.None
	}
	return strings.Join(list, ", ")
}

// EmptiedEvery says how often a can that is emptied by hand must be for the
// chance that it overflows to meet the limit; empty for a can that drains back.
func EmptiedEvery(o *decide.Option, u units.System) string {
	e := o.Emptying
	switch {
	case o.Problem != "":
		return o.Problem
	case e == nil:
		return ""
	case !e.Does && e.Untold:
		return "can't tell"
	case !e.Does:
		return "no: too often"
	}
	text, rarer := "after every ", ""
	if e.Untold {
		rarer = ", perhaps more rarely"
	}
	switch e.Sessions {
	case 0:
		return text + words.Length(e.Every, u) + rarer
	case 1:
		return text + "session" + rarer
	}
	text += []string{"second", "third", "fourth", "fifth", "sixth", "seventh", "eighth"}[e.Sessions-2] + " session"
	if e.Most {
		return text + " or more rarely"
	}
	return text + rarer
}
