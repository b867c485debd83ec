package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// Vary is the report on one input, or two, over a range.
type Vary struct {
	Variation *decide.Variation
	Units     units.System
	Program   string // version of the program, for the head of the CSV
}

// Document is the report for people.
func (r Vary) Document() *Document {
	v := r.Variation
	d := &Document{}
	d.title(v.Scenario.Title, Layout(v.Scenario, r.Units))
	if len(v.Axes) == 1 {
		d.table(r.along())
	} else {
		for _, t := range r.matrices() {
			d.table(t)
		}
		d.paragraph("[ ] meets its limit of risk with its whole interval; ? can't be told from it.")
	}
	d.facts(r.facts())
	d.paragraph(r.verdict())
	d.list("What can't be", r.problems())
	d.list("What is missing", r.missing())
	d.list("", append([]string{RestsOn(v.Scenario)}, Cautions...))
	return d
}

// longest returns the outcome of a point for the longest session.
func longest(p decide.VariedPoint) *sim.SessionResult {
	return &p.Result.Sessions[len(p.Result.Sessions)-1]
}

// fails is the chance of overflow or a choked drain at a point, for the longest session.
func fails(p decide.VariedPoint) words.Chance {
	return words.SessionChances(p.Result, longest(p))[words.Fails]
}

// standingAt says how a point stands to its limit of risk.
func standingAt(p decide.VariedPoint) words.Standing {
	return fails(p).StandingTo(p.Result.Scenario.Limits.Risk.Nominal())
}

// first returns the first point that could be simulated: there is one.
func (r Vary) first() decide.VariedPoint {
	i := slices.IndexFunc(r.Variation.Points, func(p decide.VariedPoint) bool { return p.Result != nil })
	return r.Variation.Points[i]
}

// length is the longest session, in words.
func (r Vary) length() string { return words.Length(longest(r.first()).Length, r.Units) }

// absent reports whether nothing of a point was simulated, though it could be.
func absent(p decide.VariedPoint) bool { return p.Problem == sim.ErrNothingKept.Error() }

// without says in a cell why there is nothing of a point.
func without(p decide.VariedPoint) string {
	if absent(p) {
		return "missing"
	}
	return "can't be"
}

// column is what a table shows of a point.
type column struct {
	head  string
	words bool
	cell  func(p decide.VariedPoint) string
}

// along is the table of one axis.
func (r Vary) along() *table {
	a := r.Variation.Axes[0]
	t := &table{
		heading: fmt.Sprintf("Chance within %s by %s, and its 95 %% interval from sampling alone", r.length(), a.Path),
		head:    []string{r.headOf(0)},
	}
	columns := r.columns()
	for i, c := range columns {
		t.head = append(t.head, c.head)
		if c.words {
			t.words = append(t.words, i+1)
		}
	}
	values := r.values(0)
	for i, p := range r.Variation.Points {
		row := []string{values[i]}
		for _, c := range columns {
			switch {
			case p.Problem == "":
				row = append(row, c.cell(p))
			case len(row) == 1:
				row = append(row, without(p))
			default:
				row = append(row, words.None)
			}
		}
		t.add(row...)
	}
	return t
}

func (r Vary) columns() []column {
	chance := func(i int) func(decide.VariedPoint) string {
		return func(p decide.VariedPoint) string {
			return words.SessionChances(p.Result, longest(p))[i].Cell()
		}
	}
	list := []column{{"overflow\n(gets past)", false, chance(words.Overflow)}}
	if r.first().Result.Kind != sim.NoDrain {
		list = append(list, column{"drain choked\n(backs up)", false, chance(words.DrainChoked)})
	}
	list = append(list, r.causes()...)
	return append(list, column{"limit of\nrisk", true, func(p decide.VariedPoint) string {
		return standingAt(p).Text()
	}})
}

// causes are the columns of what a drain has in hand at nominal values.
func (r Vary) causes() []column {
	var list []column
	if r.has(func(c *sim.PhaseCheck) float64 { return c.Margin }) {
		mm := words.FineLengths(r.Units)
		list = append(list, column{"drain margin\n" + mm.Unit.Symbol + ", nominal", false, func(p decide.VariedPoint) string { return mm.Text(p.Nominal.Margin) }})
	}
	if r.has(floodShare) {
		share := words.ColumnOf(units.Fraction, r.Units)
		list = append(list, column{"gas up drain\n% of flooding", false, func(p decide.VariedPoint) string { return share.Text(floodShare(p.Nominal)) }})
	}
	return list
}

func (r Vary) has(value func(*sim.PhaseCheck) float64) bool {
	return slices.ContainsFunc(r.Variation.Points, func(p decide.VariedPoint) bool { return p.Nominal != nil && !math.IsNaN(value(p.Nominal)) })
}

// floodShare is the gas flow up an unsealed drain over the one that holds all
// oil up; NaN where that does not apply.
func floodShare(c *sim.PhaseCheck) float64 {
	if !(c.GasLimit > 0) {
		return math.NaN()
	}
	return c.GasUp / c.GasLimit
}

// headOf heads the values of an axis.
func (r Vary) headOf(axis int) string {
	a := r.Variation.Axes[axis]
	_, name, _ := strings.Cut(a.Path, ".")
	name = strings.NewReplacer("_", " ", ".", " ").Replace(name)
	if u := r.unit(axis); u.Symbol != "" {
		name += "\n" + u.Symbol
	}
	return name
}

// unit is the one unit that an axis is shown in; none for what is counted per
// something, which is shown with its unit each time.
func (r Vary) unit(axis int) units.Unit {
	a := r.Variation.Axes[axis]
	switch q := r.quantity(axis); {
	case q != nil && q.Per != "":
		return units.Unit{Factor: 1}
	case a.Dimension == units.Time:
		return units.SensibleUnit(a.Values[len(a.Values)-1], units.Time, r.Units)
	}
	return units.DisplayUnit(a.Dimension, r.Units)
}

// quantity is the input of an axis at a point where it is exact, or nil.
func (r Vary) quantity(axis int) *scenarios.Quantity {
	return r.first().Result.Scenario.Input(r.Variation.Axes[axis].Path)
}

// values writes the values of an axis in its unit, with as many digits as tell
// them apart.
func (r Vary) values(axis int) []string {
	a, u := r.Variation.Axes[axis], r.unit(axis)
	var list []string
	if q := r.quantity(axis); q != nil && q.Per != "" {
		for _, v := range a.Values {
			list = append(list, q.Format(v, r.Units))
		}
		return list
	}
	for digits := 3; digits <= 15; digits++ {
		list = list[:0]
		for _, v := range a.Values {
			list = append(list, shortened(u.FromSI(v), digits))
		}
		if apart := slices.Clone(list); len(slices.Compact(apart)) == len(list) {
			break
		}
	}
	return list
}

// shortened writes a number with so many digits, and never fewer than its
// whole part has.
func shortened(v float64, digits int) string {
	decimals := digits - 1
	if v != 0 {
		decimals -= int(math.Floor(math.Log10(math.Abs(v))))
	}
	text := strconv.FormatFloat(v, 'f', max(0, decimals), 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// named writes the values of an axis with their unit.
func (r Vary) named(axis int) []string {
	list, u := slices.Clone(r.values(axis)), r.unit(axis)
	for i := range list {
		list[i] = u.Attach(list[i])
	}
	return list
}
