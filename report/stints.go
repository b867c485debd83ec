package report

import (
	"fmt"
	"math"
	"slices"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/stats"
)

// StintChance is the chance of an event in one stint, counted out of the
// realizations that came to it.
func StintChance(res *sim.Result, s *sim.StintResult, e sim.Event) words.Chance {
	c := words.Chance{Of: int64(s.Reached)}
	switch e {
	case sim.Overflow:
		c.Estimate, c.Events = s.Overflow, s.OverflowEvents
	case sim.DrainChoked:
		c.Estimate, c.Events, c.Impossible = s.DrainChoked, s.DrainChokedEvents, res.Kind == sim.NoDrain
	case sim.OverPressure:
		c.Estimate, c.Events = s.OverPressure, s.OverPressureEvents
	default:
		c.Estimate, c.Events = s.Fails, s.FailsEvents
	}
	return c
}

// StintEvents are the events that are told stint by stint: without a drain none
// backs up.
func StintEvents(res *sim.Result) []sim.Event {
	if res.Kind == sim.NoDrain {
		return []sim.Event{sim.Overflow, sim.OverPressure}
	}
	return []sim.Event{sim.Overflow, sim.DrainChoked, sim.OverPressure}
}

// shortestStint is how long a stint must be to be told, s: one that is shorter is
// the end of an event, rounded.
const shortestStint = 1.0

// Stints are the stints of an event that are told; none without a schedule.
func Stints(res *sim.Result) []sim.StintResult {
	if len(res.Scenario.Duty.Schedule) == 0 {
		return nil
	}
	n := len(res.Stints)
	for n > 0 && res.Stints[n-1].End-res.Stints[n-1].Start < shortestStint {
		n--
	}
	return res.Stints[:n]
}

// StintRun is stints one after another that are told as one.
type StintRun struct{ First, Last int }

// How many stints are told one by one, and how many runs of them at the most;
// and within what their oil temperatures at the start are alike, K. Our choice.
const (
	mostStintsApart = 12
	mostStintRuns   = 16
	alikeHeat       = 5.0
)

// StintRuns parts the stints of a result into runs: each for itself where they are
// few, else runs of stints that can't be told apart, as some chance lies in all of
// their intervals, of every event. There are 16 runs at the most, the first stint
// for itself.
func StintRuns(res *sim.Result) []StintRun {
	all := Stints(res)
	var runs []StintRun
	for i := range all {
		if n := len(runs); n > 1 && len(all) > mostStintsApart && alike(res, runs[n-1].First, i) {
			runs[n-1].Last = i
			continue
		}
		runs = append(runs, StintRun{i, i})
	}
	if len(all) <= mostStintsApart || len(runs) <= mostStintRuns {
		return runs
	}
	each := (len(all) - 1 + mostStintRuns - 2) / (mostStintRuns - 1)
	runs = []StintRun{{0, 0}}
	for i := 1; i < len(all); i += each {
		runs = append(runs, StintRun{i, min(i+each, len(all)) - 1})
	}
	return runs
}

// alike reports whether stints from one to another can't be told apart.
func alike(res *sim.Result, first, last int) bool {
	all := res.Stints[first : last+1]
	for _, e := range StintEvents(res) {
		low, high := 0.0, 1.0
		for i := range all {
			c := StintChance(res, &all[i], e)
			low, high = max(low, c.Low), min(high, c.High)
		}
		if low > high {
			return false
		}
	}
	return math.Abs(all[len(all)-1].StartTemperature-all[0].StartTemperature) <= alikeHeat
}

// Clock writes how far an event has come as hours and minutes: "3:05".
func Clock(seconds float64) string {
	minutes := int64(math.Round(seconds / 60))
	return fmt.Sprintf("%d:%02d", minutes/60, minutes%60)
}

// StintRow is a run of stints as a table shows it.
type StintRow struct {
	Stints  string   // "1", "13-24"
	Times   string   // hours and minutes of the event: "0:00-0:55"
	Oil     string   // temperature at the start and at the end: "25→110"
	Chances []string // by event, in per cent; of more than one stint from the lowest to the highest end of their intervals
}

// StintRows are the rows of the table of stints. Chances stand with their intervals
// in brackets, or, where it is to be brief, for their intervals alone.
func StintRows(res *sim.Result, u units.System, brief bool) (list []StintRow) {
	heat := words.ColumnOf(units.Temperature, u)
	for _, run := range StintRuns(res) {
		first, last := &res.Stints[run.First], &res.Stints[run.Last]
		row := StintRow{
			Stints: fmt.Sprint(run.First + 1), Times: Clock(first.Start) + "-" + Clock(last.End),
			Oil: heat.Text(first.StartTemperature) + "→" + heat.Text(last.EndTemperature),
		}
		if run.Last > run.First {
			row.Stints += fmt.Sprintf("-%d", run.Last+1)
		}
		for _, e := range StintEvents(res) {
			row.Chances = append(row.Chances, chanceOfRun(res, run, e, brief))
		}
		list = append(list, row)
	}
	return list
}

