package uncertainty

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// must returns the distribution of a constructor.
func must(t testing.TB, d Distribution, err error) Distribution {
	t.Helper()
	require.NoError(t, err)
	return d
}

func TestQuantileAndMeanAgainstTable(t *testing.T) {
	file, err := os.Open("testdata/quantiles.csv")
	require.NoError(t, err)
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 150)
	for _, row := range rows[1:] {
		v := numbers(t, row[1:])
		d := fromRow(t, row[0], v)
		u, want, mean := v[7], v[8], v[9]
		spread := d.Quantile(0.975) - d.Quantile(0.025)
		scale := math.Max(math.Abs(want), spread)
		tolerance := 1e-9 * scale
		if u > 0.999 {
			tolerance = 1e-7 * scale
		}
		assert.InDelta(t, want, d.Quantile(u), tolerance, "quantile of %v", row)
		assert.InDelta(t, mean, d.Mean(), 1e-9*math.Max(math.Abs(mean), spread), "mean of %v", row)
	}
}

// numbers reads the columns; an empty one is 0.
func numbers(t *testing.T, row []string) []float64 {
	t.Helper()
	v := make([]float64, len(row))
	for i, text := range row {
		if text == "" {
			continue
		}
		var err error
		v[i], err = strconv.ParseFloat(text, 64)
		require.NoError(t, err)
	}
	return v
}

// fromRow builds the law of a row a, b, c, from, to, low, high, and cuts it.
func fromRow(t *testing.T, name string, v []float64) Distribution {
	t.Helper()
	var d Distribution
	var err error
	switch name {
	case "normal":
		d, err = Normal(v[0], v[1])
	case "log-normal":
		d, err = LogNormal(v[0], v[1])
	case "triangular":
		d, err = Triangular(v[0], v[1], v[2])
	case "beta":
		d, err = Beta(v[0], v[1], v[3], v[4])
	default:
		t.Fatalf("unknown law %q", name)
	}
	require.NoError(t, err)
	cut, _, err := d.between(v[5], v[6])
	return must(t, cut, err)
}

// laws of every kind, cut and uncut.
func everyLaw(t testing.TB) map[string]Distribution {
	t.Helper()
	cut := func(d Distribution, low, high float64) Distribution {
		c, _, err := d.between(low, high)
		return must(t, c, err)
	}
	normal, err := Normal(110, 18)
	must(t, normal, err)
	uniform, err := Uniform(-100, 100)
	must(t, uniform, err)
	triangular, err := Triangular(90, 110, 150)
	must(t, triangular, err)
	rising, err := Triangular(0, 1, 1)
	must(t, rising, err)
	falling, err := Triangular(0, 0, 1)
	must(t, falling, err)
	logNormal, err := LogNormal(0.4, 1.4)
	must(t, logNormal, err)
	beta, err := Beta(2, 5, 0.05, 0.35)
	must(t, beta, err)
	bath, err := Beta(0.5, 0.5, 0, 1)
	must(t, bath, err)
	return map[string]Distribution{
		"normal": normal, "normal cut": cut(normal, 100, 120), "normal upper tail": cut(normal, 250, math.Inf(1)),
		"normal lower tail": cut(normal, math.Inf(-1), -30),
		"uniform":           uniform, "uniform cut": cut(uniform, 0, 50),
		"triangular": triangular, "triangular cut": cut(triangular, 95, 140), "rising": rising, "falling": falling,
		"triangular right of the mode": cut(triangular, 120, 145), "triangular left of the mode": cut(triangular, 92, 100),
		"log-normal": logNormal, "log-normal cut": cut(logNormal, 0.2, 0.6),
		"log-normal upper tail": cut(logNormal, 6, math.Inf(1)), "log-normal lower tail": cut(logNormal, 0, 0.03),
		"beta": beta, "beta cut": cut(beta, 0.1, 0.2), "bath": bath,
	}
}

// The CDF undoes the quantile. Tolerance: 1e-9 of the share, as asked of the
// body; in the upper tail 1-u is known to 1e-16 only.
func TestCDFUndoesQuantile(t *testing.T) {
	for name, d := range everyLaw(t) {
		for i := 1; i < 2000; i++ {
			u := float64(i) / 2000
			assert.InDelta(t, u, d.CDF(d.Quantile(u)), 1e-9*math.Min(u, 1-u), "%s at %g", name, u)
		}
	}
}

func TestQuantileIsOrderedAndFiniteFarOut(t *testing.T) {
	shares := []float64{1e-300, 1e-100, 1e-15, 1e-12, 1e-9, 1e-6, 0.001, 0.1, 0.5, 0.9, 0.999, 1 - 1e-6, 1 - 1e-9, 1 - 1e-12, 1 - 1e-15}
	for name, d := range everyLaw(t) {
		before := math.Inf(-1)
		for _, u := range shares {
			x := d.Quantile(u)
			assert.False(t, math.IsInf(x, 0) || math.IsNaN(x), "%s at %g: %g", name, u, x)
			assert.GreaterOrEqual(t, x, before, "%s at %g", name, u)
			assert.GreaterOrEqual(t, x, d.Low, name)
			assert.LessOrEqual(t, x, d.High, name)
			before = x
		}
	}
}

