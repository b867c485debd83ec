package stats

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTangoIntervals(t *testing.T) {
	f, err := os.Open("testdata/paired_intervals.csv")
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 21)
	for _, row := range rows[1:] {
		v := make([]float64, 8)
		for i := range v {
			if i != 6 {
				v[i], err = strconv.ParseFloat(row[i], 64)
				require.NoError(t, err)
			}
		}
		got := Tango(PairedCounts{OnlyFirst: v[0], OnlySecond: v[1], Trials: v[2]}, v[3])
		assert.InDelta(t, v[4], got.Low, v[7], "%v", row)
		assert.InDelta(t, v[5], got.High, v[7], "%v", row)
	}
}

// The second route: the score by its definition, with the restricted likelihood
// maximized by searching, not by its closed form.
func scoreBySearch(c PairedCounts, d float64) float64 {
	logLikelihood := func(q float64) float64 {
		sum := 0.0
		for _, cell := range [][2]float64{{c.OnlyFirst, q}, {c.OnlySecond, q + d}, {c.Trials - c.OnlyFirst - c.OnlySecond, 1 - 2*q - d}} {
			if cell[0] > 0 {
				sum += cell[0] * math.Log(cell[1])
			}
		}
		return sum
	}
	low, high := math.Max(0, -d), (1-d)/2
	for range 200 { // by thirds: the logarithm of the likelihood is concave
		a, b := low+(high-low)/3, high-(high-low)/3
		if logLikelihood(a) < logLikelihood(b) {
			low = a
		} else {
			high = b
		}
	}
	q := (low + high) / 2
	return (c.OnlySecond - c.OnlyFirst - c.Trials*d) / math.Sqrt(c.Trials*(2*q+d-d*d))
}

// What defines the interval: at its ends the score is z. Searching finds q to the root
// of the machine's digits, the score to about its square.
func TestTangoDefinition(t *testing.T) {
	for _, level := range []float64{0.9, 0.95, 0.99, 0.9967} {
		z := normalQuantile(level)
		for _, c := range []PairedCounts{
			{1, 7, 21}, {7, 1, 21}, {86, 150, 1600}, {0, 8, 30}, {20, 20, 60}, {0, 0, 50}, {2, 12, 14}, {37.25, 112.5, 812.75}, {3, 1, 400000},
		} {
			i := Tango(c, level)
			assert.InDelta(t, z, c.Score(i.Low), 1e-6, "%v", c)
			assert.InDelta(t, -z, c.Score(i.High), 1e-6, "%v", c)
			assert.InDelta(t, z, scoreBySearch(c, i.Low), 1e-5, "%v", c)
			assert.InDelta(t, -z, scoreBySearch(c, i.High), 1e-5, "%v", c)
			assert.Greater(t, Tango(c, level+0.003).High, i.High)
			turned := Tango(c.turned(), level)
			assert.Equal(t, -i.Low, turned.High)
			assert.Equal(t, -i.High, turned.Low)
		}
	}
}

func TestTangoLimits(t *testing.T) {
	z := normalQuantile(0.95)
	for _, n := range []float64{1, 50, 4e5} {
		none := Tango(PairedCounts{Trials: n}, 0.95)
		assert.InEpsilon(t, z*z/(n+z*z), none.High, 1e-12, "none differs: Wilson's limit for none of n")
		assert.Equal(t, -none.High, none.Low)
		assert.Equal(t, 1.0, Tango(PairedCounts{OnlySecond: n, Trials: n}, 0.95).High)
		assert.Equal(t, -1.0, Tango(PairedCounts{OnlyFirst: n, Trials: n}, 0.95).Low)
	}
	assert.Equal(t, Interval{-1, 1}, Tango(PairedCounts{}, 0.95))
	for _, bad := range []PairedCounts{{-1, 2, 5}, {1, -2, 5}, {3, 3, 5}, {math.NaN(), 1, 5}, {1, 1, math.NaN()}} {
		assert.True(t, math.IsNaN(Tango(bad, 0.95).Low), "%v", bad)
	}
	assert.True(t, math.IsNaN(Tango(PairedCounts{1, 2, 5}, 1).High))
	assert.Zero(t, PairedCounts{3, 3, 50}.Score(0))
}

// It leaves out 0 exactly where McNemar's statistic is above z² (McNemar 1947,
// Psychometrika 12, 153-157).
func TestTangoIsMcNemarAtZero(t *testing.T) {
	z := normalQuantile(0.95)
	for first := range 40 {
		for second := range 40 {
			c := PairedCounts{float64(first), float64(second), 500}
			d := c.OnlySecond - c.OnlyFirst
			i := Tango(c, 0.95)
			assert.Equal(t, d*d > z*z*(c.OnlyFirst+c.OnlySecond), i.Low > 0 || i.High < 0, "%v", c)
		}
	}
}

// trinomial returns the chance of counts a and b of n with chances p and q.
func trinomial(a, b, n int, p, q float64) float64 {
	lg := func(k int) float64 { v, _ := math.Lgamma(float64(k + 1)); return v }
	term := func(k int, p float64) float64 {
		if k == 0 {
			return 0
		}
		return float64(k) * math.Log(p)
	}
	return math.Exp(lg(n) - lg(a) - lg(b) - lg(n-a-b) + term(a, p) + term(b, q) + term(n-a-b, 1-p-q))
}

// How often the interval holds the true difference for a handful of counts, summed
// over all outcomes of 500 independent trials: no sampling.
func TestTangoCoversSmallCounts(t *testing.T) {
	const n, most = 500, 45
	intervals := [most][most]Interval{}
	for a := range most {
		for b := range most {
			intervals[a][b] = Tango(PairedCounts{float64(a), float64(b), n}, 0.95)
		}
	}
	least, where, sum, cases := 1.0, [2]float64{}, 0.0, 0
	for _, first := range []float64{0, 0.1, 0.2, 0.5, 1, 2, 3, 5, 7, 10} { // expected counts
		for second := 0.1; second <= 15; second += 0.1 {
			covered := 0.0
			for a := range most {
				if first == 0 && a > 0 {
					break
				}
				for b := range most {
					if i := intervals[a][b]; i.Low <= (second-first)/n && (second-first)/n <= i.High {
						covered += trinomial(a, b, n, first/n, second/n)
					}
				}
			}
			sum += covered
			cases++
			if covered < least {
				least, where = covered, [2]float64{first, second}
			}
		}
	}
	t.Logf("covered on average in %.2f %%, at least in %.2f %% (expected counts %v)", 100*sum/float64(cases), 100*least, where)
	assert.Greater(t, sum/float64(cases), 0.95)
	assert.Greater(t, least, 0.93)
}
