package scenarios

import (
	"fmt"
	"math"
	"slices"

	"sumpward/scenarios/units"
)

const mostScheduleItems = 500

// schedule binds stints and stops, the length of the event and slow laps.
func (b *binder) schedule(d *Duty) {
	const at, event = "duty.schedule", "duty.event"
	if b.has("duty.slow_laps") && !b.values["duty.slow_laps"].bad {
		d.SlowLaps = b.slowLaps()
	}
	v := b.values[at]
	switch {
	case v == nil:
		if !b.told(at) {
			b.unused("there is no schedule", event)
		}
		return
	case v.bad:
		return
	case len(b.elements[at]) > mostScheduleItems:
		b.problem(v.line, at, fmt.Sprintf("too many (got %d, allowed 1 to %d)", len(b.elements[at]), mostScheduleItems), "it is driven again and again until the event ends")
		return
	}
	for _, path := range b.elements[at] {
		d.Schedule = append(d.Schedule, b.scheduleItem(path))
	}
	if !slices.ContainsFunc(d.Schedule, func(i ScheduleItem) bool { return i.Drive != nil }) {
		b.problem(v.line, at, "missing: at least one stint", "write: - {drive: 55 min}")
	}
	if b.has(event) {
		d.Event = b.exactly(event)
		return
	}
	if d.Event = d.oncePass(); d.Event > longestSession {
		b.problem(v.line, at, fmt.Sprintf("once through takes longer than an event may (got %s, allowed up to 100 h)", units.Format(d.Event, units.Time, units.Metric)), "write: event: 24 h")
		return
	}
	b.rule(event, "once through the schedule: "+units.Format(d.Event, units.Time, units.Metric), byDesign)
}

func (b *binder) scheduleItem(path string) ScheduleItem {
	drive, stop := path+".drive", path+".stop"
	i := ScheduleItem{}
	switch {
	case b.conflict(drive, stop, "each is an item of its own"):
	case b.has(drive):
		i.Drive = b.given(drive)
		b.unused("it belongs to a stop", path+".engine", path+".can", path+".oil")
	case b.has(stop):
		i.Stop = b.given(stop)
		i.EngineRuns = b.word(path+".engine") == "running"
		i.Emptied = b.word(path+".can") == "emptied"
		i.ToppedUp = b.word(path+".oil") == "topped_up"
	default:
		b.absent(drive, "an item is a stint (drive) or a stop", "write: - {drive: 55 min}, or: - {stop: 6 min}")
	}
	return i
}

func (b *binder) slowLaps() *SlowLaps {
	const slow = "duty.slow_laps."
	return &SlowLaps{
		Chance: b.required(slow+"chance", "the chance that a stint has them"),
		For:    b.quantity(slow + "for"),
		Spread: b.quantity(slow + "spread"),
		Load:   b.quantity(slow + "load"),
	}
}

// oncePass is how long the schedule takes at nominal durations, s.
func (d Duty) oncePass() (sum float64) {
	for _, i := range d.Schedule {
		sum += i.Drive.Nominal() + i.Stop.Nominal()
	}
	return sum
}

// stopsInEvent counts the stops of the schedule until the event ends, at nominal
// durations.
func (d Duty) stopsInEvent() int {
	pass := d.oncePass()
	if !(pass > 0) {
		return 0
	}
	perPass, last := 0, 0
	whole := math.Floor(d.Event / pass * (1 + 1e-12))
	at := whole * pass
	for _, i := range d.Schedule {
		if i.Stop != nil {
			perPass++
			if at < d.Event*(1-1e-9) {
				last++
			}
		}
		at += i.Drive.Nominal() + i.Stop.Nominal()
	}
	return int(whole)*perPass + last
}

// sameTime is within which two session lengths are one, s.
const sameTime = 0.5

// sessionsOfEvent returns session lengths up to the event's end, at most fifty:
// every hour, every quarter of an hour in an event of up to an hour, every two
// hours in one of more than two days.
func sessionsOfEvent(event float64) (list []float64, step string) {
	each, step := 3600.0, "every full hour"
	switch {
	case event <= 3600:
		each, step = 900, "every quarter of an hour"
	case event > 48*3600:
		each, step = 7200, "every two hours"
	}
	for i := 1; float64(i)*each < event-sameTime; i++ {
		list = append(list, float64(i)*each)
	}
	return append(list, event), step
}

// eventSessions binds the session lengths of an event with a schedule.
func (b *binder) eventSessions() {
	event := b.s.Duty.Event
	length := units.Format(event, units.Time, units.Metric)
	v := b.values["sessions"]
	if v == nil {
		list, step := sessionsOfEvent(event)
		b.s.Sessions = list
		b.rule("sessions", step+" up to the event's end, "+length, byDesign)
		return
	}
	b.s.Sessions = append(b.s.Sessions, v.times...)
	end := false
	for _, t := range v.times {
		end = end || math.Abs(t-event) <= sameTime
		if t > event+sameTime {
			b.problem(v.line, v.path, fmt.Sprintf("longer than the event (got %s, allowed up to %s)", units.Format(t, units.Time, units.Metric), length),
				"leave it out, or write under duty: event: "+units.Format(t, units.Time, units.Metric))
		}
	}
	if !end && !v.bad {
		b.s.Sessions = append(b.s.Sessions, event)
		b.rule("sessions", "as stated, and the event's end, "+length, byDesign)
	}
}
