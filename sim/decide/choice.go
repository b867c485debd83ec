package decide

import (
	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/stats"
)

// Standing says how the chances of a layout stand to the limit of risk.
type Standing string

// The standings.
const (
	Meets  Standing = "meets"         // by the whole of the interval
	Untold Standing = "can't tell"    // the interval spans the limit
	Breaks Standing = "does not meet" // by no part of the interval
)

// Choice is the cans on a shelf, each in the places of the bay where it fits.
type Choice struct {
	Scenario *scenarios.Scenario
	Shelf    *scenarios.Shelf
	Risk     float64   // limit of the chance
	Sessions []float64 // lengths, s, ascending
	Options  []Option  // by place, then can, then return; one for a can that doesn't fit

	Picks        // of the cans that drain back
	ByHand Picks // of those that are emptied by hand, after every session or less often

	Seed         uint64
	Sampling     string
	Realizations int // of each option at the least
	Most         int // of the options that were close to the limit
	Kept         []Kept
	Warnings     []string
}

// Picks are indices of [Choice.Options] that meet the limit at the longest
// session; -1 where none does, or the shelf doesn't say.
type Picks struct{ Smallest, Lightest, Cheapest int }

// Option is one can in one place, with one way for its oil.
type Option struct {
	Can, Place, Return string // names; Return is [ByHandName] for a can that is emptied by hand
	Mounting           scenarios.Mounting

	Fits     bool
	TooLarge scenarios.Excess // by how much it does not fit
	Problem  string           // why there can be no such layout; empty: there is

	Layout   Layout      // its name is "can, place, return"; no model unless it fits
	Result   *sim.Result // nil unless it fits
	Standing Standing    // at the longest session: of overflow or a choked drain, of over-pressure, of oil lost
	Emptying *Emptying   // nil unless it is emptied by hand
}

// ByHandName stands for a return where a can is emptied by hand.
const ByHandName = "emptied by hand"

// Emptying is how often a can without a drain must be emptied for the chance that
// it overflows to stay within the limit. It says nothing of over-pressure and of
// the oil that the sump loses within a session, which emptying doesn't mend.
type Emptying struct {
	Does     bool           // it can be kept within the limit so
	Sessions int            // after so many of the longest sessions; 0: within a session
	Every    float64        // s, within a session; 0: see Sessions
	Most     bool           // no more sessions were looked at
	Overflow stats.Estimate // between two emptyings, or in a session with emptyings within it
	Events   int64
	Of       int      // realizations
	Untold   bool     // the next rarer emptying can't be told
	Else     Standing // of over-pressure and oil lost, at the longest session
}

// Kept is what the scenario says of separator or drain and the shelf leaves open.
type Kept struct {
	Path     string
	Quantity *scenarios.Quantity // nil for a word
	Word     string
	Cans     []string // those that leave it open; empty: all
}
