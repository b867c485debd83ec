package uncertainty

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTruncateReportsTheShareCutOff(t *testing.T) {
	laws := everyLaw(t)
	inf := math.Inf(1)
	cases := []struct {
		name      string
		law       Distribution
		low, high float64
		cut       float64
	}{
		// Shares of the standard normal law: exact mathematics, 1 and 2
		// standard deviations (0.158655254, 0.022750132).
		{"one side", laws["normal"], 110 - 18, inf, 0.15865525393145707},
		{"both sides", laws["normal"], 110 - 18, 110 + 36, 0.15865525393145707 + 0.02275013194817921},
		{"far outside nothing is lost", laws["normal"], -1e6, 1e6, 0},
		{"log-normal below the median", laws["log-normal"], 0, 0.4, 0.5},
		{"log-normal at 0", laws["log-normal"], 0, inf, 0},
		{"uniform inside", laws["uniform"], -100, 100, 0},
		{"beta inside", laws["beta"], 0, 1, 0},
		{"what is left is what the share refers to", laws["normal upper tail"], 250, 250.1,
			1 - (normalCDF(-140.0/18)-normalCDF(-140.1/18))/normalCDF(-140.0/18)},
	}
	for _, c := range cases {
		d, cut, err := c.law.Truncate(c.low, c.high)
		require.NoError(t, err, c.name)
		assert.InDelta(t, c.cut, cut, 1e-14, c.name)
		assert.GreaterOrEqual(t, d.Quantile(1e-12), c.low, c.name)
		assert.LessOrEqual(t, d.Quantile(1-1e-12), c.high, c.name)
	}
	// Far out the share is exact too, not lost in 1 - 1.
	_, cut, err := laws["normal"].Truncate(110-8*18, inf)
	require.NoError(t, err)
	assert.InEpsilon(t, 6.22096057427178e-16, cut, 1e-12, "Φ(-8), from memory to 15 digits")
}

// A cut in two steps is the cut in one.
func TestTruncateTwice(t *testing.T) {
	for name, d := range everyLaw(t) {
		low, high := d.Quantile(0.2), d.Quantile(0.9)
		once, cut, err := d.between(low, high)
		require.NoError(t, err, name)
		assert.InDelta(t, 0.3, cut, 1e-9, name)
		half, first, err := d.between(low, math.Inf(1))
		require.NoError(t, err, name)
		twice, second, err := half.between(math.Inf(-1), high)
		require.NoError(t, err, name)
		assert.InDelta(t, cut, 1-(1-first)*(1-second), 1e-12, name)
		for _, u := range []float64{0.01, 0.5, 0.99} {
			assert.InEpsilon(t, 1+once.Quantile(u), 1+twice.Quantile(u), 1e-12, "%s at %g", name, u)
		}
	}
}

// The mean of a cut law is the average of its quantiles. Tolerance: the
// midpoint rule with 2e4 cells, up to 4e-5 of the spread where the law has
// a long tail.
func TestMeanIsTheAverageOfQuantiles(t *testing.T) {
	for name, d := range everyLaw(t) {
		const n = 20_000
		sum := 0.0
		for i := range n {
			sum += d.Quantile((float64(i) + 0.5) / n)
		}
		low, high := d.Range()
		assert.InDelta(t, sum/n, d.Mean(), 5e-5*(high-low), name)
	}
}

// Closed forms (exact mathematics).
func TestMeanClosedForms(t *testing.T) {
	half, err := Normal(0, 2)
	must(t, half, err)
	half, _, err = half.Truncate(0, math.Inf(1))
	must(t, half, err)
	assert.InEpsilon(t, 2*math.Sqrt(2/math.Pi), half.Mean(), 1e-14, "half-normal law: σ sqrt(2/π)")
	laws := everyLaw(t)
	s := math.Log(1.4)
	assert.InEpsilon(t, 0.4*math.Exp(s*s/2), laws["log-normal"].Mean(), 1e-14, "median exp(s²/2)")
	assert.InEpsilon(t, (90.0+110+150)/3, laws["triangular"].Mean(), 1e-14)
	assert.InEpsilon(t, 0.05+0.3*2/7, laws["beta"].Mean(), 1e-14, "α/(α+β) of the width")
	assert.Equal(t, 25.0, laws["uniform cut"].Mean())
	falling, _, err := laws["falling"].between(0.5, 1)
	must(t, falling, err)
	assert.InEpsilon(t, 0.5+0.5/3, falling.Mean(), 1e-14, "a smaller triangle")
}

