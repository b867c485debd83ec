package decide

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/stats"
)

// EmptyingTable is the chance that a can without a drain overflows within the
// longest session, or the event, by how often it is emptied.
type EmptyingTable struct {
	Scenario     *scenarios.Scenario
	Length       float64 // s, of the session or the event
	Limit        float64
	Realizations int
	Rows         []EmptyingInterval // from the most often to once before the start; a way of the scenario's own whose interval is not known comes first
	Rarest       int                // index of the rarest emptying that meets the limit, as all that are more frequent do; -1: none
}

// EmptyingInterval is one way of emptying: by time, at stops, as the scenario says
// in a way of its own, or once before the start.
type EmptyingInterval struct {
	Every    float64 // s, from one to the next; 0: not by time
	Stops    int     // at every so many stops; 0: not by their count
	Own      bool    // at some stops of the schedule or of the lap, or after an uncertain time
	Written  bool    // as the scenario has it
	Overflow stats.Estimate
	Events   int64
	Standing Standing

	about float64 // s, from one to the next
	model *sim.Model
}

// Once reports whether the can is emptied before the start alone.
func (e *EmptyingInterval) Once() bool { return !e.Own && e.Every == 0 && e.Stops == 0 }

// Realizations behind each row: enough to hold a limit of 1 % for sure where a third
// of it happens; fewer where a realization is costly.
const (
	emptyingRealizations       = 2000
	emptyingRealizationsCostly = 1000
	mostEmptyings              = 7 // rows beside the one of once before
)

// emptyingTimes are the times between two emptyings that are tried, s. Our choice.
var emptyingTimes = []float64{300, 600, 900, 1200, 1800, 2700, 3600, 5400, 7200, 3 * 3600, 4 * 3600, 6 * 3600, 8 * 3600, 12 * 3600, 24 * 3600, 48 * 3600}

// emptyingStops are the numbers of stops that are tried.
var emptyingStops = []int{1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48, 64, 96, 128, 192, 256, 384}

// EmptyingIntervals works out how often a can without a drain must be emptied: on
// the draws of the options' seed, at every stop of the schedule, every second and so
// on, else after times that part the longest session, and once before it; and as
// the scenario has it, where that is none of these. 2,000 realizations of each are
// run, or 1,000 where one is costly, and no more than the options say. It is nil for
// a can that drains. When the context ends first it is the context's error.
func EmptyingIntervals(ctx context.Context, m *sim.Model, o sim.Options) (*EmptyingTable, error) {
	s := m.Scenario()
	if s.Drain.Return != scenarios.EmptiedByHand {
		return nil, nil
	}
	t := &EmptyingTable{Scenario: s, Length: s.Sessions[len(s.Sessions)-1], Limit: s.Limits.Risk.Nominal(), Rarest: -1}
	most := emptyingRealizations
	if costly(m.Nominal()) || long(m.Nominal(), t.Length) {
		most = emptyingRealizationsCostly
	}
	if o.Realizations <= 0 || o.Realizations > most {
		o.Realizations = most
	}
	o.SamplingError, o.Keep = 0, 0
	if err := t.lay(); err != nil {
		return nil, err
	}
	var models []*sim.Model
	for i := range t.Rows {
		models = append(models, t.Rows[i].model)
	}
	results, err := sim.Together(ctx, models, o, nil)
	if err != nil {
		return nil, err
	}
	for i, res := range results {
		row := &t.Rows[i]
		last := lastOf(res)
		row.Overflow, row.Events, row.Standing = last.Overflow, last.Events.Overflow, (&Choice{Risk: t.Limit}).Stands(last.Overflow)
		t.Realizations = res.Realizations
	}
	for i := range t.Rows {
		if t.Rows[i].about == 0 { // it stands in no order
			continue
		}
		if t.Rows[i].Standing != Meets {
			break
		}
		t.Rarest = i
	}
	return t, nil
}