// chanceOfRun writes the chance of an event in a stint, or in each of several: none
// reads none, never 0.
func chanceOfRun(res *sim.Result, run StintRun, e sim.Event, brief bool) string {
	c := StintChance(res, &res.Stints[run.First], e)
	h := c.HalfWidth()
	switch {
	case run.Last > run.First || brief:
		return intervalOfRun(res, run, e)
	case c.Events == 0:
		return "none (< " + words.Percent(c.High, c.High/2) + ")"
	case c.Events == c.Of:
		return "all (> " + words.Percent(c.Low, h) + ")"
	}
	return words.Percent(c.Probability, h) + " (" + words.Percent(c.Low, h) + " .. " + words.Percent(c.High, h) + ")"
}

// intervalOfRun reaches from the lowest to the highest end of the intervals of
// several stints.
func intervalOfRun(res *sim.Result, run StintRun, e sim.Event) string {
	low, high, seen, always, widest := 1.0, 0.0, false, true, 0.0
	for i := run.First; i <= run.Last; i++ {
		c := StintChance(res, &res.Stints[i], e)
		low, high = min(low, c.Low), max(high, c.High)
		seen, always = seen || c.Events > 0, always && c.Events == c.Of
		widest = max(widest, c.HalfWidth())
	}
	switch {
	case !seen:
		return "none (< " + words.Percent(high, high/2) + ")"
	case always:
		return "all (> " + words.Percent(low, widest) + ")"
	case low == 0:
		return "up to " + words.Percent(high, widest)
	}
	return words.Percent(low, widest) + " .. " + words.Percent(high, widest)
}

// stints is the table of stints; without rows where there are fewer than two.
func (r Run) stints() *table {
	t := r.stintTable(false)
	if t.natural() > Width {
		t = r.stintTable(true)
	}
	return t
}

var stintHeads = map[sim.Event]string{sim.Overflow: "overflow", sim.DrainChoked: "drain choked", sim.OverPressure: "over-pressure"}

func (r Run) stintTable(brief bool) *table {
	t := &table{
		heading: "In each stint and the stop after it, whatever happened before: the chance in % and its 95 % interval",
		head:    []string{"stint", "hours", "oil, " + words.ColumnOf(units.Temperature, r.Units).Unit.Symbol},
		words:   []int{0},
	}
	if brief {
		t.heading = "In each stint and the stop after it, whatever happened before: the 95 % interval of the chance, in %"
	}
	for _, e := range StintEvents(r.Result) {
		t.head = append(t.head, stintHeads[e])
	}
	if len(Stints(r.Result)) < 2 {
		return t
	}
	for _, row := range StintRows(r.Result, r.Units, brief) {
		t.add(append([]string{row.Stints, row.Times, row.Oil}, row.Chances...)...)
	}
	return t
}

// natural is how wide a table is without a cell broken.
func (t *table) natural() int {
	total := 0
	for _, w := range t.limits(1 << 20) {
		total += w + gap
	}
	return total - gap
}

// coldStart is how far below settled the oil must be at the start for its first
// stint to be told of, K; our choice.
const coldStart = 20.0

// FirstStint compares the first stint, where its oil starts well below settled,
// with the others; empty where it doesn't, or is the only one.
func FirstStint(res *sim.Result, u units.System) string {
	stints := Stints(res)
	if len(stints) < 2 {
		return ""
	}
	first, others := &stints[0], stints[1:]
	if first.StartTemperature > res.Scenario.Oil.Settled.Nominal()-coldStart {
		return ""
	}
	least, most := &others[0], &others[0]
	coldest := others[0].StartTemperature
	for i := range others {
		if others[i].Fails.Probability < least.Fails.Probability {
			least = &others[i]
		}
		if others[i].Fails.Probability > most.Fails.Probability {
			most = &others[i]
		}
		coldest = min(coldest, others[i].StartTemperature)
	}
	what := "the can overflows or its drain backs up"
	if res.Kind == sim.NoDrain {
		what = "the can overflows"
	}
	chance := func(s *sim.StintResult) words.Chance { return StintChance(res, s, sim.OverflowOrChoked) }
	heat := func(k float64) string { return words.Show(math.Round(k-273.15)+273.15, units.Temperature, u) }
	then := chance(least).Text()
	if to := chance(most); to.Text() != then {
		then += " to " + to.Text()
	}
	return fmt.Sprintf("In the first stint, with oil from %s and an empty can, %s in %s; in the others, from %s or warmer, in %s%s.",
		heat(first.StartTemperature), what, chance(first).Text(), heat(coldest), then, comparedWithFirst(first.Fails, least.Fails, most.Fails))
}

// comparedWithFirst says whether the first stint differs from all others for sure.
func comparedWithFirst(first, least, most stats.Estimate) string {
	switch {
	case first.Low > most.High:
		return ": the first is the worst"
	case first.High < least.Low:
		return ": the first is the best"
	}
	return ": the first can't be told from the others"
}

// StintsVary says what stints and stops of uncertain length do to the table; empty
// where their lengths are exact, or there are none.
func StintsVary(res *sim.Result) string {
	vary := slices.ContainsFunc(res.Scenario.Duty.Schedule, func(i scenarios.ScheduleItem) bool {
		return !i.Drive.IsExact() || !i.Stop.IsExact()
	})
	if !vary || len(res.Stints) == 0 {
		return ""
	}
	return "How long stints and stops take is drawn once an event, the same for all of its passes. Times are means over " +
		"the events that came to the stint; the event's end cuts the last ones short."
}
