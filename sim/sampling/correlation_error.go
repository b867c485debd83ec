package sampling

import (
	"fmt"
	"slices"
	"strings"

	"gonum.org/v1/gonum/mat"
)

// CorrelationError says that rank correlations cannot hold together: no joint
// distribution has them.
type CorrelationError struct {
	Pairs []RankCorrelation // the smallest leading set that fails, as stated
	Unset [][2]int          // pairs among their inputs that are not stated and count as 0
	Scale float64           // multiplied by this (or less), all of Pairs can hold together
}

// Error describes the pairs by the indices of their inputs.
func (e *CorrelationError) Error() string {
	return e.Describe(func(i int) string { return fmt.Sprintf("input %d", i) })
}

// Describe is Error with the caller's names for the inputs.
func (e *CorrelationError) Describe(name func(input int) string) string {
	var b strings.Builder
	b.WriteString("correlations cannot hold together (their matrix is not positive definite): ")
	for i, p := range e.Pairs {
		if i > 0 {
			b.WriteString(", ")
		}
		fmt.Fprintf(&b, "%s with %s %g", name(p.I), name(p.J), p.Rank)
	}
	fmt.Fprintf(&b, "; multiply them by %.2f or less", e.Scale)
	for i, p := range e.Unset {
		if i == 0 {
			b.WriteString(", or state those left out, which count as 0: ")
		} else {
			b.WriteString(", ")
		}
		fmt.Fprintf(&b, "%s with %s", name(p[0]), name(p[1]))
	}
	return b.String()
}

// newCorrelationError finds the smallest leading part of a group that fails, and the
// scale, rounded down to a hundredth, at which it holds.
func newCorrelationError(group []int, pairs []RankCorrelation) *CorrelationError {
	holds := func(g []int, scale float64) bool {
		var chol mat.Cholesky
		return chol.Factorize(normalCorrelation(g, within(g, pairs), scale))
	}
	size := 2
	for size < len(group) && holds(group[:size], 1) {
		size++
	}
	group = group[:size]
	e := &CorrelationError{Pairs: within(group, pairs)}
	for percent := 99; percent >= 0; percent-- {
		if e.Scale = float64(percent) / 100; holds(group, e.Scale) {
			break
		}
	}
	for i, a := range group {
		for _, b := range group[i+1:] {
			if !slices.ContainsFunc(e.Pairs, func(p RankCorrelation) bool { return pairOf(p) == [2]int{a, b} }) {
				e.Unset = append(e.Unset, [2]int{a, b})
			}
		}
	}
	return e
}

// within returns the pairs that lie in a group.
func within(group []int, pairs []RankCorrelation) []RankCorrelation {
	var in []RankCorrelation
	for _, p := range pairs {
		if slices.Contains(group, p.I) && slices.Contains(group, p.J) {
			in = append(in, p)
		}
	}
	return in
}
