package decide

import (
	"sumpward/sim"
	"sumpward/sim/stats"
)

// AsItWas is the name of the variant that is the car before fitting.
const AsItWas = "as it was"

// Layout is one of the layouts compared.
type Layout struct {
	Name  string // of the variant, or of the file; "as written" for a file's own layout
	Model *sim.Model
}

// Comparison is several layouts on the same draws. SI units; chances are shares of 1.
type Comparison struct {
	Layouts      []Layout      // whose models have the sessions below, and those only
	Results      []*sim.Result // by layout; their sessions are those below
	Sessions     []float64     // lengths that all layouts share, s, ascending
	Pairs        []Pair        // each two layouts, A before B, in the order of the layouts
	Realizations int
	Level        float64 // confidence of each interval
	RankingLevel float64 // confidence of each interval that the ranking rests on, Level for all pairs together
}

// Pair is what sets layout B apart from layout A: positive where B has more.
type Pair struct {
	A, B     int                  // indices of the layouts
	Sessions []PairedSession      // by session length
	Pressure stats.MeanDifference // Pa, highest crankcase pressure of a realization within the longest session
}

// PairedSession is the difference of two layouts within one session length. Each
// layout is held to the limits of its own scenario.
type PairedSession struct {
	Overflow     stats.PairedDifference
	DrainChoked  stats.PairedDifference // exactly 0 where both cans are emptied by hand
	OverPressure stats.PairedDifference
	OilLost      stats.PairedDifference
	Fails        stats.PairedDifference // overflow or a choked drain
	FailsRanking stats.PairedDifference // the same at RankingLevel
	OilToIntake  stats.MeanDifference   // m3
}

// Pair returns the difference of layout b from layout a, turned round where it was
// taken the other way; one without sessions where there is no such pair.
func (c *Comparison) Pair(a, b int) Pair {
	for _, p := range c.Pairs {
		switch {
		case p.A == a && p.B == b:
			return p
		case p.A == b && p.B == a:
			return p.turned()
		}
	}
	return Pair{A: a, B: b}
}

// turned returns what sets A apart from B.
func (p Pair) turned() Pair {
	t := Pair{A: p.B, B: p.A, Pressure: p.Pressure.Turned()}
	for _, s := range p.Sessions {
		t.Sessions = append(t.Sessions, PairedSession{
			Overflow: s.Overflow.Turned(), DrainChoked: s.DrainChoked.Turned(),
			OverPressure: s.OverPressure.Turned(), OilLost: s.OilLost.Turned(),
			Fails: s.Fails.Turned(), FailsRanking: s.FailsRanking.Turned(),
			OilToIntake: s.OilToIntake.Turned(),
		})
	}
	return t
}
