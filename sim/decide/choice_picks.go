package decide

import "sumpward/scenarios"

// Measure is what a can is picked by: the least of it.
type Measure string

// The measures.
const (
	BySize  Measure = "usable volume" // m3, nominal
	ByMass  Measure = "mass"          // kg
	ByPrice Measure = "price"         // in the shelf's currency
)

// Of returns the measure of a can, and whether the shelf says it.
func (m Measure) Of(can *scenarios.Can) (float64, bool) {
	switch {
	case m == BySize:
		return can.UsableVolume.Nominal(), true
	case m == ByMass && can.Mass != nil:
		return can.Mass.Nominal(), true
	case m == ByPrice && can.Price != nil:
		return *can.Price, true
	}
	return 0, false
}

// By returns the pick by a measure, -1 for none.
func (p Picks) By(m Measure) int {
	switch m {
	case ByMass:
		return p.Lightest
	case ByPrice:
		return p.Cheapest
	}
	return p.Smallest
}

// pick finds the least of each measure among the options that meet the limit.
func (c *Choice) pick() {
	for _, p := range []struct {
		picks  *Picks
		byHand bool
	}{{&c.Picks, false}, {&c.ByHand, true}} {
		p.picks.Smallest = c.least(BySize, p.byHand)
		p.picks.Lightest = c.least(ByMass, p.byHand)
		p.picks.Cheapest = c.least(ByPrice, p.byHand)
	}
}

// least returns the option with the least of a measure that meets the limit, -1
// for none; of alike ones that with the lowest chance, then the first.
func (c *Choice) least(m Measure, byHand bool) int {
	best := -1
	for i := range c.Options {
		if c.Options[i].Standing == Meets && c.Options[i].Mounting.ByHand() == byHand && c.before(m, i, best) {
			best = i
		}
	}
	return best
}

// before reports whether option i goes before option j, -1 for none, by a measure.
func (c *Choice) before(m Measure, i, j int) bool {
	v, known := m.Of(c.can(i))
	if !known {
		return false
	}
	if j < 0 {
		return true
	}
	other, _ := m.Of(c.can(j))
	a, b := lastOf(c.Options[i].Result).Fails, lastOf(c.Options[j].Result).Fails
	return v < other || v == other && a.Probability < b.Probability
}

func (c *Choice) can(option int) *scenarios.Can {
	return &c.Shelf.Cans[c.Options[option].Mounting.Can]
}

// Better lists the options that can't be told, and would be picked by a measure
// before the one that was; all of them where none was.
func (c *Choice) Better(m Measure, byHand bool) []int {
	picks := c.Picks
	if byHand {
		picks = c.ByHand
	}
	var list []int
	for i := range c.Options {
		v, known := m.Of(c.can(i))
		if c.Options[i].Standing != Untold || c.Options[i].Mounting.ByHand() != byHand || !known {
			continue
		}
		if pick := picks.By(m); pick >= 0 {
			if other, _ := m.Of(c.can(pick)); v >= other {
				continue
			}
		}
		list = append(list, i)
	}
	return list
}