func TestTruncateErrors(t *testing.T) {
	laws := everyLaw(t)
	table, err := Table([]float64{1, 2}, nil)
	must(t, table, err)
	cases := []struct {
		name      string
		law       Distribution
		low, high float64
		what      string
		value     float64
	}{
		{"exact", Exact(-1), 0, 1, "value", -1},
		{"low end of a uniform law", laws["uniform"], -99, 200, "low end", -100},
		{"high end of a uniform law", laws["uniform"], -100, 99, "high end", 100},
		{"end of a triangular law", laws["triangular"], 0, 149, "high end", 150},
		{"end of a beta law", laws["beta"], 0.06, 1, "low end", 0.05},
		{"nothing left of a normal law", laws["normal"], 1e5, 2e5, "all of it", 110},
		{"nothing left of a table", table, 3, 4, "all of it", 1},
		{"limits in the wrong order", laws["normal"], 2, 1, "no value", math.NaN()},
	}
	for _, c := range cases {
		_, _, err := c.law.Truncate(c.low, c.high)
		var limit *LimitError
		require.ErrorAs(t, err, &limit, c.name)
		assert.Equal(t, c.what, limit.What, c.name)
		assert.Equal(t, c.low, limit.Low, c.name)
		assert.Equal(t, c.high, limit.High, c.name)
		if !math.IsNaN(c.value) {
			assert.Equal(t, c.value, limit.Value, c.name)
		}
	}
	assert.EqualError(t, &LimitError{What: "low end", Value: -1, Low: 0, High: 1},
		"low end is outside the limits (got -1, allowed 0 to 1, in SI units)")
}

// A unit conversion that rounds doesn't put an end outside, and what can be
// drawn stays inside all the same.
func TestTruncateForgivesRounding(t *testing.T) {
	above := math.Nextafter(math.Nextafter(1, 2), 2)
	d, err := Uniform(0.5, above)
	must(t, d, err)
	d, cut, err := d.Truncate(0, 1)
	require.NoError(t, err)
	assert.Zero(t, cut)
	assert.Equal(t, 1.0, d.High)
	v, _, err := Exact(above).Truncate(0, 1)
	require.NoError(t, err)
	assert.Equal(t, 1.0, v.Nominal())
	_, _, err = Exact(1+1e-9).Truncate(0, 1)
	require.Error(t, err)
}

func TestTruncateTable(t *testing.T) {
	d, err := Table([]float64{-1, 0, 1, 2}, []float64{1, 2, 3, 4})
	must(t, d, err)
	d, cut, err := d.Truncate(0, 1)
	require.NoError(t, err)
	assert.InDelta(t, 0.5, cut, 1e-15)
	assert.Equal(t, []float64{0, 1}, d.Values)
	assert.InDelta(t, 0.6, d.Mean(), 1e-15)
	assert.InDelta(t, 0.4, d.CDF(0.5), 1e-15)
}

func TestNominalAndRange(t *testing.T) {
	laws := everyLaw(t)
	cases := map[string][3]float64{ // nominal, low, high
		"normal":         {110, 110 - 18*1.959963984540054, 110 + 18*1.959963984540054},
		"uniform":        {0, -100, 100},
		"uniform cut":    {25, 0, 50},
		"triangular":     {110, 90, 150},
		"triangular cut": {110, 95, 140},
		"log-normal":     {0.4, 0.4 / math.Pow(1.4, 1.959963984540054), 0.4 * math.Pow(1.4, 1.959963984540054)},
		"bath":           {0.5, 0, 1},
		"beta cut":       {laws["beta cut"].Quantile(0.5), 0.1, 0.2},
	}
	for name, want := range cases {
		low, high := laws[name].Range()
		assert.InDelta(t, want[0], laws[name].Nominal(), 1e-12, name)
		assert.InDelta(t, want[1], low, 1e-12, name)
		assert.InDelta(t, want[2], high, 1e-12, name)
	}
	assert.Equal(t, 250.0, laws["normal upper tail"].Nominal(), "kept inside the bounds")
	low, high := laws["normal cut"].Range()
	assert.Greater(t, low, 100.0, "the 2.5 % quantile of what is left")
	assert.InDelta(t, 0.025, laws["normal cut"].CDF(low), 1e-12)
	assert.InDelta(t, 0.975, laws["normal cut"].CDF(high), 1e-12)
	low, high = Exact(7).Range()
	assert.Equal(t, [2]float64{7, 7}, [2]float64{low, high})
}

