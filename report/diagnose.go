package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim/diagnose"
)

// Diagnose is the report on which faults fit what was seen.
type Diagnose struct {
	Found *diagnose.Report
	Seen  *scenarios.Seen
	Units units.System
}

// Document is the report for people.
func (r Diagnose) Document() *Document {
	d := &Document{}
	s := r.Found.Bank.Scenario()
	d.title(s.Title, Layout(s, r.Units))
	d.paragraph(r.verdict())
	d.table(r.seenTable())
	d.table(r.faults())
	d.list("Not told apart by what was seen", r.apart())
	if len(r.telling()) > 0 {
		d.table(r.checks())
	}
	d.paragraph(r.next())
	d.facts(r.mend())
	d.list("", append(r.notes(), Cautions...))
	return d
}

// verdict says in words what fits.
func (r Diagnose) verdict() string {
	var fit, may []string
	none := false
	for _, s := range r.Found.Standings {
		switch {
		case s.Fault == nil:
			none = s.Fit == diagnose.Fits
		case s.Fit == diagnose.Fits:
			fit = append(fit, s.Fault.Name)
		case s.Fit == diagnose.CantTell:
			may = append(may, s.Fault.Name)
		}
	}
	first := r.Found.Standings[0]
	var text string
	switch {
	case len(fit) == 0:
		text = "None of the faults listed fits what was seen: look at the readings again, and for something else."
	case len(fit) == 1:
		text = fmt.Sprintf("What was seen fits %s: %s.", fit[0], r.wordsOf(fit[0]))
	default:
		text = fmt.Sprintf("What was seen fits %s, and doesn't tell them apart.", words.Joined(fit, "and"))
	}
	if none && len(fit) > 0 {
		text += " It may be something else that isn't listed, too."
	}
	if len(may) > 0 {
		text += fmt.Sprintf(" Whether it fits %s can't be told.", words.Joined(may, "or"))
	}
	if first.Fault != nil {
		text += fmt.Sprintf(" The likeliest is %s, with a chance of %s.", first.Fault.Name, points(first.Chance))
	}
	return text
}

func (r Diagnose) wordsOf(name string) string {
	for _, f := range r.Found.Bank.Faults {
		if f.Name == name {
			return f.Words
		}
	}
	return name
}

// seenTable lists what was seen.
func (r Diagnose) seenTable() *table {
	t := &table{heading: "What was seen, each with the standard error of its reading", head: []string{"what", "seen", "error"}, words: []int{0}}
	for _, o := range r.Found.Bank.Observations() {
		w := diagnoseSeen{o, r.Units}
		name := w.name()
		if o.Layout != "" {
			name += ", fitted: " + o.Layout
		}
		t.add(name, w.value(o.Value), w.error())
	}
	for _, l := range r.Found.Bank.Looked() {
		t.add(l.Check, l.Found, words.None)
	}
	return t
}

// faults lists how each fault stands.
func (r Diagnose) faults() *table {
	t := &table{
		heading: "How each fault fits. Before, after: of 100 cars that come back with oil missing, before anything else was seen and with what was seen (its interval is that of sampling)",
		head:    []string{"fault", "fit", "before", "after", "speaks against it"}, words: []int{0, 1, 4},
	}
	for _, s := range r.Found.Standings {
		t.add(s.Name(), string(s.Fit), ofHundred(s.BaseRate), r.after(s), r.against(s))
	}
	return t
}

// after writes a chance with its interval, of 100.
func (r Diagnose) after(s diagnose.Standing) string {
	text := ofHundred(s.Chance)
	low, high := s.Interval()
	if l, h := ofHundred(low), ofHundred(high); l != h && (s.Chance >= 0.001 || high >= 0.005) {
		text += fmt.Sprintf(" (%s to %s)", l, h)
	}
	return text
}