// lay makes the rows, each with its model.
func (t *EmptyingTable) lay() error {
	d := &t.Scenario.Duty
	if stops := stopsOf(d); stops > 0 {
		list := filter(emptyingStops, func(n int) bool { return n <= stops })
		for _, n := range list[:min(len(list), mostEmptyings)] {
			t.Rows = append(t.Rows, EmptyingInterval{Stops: n, about: d.Event * float64(n) / float64(stops+1)})
		}
	} else {
		for _, every := range spreadOut(filter(emptyingTimes, func(every float64) bool { return every < t.Length })) {
			t.Rows = append(t.Rows, EmptyingInterval{Every: every, about: every})
		}
	}
	t.Rows = append(t.Rows, EmptyingInterval{about: t.Length})
	for i := range t.Rows {
		if err := t.Rows[i].bind(t); err != nil {
			return err
		}
	}
	return t.written()
}

// spreadOut leaves so many of a list that there are not too many, both ends among
// them.
func spreadOut(list []float64) []float64 {
	if len(list) <= mostEmptyings {
		return list
	}
	var kept []float64
	for i := range mostEmptyings {
		kept = append(kept, list[(i*(len(list)-1)+(mostEmptyings-1)/2)/(mostEmptyings-1)])
	}
	return kept
}

// bind makes the model of a row; what the schedule itself says of emptying is taken
// out.
func (e *EmptyingInterval) bind(t *EmptyingTable) error {
	how := "every session"
	switch {
	case e.Stops > 0:
		how = fmt.Sprintf("every %d stops", e.Stops)
	case e.Every > 0:
		how = fmt.Sprintf("every %g s", e.Every)
	}
	changes := []scenarios.Change{{Path: "sessions", Value: lengthsList([]float64{t.Length})}}
	if !e.Own {
		changes = append(changes, scenarios.Change{Path: "drain.emptied", Value: how})
		for i, item := range t.Scenario.Duty.Schedule {
			if item.Emptied {
				changes = append(changes, scenarios.Change{Path: fmt.Sprintf("duty.schedule.%d.can", i+1)})
			}
		}
	}
	s, err := t.Scenario.With(changes...)
	if err != nil {
		return err
	}
	e.model, err = sim.NewModel(s)
	return err
}

// written marks the row that is what the scenario has, or adds it.
func (t *EmptyingTable) written() error {
	own, d := t.Scenario.Drain.Emptied, &t.Scenario.Duty
	stops := stopsOf(d)
	row := EmptyingInterval{Written: true}
	switch {
	case slices.ContainsFunc(d.Schedule, func(i scenarios.ScheduleItem) bool { return i.Emptied }):
		row.Own = true
	case own.AtStops && stops > 0:
		row.Stops = max(own.Nth, 1)
		row.about = d.Event * float64(row.Stops) / float64(stops+1)
	case own.AtStops: // of the engine, in a lap
		row.Own = true
	case own.Every != nil:
		row.Every, row.Own = own.Every.Nominal(), !own.Every.IsExact()
		row.about = row.Every
	}
	if row.Stops > stops || row.Every >= t.Length && !row.Own { // not within it
		row.Stops, row.Every = 0, 0
	}
	for i := range t.Rows {
		if at := &t.Rows[i]; !row.Own && at.Stops == row.Stops && at.Every == row.Every {
			at.Written = true
			return nil
		}
	}
	if err := row.bind(t); err != nil {
		return err
	}
	t.Rows = append(t.Rows, row)
	slices.SortStableFunc(t.Rows, func(a, b EmptyingInterval) int { return cmp.Compare(a.about, b.about) })
	return nil
}

// stopsOf counts the stops of an event at nominal durations, those after which it
// goes on.
func stopsOf(d *scenarios.Duty) int {
	pass := 0.0
	for _, i := range d.Schedule {
		pass += i.Drive.Nominal() + i.Stop.Nominal()
	}
	if !(pass > 0) {
		return 0
	}
	n := 0
	for at := 0.0; at < d.Event*(1-1e-9); {
		for _, i := range d.Schedule {
			at += i.Drive.Nominal() + i.Stop.Nominal()
			if i.Stop != nil && at < d.Event*(1-1e-9) {
				n++
			}
		}
	}
	return n
}
