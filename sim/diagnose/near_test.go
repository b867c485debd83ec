package diagnose

import (
	"context"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"sumpward/scenarios"
	"sumpward/sim/sampling"
)

// What is drawn near counts so that means stay: of 1, of a coordinate and of its square
// they are 1, 0 and 1, within 4 standard errors.
func TestNearLeavesMeans(t *testing.T) {
	n := near{mean: []float64{1.5, -0.5}, lower: mat.NewTriDense(2, mat.Lower, []float64{0.5, 0, 0.3, 0.4})}
	n.log = math.Log(0.5 * 0.4)
	luck := sampling.NewStream(3, sampling.InputKey("near"), 0)
	const cars = 40000
	sums, squares := make([]float64, 6), make([]float64, 6)
	moved := 0.0
	for range cars {
		z := []float64{luck.NormFloat64(), luck.NormFloat64()}
		count := math.Exp(n.draw(luck.Float64(), z, make([]float64, 2)))
		require.LessOrEqual(t, count, 1/farShare+1e-9)
		moved += z[0] / cars
		for k, v := range []float64{1, z[0], z[1], z[0] * z[0], z[1] * z[1], z[0] * z[1]} {
			sums[k] += count * v / cars
			squares[k] += square(count*v) / cars
		}
	}
	assert.InDelta(t, 0.75*1.5, moved, 0.02, "it is drawn elsewhere")
	for k, want := range []float64{1, 0, 0, 1, 1, 0} {
		assert.InDelta(t, want, sums[k], 4*math.Sqrt((squares[k]-square(sums[k]))/cars), "%d", k)
	}
}

// Chances from cars drawn near agree with those from many drawn plainly, within 4 of
// their errors, which are far smaller for as many cars.
func TestNearAgreesWithPlain(t *testing.T) {
	seen := []scenarios.Observation{
		{Kind: scenarios.Crankcase, Value: -1900, Error: 30, Load: 1},
		{Kind: scenarios.UTube, Value: 0.125, Error: 0.003, Load: 1, Fluid: "water"},
	}
	var o Options
	for _, f := range Faults() {
		if slices.Contains([]string{"nothing wrong", "worn rings", "breather shut"}, f.Name) {
			o.Faults = append(o.Faults, f)
		}
	}
	o.None = -1
	o.Checks = []Check{{Name: "none", Minutes: 1}}
	nearby, err := Diagnose(context.Background(), small(t), seen, o)
	require.NoError(t, err)
	o.Draws = 20000
	plain, err := Diagnose(context.Background(), small(t), seen, o)
	require.NoError(t, err)
	drawn := 0
	for f := range nearby.Bank.near {
		drawn += len(nearby.Bank.near[f])
	}
	require.Positive(t, drawn, "some are drawn near")
	for _, s := range nearby.Standings {
		for _, p := range plain.Standings {
			if p.Name() == s.Name() {
				t.Logf("%s: %.3f ± %.4f of %d (%.0f in effect), plainly %.3f ± %.4f of %d (%.0f)", s.Name(), s.Chance, s.Error,
					nearby.Bank.Draws[s.index], s.Draws, p.Chance, p.Error, o.Draws, p.Draws)
				assert.InDelta(t, p.Chance, s.Chance, 4*math.Hypot(p.Error, s.Error))
				assert.LessOrEqual(t, s.Error, 1.5*wantedError)
			}
		}
	}
}

// As many cars count as were asked for, or all where likelihoods tell little.
func TestFlattened(t *testing.T) {
	logs := make([]float64, 400)
	for i := range logs {
		logs[i] = -0.5 * float64(i)
	}
	logs[399] = math.Inf(-1)
	total, squares := 0.0, 0.0
	for _, w := range flattened(logs, 60) {
		total += w
		squares += w * w
	}
	assert.InDelta(t, 1, total, 1e-12)
	assert.InDelta(t, 60, 1/squares, 0.01)
	assert.Zero(t, flattened(logs, 60)[399])
	assert.InDelta(t, 1./100, flattened(make([]float64, 100), 60)[3], 1e-12)
	assert.Nil(t, flattened(logs[:50], 60))
}
