package rare

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// formula is an event by a formula.
type formula struct {
	d int
	g func(z []float64) float64
}

func (f formula) Dimensions() int                        { return f.d }
func (f formula) Closeness(z []float64) (float64, error) { return f.g(z), nil }

func normalCDF(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// linear happens where the sum of d draws over √d is beta or more: Φ(-beta), whatever d.
func linear(d int, beta float64) formula {
	return formula{d, func(z []float64) float64 {
		sum := 0.0
		for _, x := range z {
			sum += x
		}
		return 1 + (sum/math.Sqrt(float64(d))-beta)/10
	}}
}

// Exact chances: the normal law's tail; tails of chi-squared and of sums of exponentials
// (gamma law), worked out to ten digits from their closed forms.
var known = []struct {
	name  string
	event formula
	exact float64
	runs  int
	n     int // realizations a level
}{
	{"linear, 2 draws, 3", linear(2, 3), 1.3498980316e-3, 60, 1000},
	{"linear, 100 draws, 3.5", linear(100, 3.5), 2.3262907904e-4, 50, 400},
	{"linear, 2 draws, 4", linear(2, 4), 3.1671241833e-5, 60, 1000},
	{"linear, 2 draws, 5", linear(2, 5), 2.8665157188e-7, 60, 1000},
	{"linear, 100 draws, 4.5", linear(100, 4.5), 3.3976731247e-6, 50, 250},
	{"either side, 3.5", formula{2, func(z []float64) float64 { return math.Abs(z[0]) / 3.5 }}, 4.6525815807e-4, 60, 1000},
	{"chi-squared, 10", formula{10, func(z []float64) float64 { return squares(z) / 35 }}, 1.2486525278e-4, 60, 1000},
	{"chi-squared, 100", formula{100, func(z []float64) float64 { return squares(z) / 160 }}, 1.3078397659e-4, 50, 250},
	{"sum of 10 exponentials", formula{10, func(z []float64) float64 { return exponentials(z) / 30 }}, 7.1217508628e-6, 60, 1000},
	{"sum of 100 exponentials", formula{100, func(z []float64) float64 { return exponentials(z) / 150 }}, 5.9245403355e-6, 50, 200},
}

func squares(z []float64) float64 {
	sum := 0.0
	for _, x := range z {
		sum += x * x
	}
	return sum
}

func exponentials(z []float64) float64 {
	sum := 0.0
	for _, x := range z {
		sum -= math.Log(normalCDF(-x))
	}
	return sum
}

// The mean of many repeats is the exact chance within 4 standard errors and the bias that
// is stated, 5 %.
func TestKnownChances(t *testing.T) {
	for _, x := range known {
		t.Run(x.name, func(t *testing.T) {
			t.Parallel()
			e := chanceOf(t, x.event, Options{Seed: 1, Repeats: x.runs, Realizations: x.n})
			error := e.Variation() / math.Sqrt(float64(x.runs)) * e.Probability
			assert.InDelta(t, x.exact, e.Probability, 4*error+0.05*x.exact, "variation %.2f", e.Variation())
			assert.Less(t, e.Variation(), 0.8*math.Sqrt(1000/float64(x.n)))
			assert.Empty(t, e.Warnings)
			assert.InDelta(t, wantedAccept, e.Accepted, 0.12)
		})
	}
}

func chanceOf(t *testing.T, event Event, o Options) *Estimate {
	t.Helper()
	e, err := Chance(context.Background(), func() Event { return event }, o)
	require.NoError(t, err)
	return e
}

// The 95 % intervals of ten repeats cover the exact chance about as often as they say.
func TestIntervalsCover(t *testing.T) {
	for _, x := range known[:2] {
		const runs = 40
		covered := 0
		for seed := range uint64(runs) {
			e := chanceOf(t, x.event, Options{Seed: 1000 + seed, Realizations: 300})
			if e.Low <= x.exact && x.exact <= e.High {
				covered++
			}
		}
		t.Logf("%s: %d of %d", x.name, covered, runs)
		assert.GreaterOrEqual(t, covered, 33, x.name) // fewer than 33 of 40 at 95 %: once in 1,400
	}
}
