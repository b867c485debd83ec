package page

import (
	"fmt"
	"slices"

	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/stats"
)

func failing(s sim.SessionResult) stats.Estimate   { return s.Fails }
func losing(s sim.SessionResult) stats.Estimate    { return s.OilLost }
func goingOver(s sim.SessionResult) stats.Estimate { return s.Overflow }

// chance writes one chance of one session length, with its interval.
func (c Card) chance(session, which int) string {
	return words.SessionChances(c.Result, &c.Result.Sessions[session])[which].WithInterval()
}

// byThen writes a chance by the end of one session length.
func (c Card) byThen(session, which int) string {
	return fmt.Sprintf("by %s %s", c.time(c.Result.Sessions[session].Length), c.chance(session, which))
}

// around writes a chance where it last meets the limit and where it first does
// not.
func (c Card) around(s spell, which int) string {
	text := c.byThen(0, which)
	if s.last >= 0 {
		text = c.byThen(s.last, which)
	}
	if s.last >= 0 && !s.whole {
		text += ", " + c.byThen(s.last+1, which)
	}
	return fmt.Sprintf("%s; limit %s.", text, words.Show(c.limit(), units.Fraction, c.Units))
}

// tooFew reports whether nothing happened and yet the interval is wider than the
// limit.
func (c Card) tooFew(s spell, which int) bool {
	x := words.SessionChances(c.Result, &c.Result.Sessions[0])[which]
	return s.last < 0 && x.Events == 0
}

// look says when to look at the level.
func (c Card) look() cardAdvice {
	if !c.drains() {
		return cardAdvice{"Look at the can's level at every stop, before you empty it.",
			"It fills all the time: what you read tells how fast. Fuller than planned is the first sign of more oil coming over."}
	}
	s := spellOf(c.Result.Sessions, c.limit(), failing)
	what := "Backs up or goes over: "
	switch {
	case s.whole:
		return cardAdvice{"Look at the can's level at every stop. It is not expected to back up within this event.", what + c.around(s, words.Fails)}
	case s.every > 0:
		return cardAdvice{fmt.Sprintf("Look at the can's level at the first stop, by %s at the latest, and again every %s.", c.time(s.every), c.time(s.every)),
			what + c.around(s, words.Fails) + " From an empty can, oil cold; to look again after the same time is our choice."}
	case c.tooFew(s, words.Fails):
		return cardAdvice{"Look at the can's level at every stop: how long it meets the limit can't be told.", what + c.around(s, words.Fails) + " Run more realizations."}
	}
	return cardAdvice{"Look at the can's level at every stop. No time between looks meets the limit: change the layout first.", what + c.around(s, words.Fails)}
}

// lookAtTheEngine says when to look at the engine's own oil, where more may be
// lost within the event than is allowed.
func (c Card) lookAtTheEngine() []cardAdvice {
	s := spellOf(c.Result.Sessions, c.limit(), losing)
	if s.whole || c.tooFew(s, words.OilLost) {
		return nil
	}
	oil := words.Show(c.Result.Scenario.Limits.OilLost.Nominal(), units.Volume, c.Units)
	do := "Look at the engine's oil level at every stop."
	if s.every > 0 {
		do = fmt.Sprintf("Look at the engine's oil level by %s at the latest.", c.time(s.every))
	}
	return []cardAdvice{{do, "More than " + oil + " lost: " + c.around(s, words.OilLost)}}
}

// empty says when to empty the can.
func (c Card) empty() cardAdvice {
	s := spellOf(c.Result.Sessions, c.limit(), goingOver)
	why := "Goes over" + c.plan() + ": " + c.around(s, words.Overflow)
	if c.drains() {
		return c.emptyBesideADrain(s, why)
	}
	emptied := c.Result.Scenario.Drain.Emptied
	planned := emptied.AtStops || emptied.Every != nil || c.emptiedBySchedule()
	switch {
	case s.whole && planned:
		return cardAdvice{"Empty the can" + c.plan() + ".", why}
	case s.whole:
		return cardAdvice{"Empty the can before the event. It is not expected to go over within it.", why}
	case planned:
		return cardAdvice{"Empty the can more often than" + c.plan() + ": that does not meet the limit.", why}
	case s.every > 0:
		return cardAdvice{fmt.Sprintf("Empty the can at every stop, at the latest after %s.", c.time(s.every)), why}
	case c.tooFew(s, words.Overflow):
		return cardAdvice{"Empty the can at every stop: how long it meets the limit can't be told.", why + " Run more realizations."}
	}
	return cardAdvice{"Empty the can at every stop. No time between meets the limit: change the layout first.", why}
}

func (c Card) emptyBesideADrain(s spell, why string) cardAdvice {
	act, because := c.actLevel()
	do := fmt.Sprintf("Empty the can when it stands at %s or more", c.level(act))
	switch {
	case s.whole:
		return cardAdvice{do + ". It is not expected to go over within this event.", why + " " + because}
	case s.every > 0:
		return cardAdvice{fmt.Sprintf("%s, and where you can't look at it, after %s at the latest.", do, c.time(s.every)), why + " " + because}
	case c.tooFew(s, words.Overflow):
		return cardAdvice{do + ". How long that meets the limit can't be told.", why + " Run more realizations. " + because}
	}
	return cardAdvice{do + ". No time between meets the limit: change the layout first.", why + " " + because}
}

// plan says how a can without a drain is emptied in the scenario.
func (c Card) plan() string {
	e := c.Result.Scenario.Drain.Emptied
	switch {
	case c.drains():
		return ""
	case e.AtStops && e.Nth > 1:
		return fmt.Sprintf(" at every %d stops, as planned", e.Nth)
	case e.AtStops:
		return " at every stop, as planned"
	case e.Every != nil:
		return " every " + words.Notation(e.Every, c.Units) + ", as planned"
	}
	if c.emptiedBySchedule() {
		return " at the stops that the schedule says, as planned"
	}
	return ", emptied once before"
}

func (c Card) emptiedBySchedule() bool {
	return slices.ContainsFunc(c.Result.Scenario.Duty.Schedule, func(i scenarios.ScheduleItem) bool { return i.Emptied })
}

// stop lists what must not wait.
func (c Card) stop() []cardAdvice {
	last := len(c.Result.Sessions) - 1
	l := c.Result.Scenario.Limits
	pressure, oil := words.Show(l.CrankcasePressure.Nominal(), units.Pressure, c.Units), words.Show(l.OilLost.Nominal(), units.Volume, c.Units)
	list := []cardAdvice{
		{"Oil on the ground, on a tyre or near the exhaust; smoke.", "Off the racing line first. Oil goes over " + c.to() + " from a full can: " + c.byThen(last, words.Overflow) + "."},
		{"Crankcase pressure above " + pressure + ": a gauge says so, or a lifted dipstick, or oil at seals.", "Over-pressure: " + c.byThen(last, words.OverPressure) + "."},
		{"Oil in the engine below its minimum, or oil pressure that drops in corners.", "More than " + oil + " lost: " + c.byThen(last, words.OilLost) + "."},
	}
	if c.Result.Scenario.Drain.Return == scenarios.BelowOil {
		list[2].Why += " Below the oil, a low level also uncovers the return."
	}
	return list
}