// ofHundred writes a share as a number out of 100, never a bare 0 or 100.
func ofHundred(share float64) string {
	switch v := 100 * share; {
	case v < 0.1:
		return "< 0.1"
	case v < 0.95:
		return fmt.Sprintf("%.1f", v)
	case v >= 99.5:
		return "> 99"
	default:
		return fmt.Sprintf("%.0f", v)
	}
}

// speaksAgainst is the likelihood of one observation, over that of the fault that
// fits it best, below which it speaks against a fault.
const speaksAgainst = 1.0 / 3

// against says which observation speaks most against what does not fit.
func (r Diagnose) against(s diagnose.Standing) string {
	if s.Fit == diagnose.Fits || s.Fault == nil {
		return words.None
	}
	shows := r.Found.Shows[r.Found.Bank.Index(s.Fault)]
	worst := -1
	for o := range shows {
		if worst < 0 || shows[o].Ratio < shows[worst].Ratio {
			worst = o
		}
	}
	if worst < 0 || shows[worst].Ratio > speaksAgainst {
		return "all of it together"
	}
	w := diagnoseSeen{r.Found.Bank.Observations()[worst], r.Units}
	return w.short() + ": " + w.would(shows[worst])
}

// apart says what would tell the likeliest fault from others that fit, and which of
// those that fit nothing listed tells apart.
func (r Diagnose) apart() []string {
	var list, never []string
	for _, p := range r.Found.Next.Apart {
		switch {
		case r.fit(p.A) != diagnose.Fits || r.fit(p.B) != diagnose.Fits:
		case p.Check == nil || p.Information < hardlyApart:
			never = append(never, fmt.Sprintf("%s and %s: no check listed would either.", p.A.Name, p.B.Name))
		case p.A == r.Found.Standings[0].Fault:
			list = append(list, fmt.Sprintf("%s and %s: best told by %s (%s, %s).", p.A.Name, p.B.Name, p.Check.Name, p.Check.Title, checkMinutes(p.Check.Minutes)))
		}
	}
	return append(list, never...)
}

// hardlyApart is how many bits, of one between two faults alike, tell next to nothing.
const hardlyApart = 0.05

func (r Diagnose) fit(f *diagnose.Fault) diagnose.Fit {
	for _, s := range r.Found.Standings {
		if s.Fault == f {
			return s.Fit
		}
	}
	return diagnose.DoesNotFit
}

func checkMinutes(m float64) string { return fmt.Sprintf("%.0f min", m) }

// leastSettled is the share of the doubt below which a check isn't worth its minutes.
const leastSettled = 0.05

// settles is the share of the doubt that a check takes away.
func (r Diagnose) settles(t diagnose.Telling) float64 {
	if r.Found.Next.Doubt <= 0 {
		return 0
	}
	return t.Information / r.Found.Next.Doubt
}

// telling lists the checks that tell something.
func (r Diagnose) telling() []diagnose.Telling {
	var list []diagnose.Telling
	for _, t := range r.Found.Next.Tellings {
		if r.settles(t) >= leastSettled {
			list = append(list, t)
		}
	}
	return list
}

// checks lists what to check next.
func (r Diagnose) checks() *table {
	t := &table{
		heading: fmt.Sprintf("What to check next, the most for its minutes first. Settles: how much of the doubt, on average. Then: the chance that stands on what is really wrong after it, on average; now %s", points(r.Found.Next.Now)),
		head:    []string{"check", "how", "minutes", "settles", "then"}, words: []int{0, 1},
	}
	for _, x := range r.telling() {
		t.add(x.Check.Name, x.Check.Title, fmt.Sprintf("%.0f", x.Check.Minutes), points(r.settles(x)), points(x.After))
	}
	return t
}

