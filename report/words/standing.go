package words

import "sumpward/sim"

// Standing says how a chance stands to a limit; of two, the greater is the worse.
type Standing int

// The standings.
const (
	Within  Standing = iota // all of the interval is at or below the limit
	Unclear                 // the interval spans it
	Beyond                  // all of the interval is above it
)

// Text writes a standing where the limit is named: met, can't tell, not met.
func (s Standing) Text() string { return [...]string{"met", "can't tell", "not met"}[s] }

// StandingTo says how a chance stands to a limit, a fraction. What cannot occur is
// within any.
func (c Chance) StandingTo(limit float64) Standing {
	switch {
	case c.Impossible || c.High <= limit:
		return Within
	case c.Low > limit:
		return Beyond
	}
	return Unclear
}

// Governing returns the worst standing to a limit of risk of the chances that count
// against it (see SessionChances), and which of them has it: Fails, OverPressure or
// OilLost, of equals the first.
func Governing(chances [5]Chance, limit float64) (worst Standing, chance int) {
	worst, chance = chances[Fails].StandingTo(limit), Fails
	for _, i := range []int{OverPressure, OilLost} {
		if s := chances[i].StandingTo(limit); s > worst {
			worst, chance = s, i
		}
	}
	return worst, chance
}

// Besides are the places of the chances that have the worst standing to a limit of
// risk where overflow or a choked drain has not: OverPressure, OilLost, or both.
func Besides(chances [5]Chance, limit float64) []int {
	worst, _ := Governing(chances, limit)
	if chances[Fails].StandingTo(limit) == worst {
		return nil
	}
	var list []int
	for _, i := range []int{OverPressure, OilLost} {
		if chances[i].StandingTo(limit) == worst {
			list = append(list, i)
		}
	}
	return list
}

// SessionStanding is how the session of an index stands to a limit of risk: the worst
// standing of the chances that count.
func SessionStanding(res *sim.Result, session int, limit float64) Standing {
	worst, _ := Governing(SessionChances(res, &res.Sessions[session]), limit)
	return worst
}