// Exact mathematics: quantiles and shares that have a closed form.
func TestQuantileExactValues(t *testing.T) {
	laws := everyLaw(t)
	assert.InEpsilon(t, 110+18*1.959963984540054, laws["normal"].Quantile(0.975), 1e-15, "normal, 97.5 %% point from memory")
	assert.InDelta(t, 110.0, laws["normal"].Quantile(0.5), 1e-13)
	assert.Equal(t, -50.0, laws["uniform"].Quantile(0.25))
	assert.InDelta(t, 0.3, laws["falling"].Quantile(1-0.49), 1e-15, "1 - sqrt(1-u)")
	assert.InDelta(t, 0.7, laws["rising"].Quantile(0.49), 1e-15, "sqrt(u)")
	assert.InEpsilon(t, 0.4, laws["log-normal"].Quantile(0.5), 1e-15)
	assert.InEpsilon(t, 0.4*1.4, laws["log-normal"].Quantile(0.8413447460685429), 1e-13, "one geometric standard deviation up")
	assert.InDelta(t, square(math.Sin(math.Pi*0.3/2)), laws["bath"].Quantile(0.3), 1e-14, "arcsine law")
	assert.InDelta(t, 0.5, mustBeta(t, 7, 7).Quantile(0.5), 2e-15, "symmetric")
	assert.InEpsilon(t, math.Pow(1e-9, 0.25), mustBeta(t, 4, 1).Quantile(1e-9), 1e-13, "u^(1/alpha)")
}

func mustBeta(t *testing.T, alpha, beta float64) Distribution {
	t.Helper()
	d, err := Beta(alpha, beta, 0, 1)
	return must(t, d, err)
}

// A beta law far from where the library's inverse is good, against the CDF.
func TestBetaQuantileOverShapes(t *testing.T) {
	for _, alpha := range []float64{0.1, 0.5, 1, 2, 5, 20, 300, 1e4} {
		for _, beta := range []float64{1, 2, 5, 20, 300, 1e4} {
			d := mustBeta(t, alpha, beta)
			for _, u := range []float64{1e-12, 1e-9, 1e-4, 0.3, 0.5, 0.7} {
				assert.InEpsilon(t, u, d.CDF(d.Quantile(u)), 1e-9, "shape %g, %g at %g", alpha, beta, u)
			}
		}
	}
}

func TestQuantileAtTheEnds(t *testing.T) {
	laws := everyLaw(t)
	assert.True(t, math.IsInf(laws["normal"].Quantile(0), -1))
	assert.True(t, math.IsInf(laws["normal"].Quantile(1), 1))
	assert.Equal(t, 100.0, laws["normal cut"].Quantile(0))
	assert.Equal(t, 120.0, laws["normal cut"].Quantile(1))
	assert.True(t, math.IsNaN(laws["normal"].Quantile(math.NaN())))
	assert.True(t, math.IsNaN(laws["normal"].CDF(math.NaN())))
	assert.Equal(t, 3.0, Exact(3).Quantile(0.2))
	assert.Equal(t, 0.0, Exact(3).CDF(2.9))
	assert.Equal(t, 1.0, Exact(3).CDF(3))
	assert.Equal(t, 0.0, Distribution{}.Quantile(0.3), "the zero value is exactly 0")
}

func TestTableQuantiles(t *testing.T) {
	d, err := Table([]float64{30, 10, 20, 99}, []float64{1, 2, 1, 0})
	must(t, d, err)
	assert.Equal(t, []float64{10, 20, 30}, d.Values, "sorted, without the value of no weight")
	assert.Equal(t, []float64{0.5, 0.25, 0.25}, d.Weights)
	for u, want := range map[float64]float64{0.01: 10, 0.5: 10, 0.51: 20, 0.75: 20, 0.76: 30, 0.999: 30} {
		assert.Equal(t, want, d.Quantile(u), "at %g", u)
	}
	for x, want := range map[float64]float64{9: 0, 10: 0.5, 15: 0.5, 20: 0.75, 29: 0.75, 30: 1} {
		assert.Equal(t, want, d.CDF(x), "at %g", x)
	}
	assert.Equal(t, 17.5, d.Mean())
	equal, err := Table([]float64{1, 2, 3, 4}, nil)
	must(t, equal, err)
	assert.Equal(t, []float64{0.25, 0.25, 0.25, 0.25}, equal.Weights)
}

func TestQuantileDoesNotAllocate(t *testing.T) {
	laws := everyLaw(t)
	table, err := Table([]float64{1, 2, 3}, nil)
	laws["table"] = must(t, table, err)
	for name, d := range laws {
		sum := 0.0
		assert.Zero(t, testing.AllocsPerRun(100, func() { sum += d.Quantile(0.37) + d.Quantile(0.93) }), name)
	}
}

func BenchmarkQuantile(b *testing.B) {
	laws := everyLaw(b)
	for _, name := range []string{"uniform", "triangular", "normal", "normal cut", "log-normal", "beta"} {
		d := laws[name]
		b.Run("law="+name, func(b *testing.B) {
			b.ReportAllocs()
			u := 0.0
			for b.Loop() {
				u += 0.618033988749895
				if u >= 1 {
					u--
				}
				d.Quantile(u)
			}
		})
	}
}
