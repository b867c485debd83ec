package report

import (
	"fmt"
	"math"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// Size is the report on the sizes that would do.
type Size struct {
	Sizing *decide.Sizing
	Units  units.System
}

// Document is the report for people.
func (r Size) Document() *Document {
	z := r.Sizing
	d := &Document{}
	d.title(z.Scenario.Title, Layout(z.Scenario, r.Units))
	d.table(r.table(z.Volumes, "Chance that "+r.fails()+", and its 95 % interval, by usable volume"))
	if z.Drains != nil {
		d.table(r.table(z.Drains, fmt.Sprintf("The same in a session of %s, by fall and bore of the drain", words.Length(z.Drains.Session, r.Units))))
	}
	d.paragraph(fmt.Sprintf("[ ] meets the limit of %s with its whole interval; ? can't be told from it.", words.Show(z.Risk, units.Fraction, r.Units)))
	d.table(r.thresholds())
	d.paragraph(SizingVerdict(z, r.Units))
	d.list("", append([]string{r.sampling(), RestsOn(z.Scenario)}, Cautions...))
	return d
}

// fails says what is meant by failing.
func (r Size) fails() string {
	if r.Sizing.Kind == sim.NoDrain {
		return "the can overflows"
	}
	return "the can overflows or its drain backs up"
}

// table lays out one table of chances.
func (r Size) table(t *decide.Table, heading string) *table {
	rows, columns := r.labels(t.Rows), r.labels(t.Columns)
	out := &table{heading: heading, head: []string{"volume"}, words: []int{0}}
	if t.Rows.Path == decide.FallPath {
		out.head[0] = "fall"
	}
	for _, c := range columns {
		if t.Columns.Path == decide.BorePath {
			c = "bore\n" + c
		}
		out.head = append(out.head, c)
	}
	for i, label := range rows {
		row := []string{label}
		for _, c := range t.Cells[i] {
			row = append(row, r.cell(c))
		}
		out.add(row...)
	}
	return out
}

// labels writes the values of an axis with their units.
func (r Size) labels(a decide.Axis) []string {
	var list []string
	for _, v := range a.Values {
		list = append(list, size(v, a.Dimension, r.Units))
	}
	return list
}

// size writes a size to two decimals at the most.
func size(si float64, d units.Dimension, u units.System) string {
	if d == units.Time {
		return words.Length(si, u)
	}
	return words.ShowIn(si, units.DisplayUnit(d, u))
}

// cell writes a chance with how it stands to the limit, which shows without colour.
func (r Size) cell(c decide.Cell) string {
	if c.Problem != "" {
		return "can't be"
	}
	chance := words.Chance{Estimate: c.Fails, Events: c.Events, Of: c.Realizations}
	return marked(chance, chance.StandingTo(r.Sizing.Risk))
}

// thresholds lists the sizes that would do, by session length.
func (r Size) thresholds() *table {
	z := r.Sizing
	t := &table{
		heading: fmt.Sprintf("The least that meets the limit of %s on %s, its 95 %% interval, and the round size to take",
			words.Show(z.Risk, units.Fraction, r.Units), sizingWords{Sizing: z}.failure()),
		head: []string{"session", "usable volume", "take"}, words: []int{0},
	}
	if z.Fall != nil {
		t.head = append(t.head, "fall", "take")
	}
	for i, length := range z.Sessions {
		row := []string{words.Length(length, r.Units)}
		row = append(row, r.threshold(z.Volume[i], units.Volume)...)
		if z.Fall != nil {
			row = append(row, r.threshold(z.Fall[i], units.Length)...)
		}
		t.add(row...)
	}
	return t
}

func (r Size) threshold(t decide.Threshold, d units.Dimension) []string {
	if !t.Found {
		return []string{"none up to " + size(t.To, d, r.Units), words.None}
	}
	return []string{atLeast(t, d, r.Units), take(t, d, r.Units)}
}

// atLeast writes a threshold that was found, and its interval.
func atLeast(t decide.Threshold, d units.Dimension, u units.System) string {
	switch {
	case t.Least && t.High == t.From:
		return "any from " + size(t.From, d, u)
	case t.Least && math.IsInf(t.High, 1):
		return "any from " + size(t.From, d, u) + "\ncan't tell"
	case t.Least:
		return fmt.Sprintf("any from %s\nsure from %s", size(t.From, d, u), size(t.High, d, u))
	case math.IsInf(t.High, 1) && t.Low == t.From:
		return size(t.Value, d, u) + "\ncan't tell"
	case math.IsInf(t.High, 1):
		return fmt.Sprintf("%s\n%s ..", size(t.Value, d, u), size(t.Low, d, u))
	}
	return fmt.Sprintf("%s\n%s", size(t.Value, d, u), thresholdInterval(t, d, u))
}

// thresholdInterval writes the interval of a threshold. Where its lower end lies below what
// was searched, only the upper one is known.
func thresholdInterval(t decide.Threshold, d units.Dimension, u units.System) string {
	if t.Low == t.From {
		return "up to " + size(t.High, d, u)
	}
	return span(t.Low, t.High, d, u)
}

// span writes an interval with its unit once.
func span(low, high float64, d units.Dimension, u units.System) string {
	unit := units.DisplayUnit(d, u)
	return strings.TrimSuffix(words.ShowIn(low, unit), " "+unit.Symbol) + " .. " + words.ShowIn(high, unit)
}

func take(t decide.Threshold, d units.Dimension, u units.System) string {
	if math.IsNaN(t.Buy) {
		return words.None
	}
	return size(t.Buy, d, u)
}

func (r Size) sampling() string {
	z := r.Sizing
	text := fmt.Sprintf("%s realizations behind volumes and falls", words.Grouped(int64(z.Volume[0].Realizations)))
	if z.Drains != nil {
		text += fmt.Sprintf(", %s behind each chance by fall and bore", words.Grouped(z.Drains.Cells[0][0].Realizations))
	}
	text += fmt.Sprintf(", the same draws throughout: %s, seed %d. A volume keeps the can's cross-section", words.Design(z.Sampling), z.Seed)
	if z.Fall != nil {
		text += "; a fall is taken as exact, and lengthens the hose"
	}
	return text + "."
}