// next says what to do first.
func (r Diagnose) next() string {
	list := r.telling()
	if len(list) == 0 {
		most := 0.0
		for _, t := range r.Found.Next.Tellings {
			most = max(most, r.settles(t))
		}
		if r.Found.Next.Doubt < 0.05 || len(r.Found.Next.Tellings) == 0 {
			return "Hardly a doubt is left that a check could settle: mend it, drive again, look again."
		}
		return fmt.Sprintf("No check listed settles more than %s of the doubt: mend the likeliest, drive again, look again.", points(most))
	}
	first := list[0]
	text := fmt.Sprintf("Next: %s (%s). The chance that stands on what is really wrong rises from %s to %s, on average.",
		first.Check.Title, checkMinutes(first.Check.Minutes), points(r.Found.Next.Now), points(first.After))
	if first.Check.Sheet != "" {
		text += fmt.Sprintf(" How it is done: sumpward measure --sheet %s.", first.Check.Sheet)
	}
	if first.Check.Looks() {
		return text + fmt.Sprintf(" Then run again with what it found: --looked %s, or with the fault in place of nothing.", quoted(first.Check.Name+"="+diagnose.FoundNothing))
	}
	return text + " Write the reading into the file of what was seen and run again."
}

// mend says what to do about what fits, or may.
func (r Diagnose) mend() facts {
	var f facts
	for _, s := range r.Found.Standings {
		if s.Fault != nil && s.Fit != diagnose.DoesNotFit && s.Fault.Mend != "" && s.Chance >= 0.05 {
			f.add(words.OneLine(s.Fault.Name), s.Fault.Mend)
		}
	}
	return f
}

func (r Diagnose) notes() []string {
	list := []string{
		"Fits: what was seen is more than a third as likely as under what fits best; doesn't fit: less than a twentieth; can't tell: between.",
		"None of these: each reading from a range three times as wide as all faults together.",
		"Base rates, severities, how often a look finds, minutes and errors of checks: " + r.sources() + ".",
	}
	for _, x := range r.Found.Bank.LeftOut {
		list = append(list, fmt.Sprintf("Left out: %s, since %s.", x.Fault.Name, x.Why))
	}
	if thin := r.thin(); len(thin) > 0 {
		list = append(list, fmt.Sprintf("Few drawn cars come close to what was seen: the chance of %s rests on fewer than %d in effect, and may be off by more than its interval. Take more: --realizations.",
			words.Joined(thin, "and"), diagnose.FewDraws))
	}
	return append(list, fmt.Sprintf("%s drawn cars in all, seed %d; checks after a session of %s.",
		words.Grouped(int64(r.Found.Draws)), r.Found.Bank.Seed, words.Length(r.Found.Bank.Session(), r.Units)),
		RestsOn(r.Found.Bank.Scenario()))
}

// sources lists where the faults' rates come from.
func (r Diagnose) sources() string {
	var list []string
	for _, f := range r.Found.Bank.Faults {
		if !slices.Contains(list, f.Source) {
			list = append(list, f.Source)
		}
	}
	return strings.Join(list, "; ")
}

// thin lists the faults whose chance rests on few cars.
func (r Diagnose) thin() []string {
	var list []string
	for _, s := range r.Found.Standings {
		if s.Fault != nil && s.Chance >= 0.01 && s.Draws < diagnose.FewDraws {
			list = append(list, s.Fault.Name)
		}
	}
	return list
}

// WriteCSV writes one row for each fault.
func (r Diagnose) WriteCSV(w io.Writer) error {
	s := &sheet{head: []string{"fault", "fit", "base_rate", "chance", "chance_low", "chance_high", "chance_standard_error", "log_likelihood", "likelihood_ratio", "effective_draws", "draws", "speaks_against"}}
	for _, x := range r.Found.Standings {
		low, high := x.Interval()
		draws := nan
		if x.Fault != nil {
			draws = float64(r.Found.Bank.Draws[r.Found.Bank.Index(x.Fault)])
		}
		s.add(x.Name(), string(x.Fit), x.BaseRate, x.Chance, low, high, x.Error, x.LogLikelihood, x.Ratio, x.Draws, draws, r.against(x))
	}
	return s.write(w)
}
