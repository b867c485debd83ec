package decide_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sumpward/sim"
	"sumpward/sim/decide"
	"sumpward/sim/stats"
)

// ranked makes a comparison of layouts with chances of failing and half-widths of the
// ranking's intervals, by pair in the order of the layouts.
func ranked(chances, halfWidths []float64) *decide.Comparison {
	c := &decide.Comparison{Sessions: []float64{1500}, Layouts: make([]decide.Layout, len(chances))}
	for _, p := range chances {
		c.Results = append(c.Results, &sim.Result{Sessions: []sim.SessionResult{{Fails: stats.Estimate{Probability: p}}}})
	}
	i := 0
	for a := range chances {
		for b := a + 1; b < len(chances); b++ {
			d := chances[b] - chances[a]
			c.Pairs = append(c.Pairs, decide.Pair{A: a, B: b, Sessions: []decide.PairedSession{{
				Fails:        stats.PairedDifference{Difference: d, Low: d, High: d}, // tells anyway: not what the ranking rests on
				FailsRanking: stats.PairedDifference{Difference: d, Low: d - halfWidths[i], High: d + halfWidths[i]},
			}}})
			i++
		}
	}
	return c
}

func TestRanking(t *testing.T) {
	for _, row := range []struct {
		name       string
		chances    []float64
		halfWidths []float64 // 01 02 12, or 01 02 03 12 13 23
		want       [][]int
	}{
		{"all told apart, given worst first", []float64{0.3, 0.2, 0.1}, []float64{0.05, 0.05, 0.05}, [][]int{{2}, {1}, {0}}},
		{"none told apart", []float64{0.3, 0.2, 0.1}, []float64{0.5, 0.5, 0.5}, [][]int{{2, 1, 0}}},
		{"the worst told apart", []float64{0.12, 0.4, 0.1}, []float64{0.05, 0.05, 0.05}, [][]int{{2, 0}, {1}}},
		{"the best told apart", []float64{0.4, 0.1, 0.41}, []float64{0.05, 0.05, 0.05}, [][]int{{1}, {0, 2}}},
		{"best from worst alone: neighbours are not", []float64{0.1, 0.2, 0.3}, []float64{0.15, 0.15, 0.15}, [][]int{{0, 1, 2}}},
		{"neighbours told apart, best and worst not", []float64{0.1, 0.2, 0.3}, []float64{0.05, 0.5, 0.05}, [][]int{{0, 1, 2}}},
		{"two and two", []float64{0.1, 0.5, 0.11, 0.51}, []float64{0.05, 0.05, 0.05, 0.05, 0.05, 0.05}, [][]int{{0, 2}, {1, 3}}},
		{"one doubtful pair joins all that lie between", []float64{0.1, 0.2, 0.3, 0.9}, []float64{0.05, 0.3, 0.05, 0.05, 0.05, 0.05}, [][]int{{0, 1, 2}, {3}}},
		{"equal: in the order given", []float64{0.1, 0.1, 0.1}, []float64{0, 0, 0}, [][]int{{0, 1, 2}}},
	} {
		assert.Equal(t, row.want, ranked(row.chances, row.halfWidths).Ranking(0), row.name)
	}
	c := ranked([]float64{0.1, 0.2}, []float64{0.05})
	assert.Nil(t, c.Ranking(1))
	assert.Nil(t, c.Ranking(-1))
}

// On a ready-made scenario: the short fall is the trouble, so a lower return comes
// before a larger can.
func TestRankingOfARun(t *testing.T) {
	s := readyMade(t, "sealed-drain")
	c := compare(t, layoutsOf(t, s, variantOf(t, s, "larger can"), variantOf(t, s, "lower return")), sim.Options{Realizations: 1000})
	groups := c.Ranking(3)
	t.Logf("chances %.4f %.4f %.4f: %v", c.Results[0].Sessions[3].Fails, c.Results[1].Sessions[3].Fails, c.Results[2].Sessions[3].Fails, groups)
	assert.Equal(t, []int{2}, groups[0])
}
