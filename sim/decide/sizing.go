package decide

import (
	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/stats"
)

// Cell is what one layout comes to within one session length.
type Cell struct {
	Fails, Overflow, DrainChoked stats.Estimate
	Events                       sim.Events
	Realizations                 int
	Problem                      string // why there can be no such layout; empty: there is
}

// Table holds chances over two axes.
type Table struct {
	Rows, Columns Axis
	Session       float64  // s, that all cells are for; 0 where an axis is the session length
	Cells         [][]Cell // by row, then column
}

// Threshold is where along an input the chance of overflow or a choked drain
// comes down to the limit of risk.
type Threshold struct {
	Path      string
	Session   float64 // s
	Found     bool
	Value     float64 // the threshold itself; NaN unless Found
	Low, High float64 // its interval: from Low on it may do, from High on it does for sure; +Inf where none searched does for sure
	Buy       float64 // High, rounded up to what can be bought or made; NaN where High is +Inf
	From, To  float64 // what was searched
	Least     bool    // From does already
	Start     Cell    // at From
	End       Cell    // at To
}

// Sizing is what size finds.
type Sizing struct {
	Scenario     *scenarios.Scenario
	Kind         sim.DrainKind
	Risk         float64 // limit of the chance
	Seed         uint64
	Sampling     string
	Present      *sim.Result // the layout as written
	Volumes      *Table      // usable volume by session length
	Drains       *Table      // fall by bore, at the longest session; nil without a drain
	Volume       []Threshold // the smallest usable volume, by session length
	Fall         []Threshold // the least fall, by session length; empty without a drain
	Realizations int         // behind the thresholds
	Warnings     []string
}

// Trouble says what keeps a layout from meeting the limit.
type Trouble string

// The troubles.
const (
	NoTrouble  Trouble = "none"       // it meets the limit as it stands
	CanTrouble Trouble = "can"        // a larger can does, more fall doesn't
	Drain      Trouble = "drain"      // more fall does, a larger can doesn't
	Either     Trouble = "either"     // each of the two does
	Both       Trouble = "both"       // neither does alone
	Unresolved Trouble = "unresolved" // too few realizations to tell
)
