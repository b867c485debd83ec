package decide

import "slices"

// Ranking returns groups of layouts, by index, from best to worst by the chance of
// overflow or a choked drain within a session, given by its index. Layouts of one group
// can't be told apart well enough to be ranked: a cut between two groups is only where
// every layout before it is told apart, at RankingLevel, from every layout after it. One
// group means that no ranking is supported; no group, that there is no such session.
// Within a group the order is the estimates'.
func (c *Comparison) Ranking(session int) [][]int {
	if session < 0 || session >= len(c.Sessions) {
		return nil
	}
	order := make([]int, len(c.Layouts))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch pa, pb := c.failing(a, session), c.failing(b, session); {
		case pa < pb:
			return -1
		case pa > pb:
			return 1
		}
		return 0
	})
	var groups [][]int
	from := 0
	for cut := 1; cut <= len(order); cut++ {
		if cut == len(order) || c.allWorse(order[:cut], order[cut:], session) {
			groups = append(groups, order[from:cut:cut])
			from = cut
		}
	}
	return groups
}

// failing returns the estimated chance that a layout fails within a session.
func (c *Comparison) failing(layout, session int) float64 {
	return c.Results[layout].Sessions[session].Fails.Probability
}

// allWorse reports whether each of the layouts after is told to fail more often than
// each of those before.
func (c *Comparison) allWorse(before, after []int, session int) bool {
	for _, a := range before {
		for _, b := range after {
			if c.Pair(a, b).Sessions[session].FailsRanking.Low <= 0 {
				return false
			}
		}
	}
	return true
}
