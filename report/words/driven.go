package words

import (
	"math"
	"strconv"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
)

// Driven writes the session lengths of a scenario: sessions of their own, or with
// a schedule how far an event has come.
type Driven struct {
	event float64 // s; 0: there is no schedule
	units units.System
}

// DrivenBy says how session lengths are to be written.
func DrivenBy(s *scenarios.Scenario, u units.System) Driven {
	if len(s.Duty.Schedule) == 0 {
		return Driven{units: u}
	}
	return Driven{s.Duty.Event, u}
}

// Scheduled reports whether lengths are those of an event with a schedule.
func (d Driven) Scheduled() bool { return d.event > 0 }

// Length writes a length in s: "25 min", of an event "1 h".
func (d Driven) Length(seconds float64) string {
	switch hours := seconds / 3600; {
	case d.Scheduled() && hours >= 1 && hours == math.Trunc(hours):
		return strconv.FormatFloat(hours, 'f', 0, 64) + " h"
	case d.Scheduled():
		return Show(seconds, units.Time, d.units)
	}
	return Length(seconds, d.units)
}

// ends reports whether a length is that of the whole event; session lengths are
// told apart to half a second.
func (d Driven) ends(seconds float64) bool { return seconds > d.event-0.5 }

// Simulated names what is counted, and how far into it: "25 min sessions" and
// nothing; "4 h events" and nothing; "events" and " in the first 2 h".
func (d Driven) Simulated(seconds float64) (what, when string) {
	switch {
	case !d.Scheduled():
		return d.Length(seconds) + " sessions", ""
	case d.ends(seconds):
		return d.Length(seconds) + " events", ""
	}
	return "events", " in the first " + d.Length(seconds)
}

// Many is sessions, or events.
func (d Driven) Many() string {
	if d.Scheduled() {
		return "events"
	}
	return "sessions"
}

// One is session, or event.
func (d Driven) One() string {
	if d.Scheduled() {
		return "event"
	}
	return "session"
}

// Meets begins a sentence's clause about a limit: "a 25 min session meets", "an
// event of 4 h meets", "the first 2 h of an event meet".
func (d Driven) Meets(seconds float64) string {
	switch {
	case !d.Scheduled():
		return "a " + d.Length(seconds) + " session meets"
	case d.ends(seconds):
		return "an event of " + d.Length(seconds) + " meets"
	}
	meet := "meet"
	if d.Length(seconds) == "1 h" {
		meet = "meets"
	}
	return "the first " + d.Length(seconds) + " of an event " + meet
}

// UpTo names all that is no longer than a length: "sessions of up to 15 min meet",
// "the first 2 h of an event meet".
func (d Driven) UpTo(seconds float64) string {
	if !d.Scheduled() {
		return "sessions of up to " + d.Length(seconds) + " meet"
	}
	return d.Meets(seconds)
}
