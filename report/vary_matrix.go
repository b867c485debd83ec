package report

import (
	"fmt"

	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// How many columns of chances, and of plain numbers, stand side by side.
const (
	chancesAcross = 4
	numbersAcross = 8
)

// matrices are the tables of two axes: the chance of failing, then what the
// drain has in hand.
func (r Vary) matrices() []*table {
	what := "overflow or a choked drain"
	if r.first().Result.Kind == sim.NoDrain {
		what = "overflow"
	}
	list := r.matrix(fmt.Sprintf("Chance of %s within %s, and its 95 %% interval from sampling alone", what, r.length()), chancesAcross, func(p decide.VariedPoint) string {
		return marked(fails(p), standingAt(p))
	})
	mm, share := words.FineLengths(r.Units), words.ColumnOf(units.Fraction, r.Units)
	if r.has(func(c *sim.PhaseCheck) float64 { return c.Margin }) {
		list = append(list, r.matrix("Nominal drain margin at full throttle on a straight, oil column in "+mm.Unit.Symbol, numbersAcross,
			func(p decide.VariedPoint) string { return mm.Text(p.Nominal.Margin) })...)
	}
	if r.has(floodShare) {
		list = append(list, r.matrix("Nominal gas flow up the drain at full throttle, % of the one that holds all oil up", numbersAcross,
			func(p decide.VariedPoint) string { return share.Text(floodShare(p.Nominal)) })...)
	}
	return list
}

// marked writes a chance over its interval and shows without colour how it stands to
// its limit.
func marked(c words.Chance, s words.Standing) string {
	text := c.Text()
	switch s {
	case words.Within:
		text = "[" + text + "]"
	case words.Unclear:
		text += " ?"
	}
	return text + "\n" + c.Interval()
}

// matrix lays out the points of two axes, the one with fewer values across, in
// as many tables as it takes.
func (r Vary) matrix(heading string, across int, cell func(decide.VariedPoint) string) []*table {
	down, over := 0, 1
	if len(r.Variation.Axes[0].Values) < len(r.Variation.Axes[1].Values) {
		down, over = 1, 0
	}
	rows, columns := r.named(down), r.named(over)
	var list []*table
	for from := 0; from < len(columns); from += across {
		until := min(from+across, len(columns))
		t := &table{
			heading: fmt.Sprintf("%s; %s down, %s across", heading, r.Variation.Axes[down].Path, r.Variation.Axes[over].Path),
			head:    append([]string{""}, columns[from:until]...), words: []int{0},
		}
		for i, name := range rows {
			row := []string{name}
			for j := from; j < until; j++ {
				p := r.at(down, i, j)
				if p.Problem != "" {
					row = append(row, without(p))
					continue
				}
				row = append(row, cell(p))
			}
			t.add(row...)
		}
		list = append(list, t)
	}
	return list
}

// at returns the point of the i-th value of the axis that goes down and the j-th
// of the one across.
func (r Vary) at(down, i, j int) decide.VariedPoint {
	if down == 1 {
		i, j = j, i
	}
	return r.Variation.Points[i*len(r.Variation.Axes[1].Values)+j]
}
