package page

import (
	"fmt"
	"math"

	"sumpward/report/words"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// leastBetweenLooks is the shortest time between two looks that a crew can hold to, s.
// Chosen, no published source.
const leastBetweenLooks = 600.0

// notFit says that the layout can't do the job, with the chances: within the event it
// surely does not meet the limit, and the first look would have to come before the
// shortest session asked for ends, or the next in less than 10 min. Nil where it is
// fit or that can't be told.
func (c Card) notFit() *cardAdvice {
	s := spellOf(c.Result.Sessions, c.limit(), failing)
	last := len(c.Result.Sessions) - 1
	if s.whole || !(c.Result.Sessions[last].Fails.Low > c.limit()) || s.every >= math.Max(leastBetweenLooks, c.shortest()) {
		return nil
	}
	why := "Backs up or goes over: "
	if c.Result.Kind == sim.NoDrain {
		why = "Goes over" + c.plan() + ": "
	}
	if at := c.atShortest(); at >= 0 && at < last {
		why += c.byThen(at, words.Fails) + ", "
	}
	why += fmt.Sprintf("%s; limit %s. Change the layout first: what stands below is no way to run it.",
		c.byThen(last, words.Fails), words.Show(c.limit(), units.Fraction, c.Units))
	return &cardAdvice{"Not fit for this event as it stands.", why}
}

// shortest is the shortest session asked for, s; that of the event where none is.
func (c Card) shortest() float64 {
	if c.Shortest > 0 {
		return math.Min(c.Shortest, c.event())
	}
	return c.event()
}

// atShortest is the index of the first session length of the card that is no shorter
// than the shortest asked for; -1 where there is none.
func (c Card) atShortest() int {
	for i := range c.Result.Sessions {
		if c.Result.Sessions[i].Length >= c.shortest()*(1-1e-9) {
			return i
		}
	}
	return -1
}
