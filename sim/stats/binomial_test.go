package stats

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mathext"
)

// The table's seven digits were computed elsewhere (scipy: root search and beta quantiles
// agree); published values, to the digits printed, stand beside them.
func TestBinomialIntervals(t *testing.T) {
	f, err := os.Open("testdata/binomial_intervals.csv")
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 31)
	for _, row := range rows[1:] {
		method, source := row[0], row[6]
		v := make([]float64, 5)
		for i := range v {
			v[i], err = strconv.ParseFloat(row[i+1], 64)
			require.NoError(t, err)
		}
		k, n, level, low, high := v[0], v[1], v[2], v[3], v[4]
		tolerance, err := strconv.ParseFloat(row[7], 64)
		require.NoError(t, err)
		got := Wilson(k, n, level)
		if method == "exact" {
			got = ClopperPearson(k, n, level)
		}
		assert.InDelta(t, low, got.Low, tolerance, "%v (%s)", row, source)
		assert.InDelta(t, high, got.High, tolerance, "%v (%s)", row, source)
	}
}

func TestZeroEventsUpper(t *testing.T) {
	assert.InDelta(t, 0.0295130, ZeroEventsUpper(100, 0.95), 6e-8)
	assert.InDelta(t, 0.0029912, ZeroEventsUpper(1000, 0.95), 6e-8)
	assert.Equal(t, 1.0, ZeroEventsUpper(0, 0.95))
}

func TestBinomialLimits(t *testing.T) {
	for name, interval := range map[string]func(k, n, level float64) Interval{"Wilson": Wilson, "exact": ClopperPearson} {
		assert.Equal(t, Interval{0, 1}, interval(0, 0, 0.95), name)
		assert.Zero(t, interval(0, 50, 0.95).Low, name)
		assert.Equal(t, 1.0, interval(50, 50, 0.95).High, name)
		for _, n := range []float64{1, 7, 500, 1e6} {
			for _, k := range []float64{0, 1, math.Floor(n / 3), n - 1, n} {
				a, b := interval(k, n, 0.95), interval(n-k, n, 0.95)
				assert.InDelta(t, a.Low, 1-b.High, 1e-12, "%s %v of %v: events and non-events swap", name, k, n)
				assert.LessOrEqual(t, a.Low, k/n)
				assert.GreaterOrEqual(t, a.High, k/n)
				wider := interval(k, n, 0.99)
				assert.LessOrEqual(t, wider.Low, a.Low)
				assert.GreaterOrEqual(t, wider.High, a.High)
			}
		}
		for _, bad := range [][3]float64{{-1, 5, 0.95}, {6, 5, 0.95}, {math.NaN(), 5, 0.95}, {1, 5, 0}, {1, 5, 1}} {
			assert.True(t, math.IsNaN(interval(bad[0], bad[1], bad[2]).Low), "%s %v", name, bad)
		}
	}
}

// What defines the exact interval: at its ends the observed count, or one further out,
// has a chance of exactly half of what the level leaves.
func TestClopperPearsonDefinition(t *testing.T) {
	for _, n := range []float64{5, 60, 5000, 1e6} {
		for _, k := range []float64{1, 2, math.Floor(n / 2), n - 1} {
			i := ClopperPearson(k, n, 0.95)
			atLeast := func(p float64) float64 { return mathext.RegIncBeta(k, n-k+1, p) }    // P(X >= k)
			atMost := func(p float64) float64 { return 1 - mathext.RegIncBeta(k+1, n-k, p) } // P(X <= k)
			assert.InDelta(t, 0.025, atLeast(i.Low), 1e-9, "%v of %v", k, n)
			assert.InDelta(t, 0.025, atMost(i.High), 1e-9, "%v of %v", k, n)
		}
	}
}
