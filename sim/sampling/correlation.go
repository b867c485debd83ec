package sampling

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/mathext"
)

// RankCorrelation is a wanted rank correlation (Spearman) between the inputs with
// the indices I and J, above -1 and below 1.
type RankCorrelation struct {
	I, J int
	Rank float64
}

// Copula is a Gaussian copula: it turns independent uniform coordinates into
// rank-correlated ones whose marginals are still uniform,
//
//	u_j ← Φ(Σ_k L_jk Φ⁻¹(u_k)),  L Lᵀ = R,  R_ij = 2 sin(π r_ij / 6),
//
// r the rank correlations, 0 where none is stated. L is the Cholesky factor in the
// order of the inputs: of each group of connected inputs the one with the lowest
// index keeps its draws, and inputs in no pair keep theirs.
//
// A correlated coordinate of a Latin hypercube is a mixture of stratified ones, so
// it is itself no longer stratified exactly.
//
// Source: Pearson 1907 for R (from memory); Nataf 1962 for the transformation (from
// memory).
type Copula struct {
	rows []mixture // from the highest target down, so that sources are still unchanged
}

// mixture is the row of L for one input whose draws change.
type mixture struct {
	target  int
	sources []int // ascending; the target is the last
	weights []float64
}

// NewCopula returns the copula of n inputs with the given rank correlations. It
// fails when a pair is not one of two different inputs of the n, is stated twice or
// lies outside (-1, 1), and, with a *CorrelationError, when correlations cannot hold
// together.
func NewCopula(n int, pairs []RankCorrelation) (*Copula, error) {
	if err := checkPairs(n, pairs); err != nil {
		return nil, err
	}
	c := &Copula{}
	for _, group := range connected(n, pairs) {
		var chol mat.Cholesky
		if !chol.Factorize(normalCorrelation(group, pairs, 1)) {
			return nil, newCorrelationError(group, pairs)
		}
		var l mat.TriDense
		chol.LTo(&l)
		c.addRows(group, &l)
	}
	slices.SortFunc(c.rows, func(a, b mixture) int { return b.target - a.target })
	return c, nil
}

// Apply correlates a block in place: u[i][j] is the coordinate of input i in its
// j-th realization. Only columns that are correlated with a lower one change. All
// columns concerned have the same length. It allocates nothing.
func (c *Copula) Apply(u [][]float64) {
	for _, row := range c.rows {
		for j := range u[row.target] {
			z := 0.0
			for s, k := range row.sources {
				z += row.weights[s] * mathext.NormalQuantile(u[k][j])
			}
			u[row.target][j] = openNormalCDF(z)
		}
	}
}

// ApplyPoint correlates one realization in place: u[i] is the coordinate of input i.
// It gives the same numbers as Apply.
func (c *Copula) ApplyPoint(u []float64) {
	for _, row := range c.rows {
		z := 0.0
		for s, k := range row.sources {
			z += row.weights[s] * mathext.NormalQuantile(u[k])
		}
		u[row.target] = openNormalCDF(z)
	}
}

// addRows takes over the rows of the Cholesky factor l that change something.
func (c *Copula) addRows(group []int, l *mat.TriDense) {
	for j, target := range group {
		row := mixture{target: target}
		for k := 0; k <= j; k++ {
			if w := l.At(j, k); w != 0 {
				row.sources = append(row.sources, group[k])
				row.weights = append(row.weights, w)
			}
		}
		if len(row.sources) > 1 {
			c.rows = append(c.rows, row)
		}
	}
}

// openNormalCDF returns the standard normal distribution function at z, kept inside
// the open interval (0, 1).
func openNormalCDF(z float64) float64 {
	p := 0.5 * math.Erfc(-z/math.Sqrt2)
	return min(max(p, 0x1p-53), 1-0x1p-53)
}

func checkPairs(n int, pairs []RankCorrelation) error {
	seen := map[[2]int]bool{}
	for _, p := range pairs {
		switch {
		case p.I < 0 || p.I >= n || p.J < 0 || p.J >= n:
			return fmt.Errorf("correlation between inputs %d and %d: there are inputs 0 to %d only", p.I, p.J, n-1)
		case p.I == p.J:
			return fmt.Errorf("correlation of input %d with itself: name two different inputs", p.I)
		case !(math.Abs(p.Rank) < 1):
			return fmt.Errorf("correlation between inputs %d and %d: rank %g is not between -1 and 1; use at most 0.999, or make one input of the two", p.I, p.J, p.Rank)
		case seen[pairOf(p)]:
			return fmt.Errorf("correlation between inputs %d and %d is stated twice: keep one", p.I, p.J)
		}
		seen[pairOf(p)] = true
	}
	return nil
}

func pairOf(p RankCorrelation) [2]int { return [2]int{min(p.I, p.J), max(p.I, p.J)} }

// connected returns the groups of two or more inputs that pairs tie together, each
// in ascending order.
func connected(n int, pairs []RankCorrelation) [][]int {
	label := make([]int, n)
	for i := range label {
		label[i] = i
	}
	for _, p := range pairs {
		from, to := label[p.I], label[p.J]
		for i := range label {
			if label[i] == from {
				label[i] = to
			}
		}
	}
	members := map[int][]int{}
	for i, l := range label {
		members[l] = append(members[l], i)
	}
	var groups [][]int
	for i, l := range label {
		if g := members[l]; g[0] == i && len(g) > 1 {
			groups = append(groups, g)
		}
	}
	return groups
}

// normalCorrelation returns the correlation matrix of the normals behind a group,
// the rank correlations multiplied by scale.
func normalCorrelation(group []int, pairs []RankCorrelation, scale float64) *mat.SymDense {
	r := mat.NewSymDense(len(group), nil)
	for i := range group {
		r.SetSym(i, i, 1)
	}
	for _, p := range pairs {
		i, ok := slices.BinarySearch(group, p.I)
		if j, _ := slices.BinarySearch(group, p.J); ok {
			r.SetSym(i, j, 2*math.Sin(math.Pi*scale*p.Rank/6))
		}
	}
	return r
}
