package report

import (
	"fmt"
	"strings"

	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim/decide"
)

// emptying puts to words how often a can without a drain must be emptied.
type emptying struct {
	*decide.EmptyingTable
	units units.System
}

// EmptyingWay says how a can is emptied: "at every 2nd stop", "every 30 min".
func EmptyingWay(t *decide.EmptyingTable, i int, u units.System) string {
	e := &t.Rows[i]
	switch {
	case e.Own && e.Every > 0:
		return "every " + words.Notation(t.Scenario.Drain.Emptied.Every, u)
	case e.Own && len(t.Scenario.Duty.Schedule) > 0:
		return "as the schedule says"
	case e.Own:
		return "at the lap's stops"
	case e.Stops > 0:
		return "at every " + ordinal(e.Stops) + "stop"
	case e.Every > 0:
		return "every " + words.Length(e.Every, u)
	case len(t.Scenario.Duty.Schedule) > 0:
		return "before the event alone"
	}
	return "before the session alone"
}

// ordinal is "2nd " and so on; nothing for 1.
func ordinal(n int) string {
	if n == 1 {
		return ""
	}
	ending := "th"
	if n/10%10 != 1 {
		switch n % 10 {
		case 1:
			ending = "st"
		case 2:
			ending = "nd"
		case 3:
			ending = "rd"
		}
	}
	return fmt.Sprintf("%d%s ", n, ending)
}

// EmptyingChance is the chance to overflow of one way of emptying.
func EmptyingChance(t *decide.EmptyingTable, i int) words.Chance {
	return words.Chance{Estimate: t.Rows[i].Overflow, Events: t.Rows[i].Events, Of: int64(t.Realizations)}
}

// EmptyingHeading names the table.
func EmptyingHeading(t *decide.EmptyingTable, u units.System) string {
	driven := words.DrivenBy(t.Scenario, u)
	what, _ := driven.Simulated(t.Length)
	return fmt.Sprintf("Chance that the can overflows, by how often it is emptied: %s simulated %s of each, on the same draws",
		words.Grouped(int64(t.Realizations)), what)
}

// Emptied says how rarely the can may be emptied.
func Emptied(t *decide.EmptyingTable, u units.System) string {
	text := emptiedRarest(t, u)
	if road := onRoadReading(t.Scenario); road != "" {
		return road + strings.ToLower(text[:1]) + text[1:]
	}
	return text
}

func emptiedRarest(t *decide.EmptyingTable, u units.System) string {
	limit := "the limit of " + words.Show(t.Limit, units.Fraction, u) + " for overflow"
	first := 0
	for first < len(t.Rows)-1 && t.Rows[first].Own && t.Rows[first].Every == 0 { // stands in no order
		first++
	}
	untold := ""
	if next := max(t.Rarest+1, first); next < len(t.Rows) && t.Rows[next].Standing == decide.Untold {
		untold = fmt.Sprintf("; whether %s does, these realizations can't tell", EmptyingWay(t, next, u))
	}
	switch {
	case t.Rarest < 0 && untold != "":
		return words.Sentence(limit) + " is met by nothing tried for sure" + untold + "."
	case t.Rarest < 0:
		return fmt.Sprintf("Not even a can that is emptied %s meets %s.", EmptyingWay(t, first, u), limit)
	case t.Rarest == len(t.Rows)-1:
		return fmt.Sprintf("Emptied %s it meets %s.", EmptyingWay(t, t.Rarest, u), limit)
	case t.Rarest == first:
		return fmt.Sprintf("Emptied %s, the most often of what was tried, it meets %s%s.", EmptyingWay(t, t.Rarest, u), limit, untold)
	}
	return fmt.Sprintf("Emptied %s, or more often, it meets %s%s.", EmptyingWay(t, t.Rarest, u), limit, untold)
}

// table is without rows where there is only one way to empty the can.
func (e emptying) table() *table {
	t := &table{
		heading: EmptyingHeading(e.EmptyingTable, e.units),
		head:    []string{"emptied", "overflow", "95 % interval", "limit of " + words.Show(e.Limit, units.Fraction, e.units)},
		words:   []int{0, 3},
	}
	if len(e.Rows) < 2 {
		return t
	}
	for i := range e.Rows {
		way := EmptyingWay(e.EmptyingTable, i, e.units)
		if e.Rows[i].Written {
			way += " (as written)"
		}
		c := EmptyingChance(e.EmptyingTable, i)
		t.add(way, c.Text(), c.Interval(), emptyingStands(e.EmptyingTable, i))
	}
	return t
}

// emptyingStands says how a row stands to the limit: no reading over a road interval
// settles it.
func emptyingStands(t *decide.EmptyingTable, row int) string {
	if decide.TrackUnread(t.Scenario) {
		return "depends"
	}
	return EmptyingChance(t, row).StandingTo(t.Limit).Text()
}

type emptyingTableJSON struct {
	Length       number            `json:"length_s"`
	Limit        number            `json:"limit"`
	Realizations int               `json:"realizations"`
	Rows         []emptyingWayJSON `json:"ways"`              // from the most often to once before the start
	Rarest       *int              `json:"rarest_that_meets"` // index; null: none does
}

type emptyingWayJSON struct {
	Emptied  string     `json:"emptied"`
	Every    *number    `json:"every_s,omitempty"`
	Stops    int        `json:"every_stops,omitempty"`
	Written  bool       `json:"as_written"`
	Overflow chanceJSON `json:"overflow"`
	Limit    string     `json:"limit"` // met, can't tell, not met; depends: carry-over was read over a road interval
}

func emptyingOf(t *decide.EmptyingTable, u units.System) *emptyingTableJSON {
	if t == nil {
		return nil
	}
	out := &emptyingTableJSON{Length: number(t.Length), Limit: number(t.Limit), Realizations: t.Realizations}
	if t.Rarest >= 0 {
		out.Rarest = &t.Rarest
	}
	for i := range t.Rows {
		e := &t.Rows[i]
		row := emptyingWayJSON{
			Emptied: EmptyingWay(t, i, u), Stops: e.Stops, Written: e.Written, Limit: emptyingStands(t, i),
			Overflow: chanceJSON{number(e.Overflow.Probability), number(e.Overflow.Low), number(e.Overflow.High), e.Events},
		}
		if every := number(e.Every); every > 0 {
			row.Every = &every
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}