func TestMinimumSpread(t *testing.T) {
	wide := Exact(0.35).WithMinimumSpread(0.1)
	assert.Equal(t, NormalLaw, wide.Kind)
	assert.Equal(t, [2]float64{0.35, 0.1}, [2]float64{wide.A, wide.B})
	narrow, err := Normal(0.35, 0.08)
	must(t, narrow, err)
	assert.Equal(t, 0.1, narrow.WithMinimumSpread(0.1).B)
	assert.Equal(t, 0.08, narrow.WithMinimumSpread(0.05).B)
	cut, _, err := narrow.Truncate(0.3, 0.4)
	must(t, cut, err)
	cut = cut.WithMinimumSpread(0.1)
	assert.Equal(t, [3]float64{0.1, 0.3, 0.4}, [3]float64{cut.B, cut.Low, cut.High}, "bounds stay")
	assert.InDelta(t, 0.5, cut.CDF(0.35), 1e-12)
	assert.Equal(t, Exact(1), Exact(1).WithMinimumSpread(0))
	assert.Equal(t, Exact(1), Exact(1).WithMinimumSpread(math.NaN()))
	for name, d := range everyLaw(t) {
		if d.Kind != NormalLaw {
			assert.Equal(t, d, d.WithMinimumSpread(1), name)
		}
	}
}

func TestConstructorErrors(t *testing.T) {
	inf, nan := math.Inf(1), math.NaN()
	build := func(_ Distribution, err error) error { return err }
	for name, err := range map[string]error{
		"negative sd":         build(Normal(1, -1)),
		"sd not finite":       build(Normal(1, inf)),
		"mean not finite":     build(Normal(nan, 1)),
		"low above high":      build(Uniform(2, 1)),
		"no width":            build(Uniform(1, 1)),
		"too wide":            build(Uniform(-1.5e308, 1.5e308)),
		"mode outside":        build(Triangular(1, 3, 2)),
		"mode not a number":   build(Triangular(1, nan, 2)),
		"median 0":            build(LogNormal(0, 2)),
		"gsd below 1":         build(LogNormal(1, 0.9)),
		"gsd too large":       build(LogNormal(1, 1001)),
		"shape 0":             build(Beta(0, 1, 0, 1)),
		"shape not a number":  build(Beta(1, nan, 0, 1)),
		"shape too large":     build(Beta(1, 2e4, 0, 1)),
		"from above to":       build(Beta(1, 1, 1, 0)),
		"empty table":         build(Table(nil, nil)),
		"weights too few":     build(Table([]float64{1, 2}, []float64{1})),
		"weight negative":     build(Table([]float64{1, 2}, []float64{2, -1})),
		"no weight":           build(Table([]float64{1, 2}, []float64{0, 0})),
		"value not finite":    build(Table([]float64{1, inf}, nil)),
		"weights overflowing": build(Table([]float64{1, 2}, []float64{1e308, 1e308})),
	} {
		assert.Error(t, err, name)
	}
	for name, d := range map[string]Distribution{
		"normal without spread":     must(t, first(Normal(2, 0)), nil),
		"log-normal without spread": must(t, first(LogNormal(2, 1)), nil),
	} {
		assert.Equal(t, Exact(2), d, name)
		assert.True(t, d.IsExact(), name)
	}
	single := first(Table([]float64{4}, nil))
	assert.True(t, single.IsExact())
	assert.False(t, first(Uniform(0, 1)).IsExact())
}

func first(d Distribution, _ error) Distribution { return d }
