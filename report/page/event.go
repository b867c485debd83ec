package page

import (
	"html/template"
	"strings"

	"sumpward/report"
	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// driven writes the session lengths of the page.
func (v *view) driven() words.Driven { return words.DrivenBy(v.scenario(), v.page.Units) }

// lengthWords are how a page names its session lengths, or the hours of an event.
type lengthWords struct {
	Whole         string // the longest: "60 min sessions", "4 h events"
	Caption, Head string // of the table
	Against, Axis string // of the chart
	Time          string // axis of the fill
	Many, One     string
}

func (v *view) lengthWords() lengthWords {
	last := v.page.Result.Sessions[len(v.page.Result.Sessions)-1].Length
	whole, when := v.driven().Simulated(last)
	w := lengthWords{
		Whole: whole + when, Many: v.driven().Many(), One: v.driven().One(), Caption: "Chance within a session", Head: "session",
		Against: "Chance against session length", Axis: "session length", Time: "time in the session",
	}
	if v.driven().Scheduled() {
		w.Caption, w.Head = "Chance by the end of …", "the first"
		w.Against, w.Axis, w.Time = "Chance against time into the event", "time into the event", "time into the event"
	}
	return w
}

// stintTable is the stints of an event, one a row or those that can't be told apart.
type stintTable struct {
	Head  []string
	Rows  []report.StintRow
	First string // how the first compares with the others
}

// stintTable is nil where there are fewer than two stints.
func (v *view) stintTable() *stintTable {
	res := v.page.Result
	if len(report.Stints(res)) < 2 {
		return nil
	}
	names := map[sim.Event]string{sim.Overflow: "overflow (gets past), %", sim.DrainChoked: "drain choked (backs up), %", sim.OverPressure: "over-pressure, %"}
	t := &stintTable{
		Head:  []string{"stint", "hours", "oil, " + words.ColumnOf(units.Temperature, v.page.Units).Unit.Symbol},
		First: typographic(report.FirstStint(res, v.page.Units)),
	}
	for _, e := range report.StintEvents(res) {
		t.Head = append(t.Head, names[e])
	}
	t.Rows = report.StintRows(res, v.page.Units, false)
	for i := range t.Rows {
		row := &t.Rows[i]
		row.Stints, row.Times = strings.ReplaceAll(row.Stints, "-", "–"), strings.ReplaceAll(row.Times, "-", "–")
		for k, c := range row.Chances {
			row.Chances[k] = ranged(c)
		}
	}
	return t
}

// stintChart draws the chance in each stint over the time that it takes.
func (v *view) stintChart() template.HTML {
	stints := report.Stints(v.page.Result)
	if len(stints) < 2 {
		return ""
	}
	limit := v.limit()
	most := 2 * limit
	for i := range stints {
		most = max(most, stints[i].Fails.High)
	}
	event := v.page.Result.Sessions[len(v.page.Result.Sessions)-1].Length
	c := &chart{width: 440, height: 300, left: 40, right: 76, top: 30, bottom: 40,
		x: timeScale(event, "time into the event"), y: percentScale(most, v.failing("chance that "))}
	c.axes()
	for i := range stints {
		s := &stints[i]
		x := []float64{s.Start, s.End}
		c.band("c1", x, []float64{s.Fails.Low, s.Fails.Low}, []float64{s.Fails.High, s.Fails.High})
	}
	c.level("dashed", limit, "")
	for i := range stints {
		s := &stints[i]
		c.line("c1", []float64{s.Start, s.End}, []float64{s.Fails.Probability, s.Fails.Probability})
	}
	c.endLabels([]endLabel{{limit, "note", "limit " + percent(limit)}})
	return c.svg("stints", "Chance in each stint", v.stintsInWords())
}

// stintsInWords says what the chart shows to who can't see it.
func (v *view) stintsInWords() string {
	res := v.page.Result
	stints := report.Stints(res)
	var parts []string
	for _, run := range report.StintRuns(res) {
		low, high := 1.0, 0.0
		for i := run.First; i <= run.Last; i++ {
			low, high = min(low, stints[i].Fails.Low), max(high, stints[i].Fails.High)
		}
		parts = append(parts, report.Clock(stints[run.First].Start)+" to "+report.Clock(stints[run.Last].End)+": "+
			words.Percent(low, (high-low)/2)+" to "+words.Percent(high, (high-low)/2)+" %")
	}
	return strings.Join(parts, "; ") + ". Limit " + percent(v.limit()) + "."
}

// emptyingTable is how often a can without a drain must be emptied.
type emptyingTable struct {
	Caption string
	Rows    []emptyingRow
	Says    string
}

type emptyingRow struct {
	Way, Chance, Interval string
	Written               bool
	Stand                 standing
	Words                 string
}

// emptyingTable is nil where there is no other way to empty the can, or a drain.
func (v *view) emptyingTable() *emptyingTable {
	e := v.page.Emptying
	if e == nil || len(e.Rows) < 2 {
		return nil
	}
	t := &emptyingTable{Caption: report.EmptyingHeading(e, v.page.Units), Says: typographic(report.Emptied(e, v.page.Units))}
	for i := range e.Rows {
		c := report.EmptyingChance(e, i)
		row := emptyingRow{
			Way: report.EmptyingWay(e, i, v.page.Units), Chance: c.Text(), Interval: ranged(c.Interval()),
			Written: e.Rows[i].Written, Stand: standingOf(c, e.Limit),
		}
		row.Words = row.Stand.Short()
		if v.roadReading() {
			row.Words, row.Stand = "as drawn, "+row.Words, unclear
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
