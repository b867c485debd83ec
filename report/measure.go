package report

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim/decide"
)

// Measure is the report on the tests that would settle a verdict.
type Measure struct {
	Settlement *decide.Settlement
	Units      units.System
	Seed       uint64
	Rested     int // realizations that the chance as drawn rests on
}

// Document is the report for people.
func (r Measure) Document() *Document {
	s := r.Settlement
	d := &Document{}
	d.title(s.Scenario.Title, Layout(s.Scenario, r.Units))
	d.paragraph(r.stands() + " " + r.rests())
	if len(s.Tests) > 0 {
		d.table(r.table())
		d.list("What a reading would tell", r.tells())
	}
	d.facts(r.without())
	if text := r.next(); text != "" {
		d.paragraph(text)
	}
	d.list("", append(r.notes(), Cautions...))
	return d
}

// stands says how the verdict stands as things are drawn.
func (r Measure) stands() string {
	d := dependence{r.Settlement.Dependence, r.Units}
	return fmt.Sprintf("As things stand %s in %s simulated %s sessions; the limit is %s.",
		d.what(), d.count(d.Chance), words.Length(d.Length, r.Units), words.Show(d.Limit, units.Fraction, r.Units))
}

// rests says what the verdict rests on.
func (r Measure) rests() string {
	s := r.Settlement
	length := words.Length(s.Length, r.Units)
	switch {
	case s.Depends():
		return dependence{s.Dependence, r.Units}.verdict()
	case len(s.Inputs) == 0 && !uncertainMeasured(s.Scenario):
		return noneUncertain(s.Scenario)
	case len(s.Inputs) == 0:
		return "Every input that is uncertain was measured: nothing is left to measure."
	case s.Strongest == nil:
		return fmt.Sprintf("No input that is not measured moves that chance for sure: nothing needs measuring for a session of %s.", length)
	}
	return fmt.Sprintf("No input that is not measured turns that within its own range, alone or with another of the strongest. What moves the chance most is %s, by %s across its range: the first to measure.",
		words.InputName(s.Strongest.Input.Path), points(s.Strongest.AtTo.Probability-s.Strongest.AtFrom.Probability))
}

// uncertainMeasured reports whether an input was measured and may yet have more than
// one value.
func uncertainMeasured(s *scenarios.Scenario) bool {
	for _, q := range s.Inputs {
		if q.Basis == scenarios.Measured && !q.IsExact() {
			return true
		}
	}
	return false
}

// noneUncertain says of a scenario of exact numbers what they rest on.
func noneUncertain(s *scenarios.Scenario) string {
	n := basisCount(s)
	var list []string
	for _, basis := range []scenarios.Basis{scenarios.Stated, scenarios.Assumed} {
		if n[basis] > 0 {
			list = append(list, fmt.Sprintf("%d %s", n[basis], basis))
		}
	}
	if len(list) == 0 {
		return "No input is uncertain, and all were measured: nothing is left to measure."
	}
	return fmt.Sprintf("No input is uncertain; %s, not measured: write between which values each may lie, and run again to see what to measure.", words.Joined(list, "and"))
}

// table lists the tests, what settles most for its minutes first.
func (r Measure) table() *table {
	t := &table{
		heading: "What would settle it: the most for its minutes first. Decides: how many of 100 readings would, with what is known now. " +
			"Moves: by how much the chance moves across what is known of the reading, now and, in the mean, after it",
		head: []string{"test", "reads", "minutes", "decides", "moves\nnow", "moves\nafter"}, words: []int{0, 1},
	}
	for _, x := range r.Settlement.Tests {
		decides := words.None
		if x.Tips {
			decides = points(x.Decides)
		}
		t.add(x.Test.Name, r.reads(x), fmt.Sprintf("%.0f", x.Test.Minutes), decides, points(x.Now), points(x.Left))
	}
	return t
}

// next says which test to do first, and how to get its sheet.
func (r Measure) next() string {
	if len(r.Settlement.Tests) == 0 {
		return ""
	}
	first := r.Settlement.Tests[0].Test
	return fmt.Sprintf("First: %s (%s, %.0f min). Its sheet to fill in: %s. Write into the scenario what was read, with basis: measured, and run again: "+
		"the inputs that were not read may turn the verdict still.", lowerFirst(first.Title), first.Where, first.Minutes, r.command(first.Name))
}

// command is the command line that prints the sheet of a test.
func (r Measure) command(test string) string {
	s := r.Settlement.Scenario
	parts := []string{"sumpward measure"}
	switch {
	case s.File != "":
		parts = append(parts, quoted(s.File))
	case s.Example != "" && s.Example != scenarios.DefaultReady:
		parts = append(parts, s.Example)
	}
	if s.VariantName != "" {
		parts = append(parts, "--variant "+quoted(s.VariantName))
	}
	return strings.Join(append(parts, "--sheet "+test), " ")
}

// quoted is a word of a command line.
func quoted(word string) string {
	if strings.ContainsAny(word, " \t\"'$`\\&;|<>()*?!#~") {
		return strconv.Quote(word)
	}
	return word
}

func (r Measure) notes() []string {
	var list []string
	if len(r.Settlement.Tests) > 0 {
		list = append(list, "A reading decides where its error (95 of 100 readings) leaves it wholly on one side of the tipping value and that value's interval. Errors and minutes of the tests: prior, no published source; how they are done: common practice, no source.")
	}
	return append(list, fmt.Sprintf("%s realizations, seed %d.", words.Grouped(int64(r.Rested)), r.Seed), RestsOn(r.Settlement.Scenario))
}

// WriteCSV writes one row for each reading, SI.
func (r Measure) WriteCSV(w io.Writer) error {
	s := &sheet{head: []string{"test", "reads", "inputs", "minutes", "standard_error_SI", "geometric_standard_error", "from_SI", "to_SI",
		"against", "tips", "tipping_SI", "tipping_low_SI", "tipping_high_SI", "limit_kept", "decides", "moves_now", "moves_after", "moves_after_at_worst"}}
	for _, x := range r.Settlement.Tests {
		j := settlingOf(x)
		tip, kept := decide.TippingValue{Value: nan, Low: nan, High: nan}, ""
		if x.Tips {
			tip, kept = x.Tipping, keptSide(x.Tipping)
		}
		s.add(x.Test.Name, j.Reads, strings.Join(j.Inputs, " "), x.Test.Minutes, zeroAsNaN(x.Reading.Error.SD), zeroAsNaN(x.Reading.Error.GSD), x.From, x.To,
			strings.Join(j.Against, " "), x.Tips, tip.Value, tip.Low, tip.High, kept, x.Decides, x.Now, x.Left, x.AtWorst)
	}
	return s.write(w)
}
