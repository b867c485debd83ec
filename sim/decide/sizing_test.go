package decide_test

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mathext"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
	"sumpward/sim/internal/still"
)

// sealed is a can emptied by hand that fills at a rate drawn once a realization,
// on a day on which nothing else moves.
var sealed = still.Written("0.1 g/s", "0.1 x/ 1.8221188 g/s", "[20 min]", "[10 min, 20 min]")

// density of that oil at 90 °C, kg/m3 (ASTM D1250, 822.237).
const density = 822.237

// volumeAt is the volume in m3 that a sealed can under log-normal carry-over needs
// for a risk in a session,
//
//	V = T m exp(σ Φ⁻¹(1-risk)) / ρ,
//
// with the median rate m = 0.1 g/s and σ = 0.6. Exact mathematics.
func volumeAt(risk, session float64) float64 {
	return session * 1e-4 * math.Exp(0.6*mathext.NormalQuantile(1-risk)) / density
}

func TestSmallestCanIsTheClosedFormQuantile(t *testing.T) {
	s := still.Read(t, sealed, scenarios.Change{Path: "limits.risk", Value: "1 %"})
	z, err := decide.Size(context.Background(), s, decide.SizeOptions{})
	require.NoError(t, err)
	require.Len(t, z.Volume, 2)
	assert.Nil(t, z.Fall)
	assert.Nil(t, z.Drains)
	for i, v := range z.Volume {
		want := volumeAt(0.01, z.Sessions[i])
		t.Logf("%4.0f s: exact %.5g m3, found %.5g (%.5g to %.5g)", v.Session, want, v.Value, v.Low, v.High)
		assert.True(t, v.Found)
		assert.False(t, v.Least)
		assert.LessOrEqual(t, v.Low, want)
		assert.GreaterOrEqual(t, v.High, want)
		assert.InEpsilon(t, want, v.Value, 0.02)
		assert.Less(t, v.High-v.Low, 0.15*want)
		assert.GreaterOrEqual(t, v.Buy, v.High)
		assert.Zero(t, v.Contrary)
	}
	require.NotNil(t, z.TakenCan)
	assert.InDelta(t, z.Volume[1].Buy, z.TakenCan.Scenario.Separator.UsableVolume.Nominal(), 1e-12)
	for i, row := range z.Volumes.Cells {
		for j, c := range row {
			want := 1 - mathext.NormalQuantile(0.5) - normal(math.Log(z.Volumes.Rows.Values[i]*density/1e-4/z.Sessions[j])/0.6)
			assert.InDelta(t, want, c.Fails.Probability, 4*math.Sqrt(want*(1-want)/float64(c.Realizations))+1e-9)
			assert.Equal(t, int64(5_000), c.Realizations)
		}
	}
}

func normal(x float64) float64 { return 0.5 * math.Erfc(-x/math.Sqrt2) }

// The interval of the smallest volume covers the exact one in 95 % of 120 repeats,
// by either design, within four standard errors of such a share.
func TestIntervalOfTheSmallestCanCovers(t *testing.T) {
	if testing.Short() {
		t.Skip("many repeats")
	}
	s := still.Read(t, sealed, scenarios.Change{Path: "limits.risk", Value: "5 %"}, scenarios.Change{Path: "sessions", Value: "[10 min]"})
	const repeats = 120
	want := volumeAt(0.05, 600)
	for _, sampling := range []string{"random", "latin-hypercube"} {
		covered, repeats, n := 0, uint64(repeats), 400
		if sampling != "random" {
			repeats /= 3 // its intervals only must not be too narrow
			n = 750      // more than a block
		}
		for seed := range repeats {
			z, err := decide.Size(context.Background(), s, decide.SizeOptions{
				Options: sim.Options{Seed: &seed, Realizations: n, Sampling: sampling}, Volumes: []float64{0.2e-3},
			})
			require.NoError(t, err)
			if v := z.Volume[0]; v.Low <= want && want <= v.High {
				covered++
			}
		}
		t.Logf("%s: %d of %d", sampling, covered, repeats)
		tolerance := 4 * math.Sqrt(0.95*0.05/float64(repeats))
		assert.GreaterOrEqual(t, float64(covered)/float64(repeats), 0.95-tolerance, sampling)
		if sampling == "random" {
			assert.LessOrEqual(t, float64(covered)/float64(repeats), 0.95+tolerance)
		}
	}
}

// A valve whose opening pressure is normal holds the drain where the column falls
// short, and the drain chokes where the oil over it stands a tenth of the can high:
//
//	F = (Δp + μ + σ Φ⁻¹(1-risk)) / (ρ g) - 0.1 V/A.
//
// Derived; Δp, the pressure that the gas asks for, is the model's own.
func TestLeastFallAgainstANormalPressure(t *testing.T) {
	s := still.Read(t, sealed,
		scenarios.Change{Path: "carry_over.full_throttle", Value: "0.05 g/s"}, scenarios.Change{Path: "sessions", Value: "[40 min]"},
		scenarios.Change{Path: "drain", Value: "{return: above_oil, seal: valve, bore: 12.7 mm, fall: 100 mm, valve_opens_at: 0.3 +- 0.05 kPa, port_pressure: 0 Pa, loss_coefficient: 3}"},
		scenarios.Change{Path: "limits.risk", Value: "10 %"})
	z, err := decide.Size(context.Background(), s, decide.SizeOptions{WithoutDrains: true})
	require.NoError(t, err)
	assert.Nil(t, z.Drains)
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	full, err := m.FullThrottle()
	require.NoError(t, err)
	want := (full.Against+50*mathext.NormalQuantile(0.9))/(density*9.80665) - 0.1*0.15e-3/44e-4
	fall := z.Fall[len(z.Fall)-1]
	t.Logf("exact %.5f m, found %.5f (%.5f to %.5f)", want, fall.Value, fall.Low, fall.High)
	assert.True(t, fall.Found)
	assert.InDelta(t, want, fall.Value, 0.4e-3, "the search, and a tenth of a millimetre for the friction of the flow")
	assert.Less(t, fall.Low, fall.Value)
	assert.Less(t, fall.High-fall.Low, 2e-3)
	assert.Zero(t, fall.Contrary)
}

// In the ready-made scenario a larger can doesn't help and more fall does.
func TestDrainIsTheTrouble(t *testing.T) {
	s, err := readyMade(t, "sealed-drain").With(scenarios.Change{Path: "sessions", Value: "[40 min]"})
	require.NoError(t, err)
	z, err := decide.Size(context.Background(), s, decide.SizeOptions{
		Options: sim.Options{Realizations: 1000}, Falls: []float64{0.05, 0.1, 30}, Bores: []float64{0.0127},
	})
	require.NoError(t, err)
	last := len(z.Sessions) - 1
	assert.False(t, z.Volume[last].Found)
	assert.True(t, math.IsNaN(z.Volume[last].Buy))
	assert.Positive(t, z.LargestCan.Sessions[last].Events.DrainChoked)
	assert.Zero(t, z.LargestCan.Sessions[last].Events.Overflow)
	require.True(t, z.Fall[last].Found)
	assert.InDelta(t, 0.069, z.Fall[last].Value, 0.004, "regression")
	assert.InDelta(t, 0.070, z.Fall[last].Buy, 0.0051)
	assert.Greater(t, z.Drains.Cells[0][0].Fails.Low, 0.01)
	assert.Less(t, z.Drains.Cells[1][0].Fails.High, 0.01)
	assert.Contains(t, z.Drains.Cells[2][0].Problem, "drain.fall", "30 m can't be")
	assert.Nil(t, z.TakenCan)
	require.NotNil(t, z.TakenFall)
	assert.InDelta(t, z.Fall[last].Buy, z.TakenFall.Scenario.Drain.Fall.Nominal(), 1e-12)
	assert.LessOrEqual(t, z.TakenFall.Sessions[last].Fails.High, z.Risk)
}

func TestSizingIsTheSameForAnyNumberOfWorkers(t *testing.T) {
	lengths := "[10 min, 15 min]"
	if testing.Short() {
		lengths = "[2 min, 3 min]" // the workers meet as often
	}
	s, err := readyMade(t, "sealed-drain").With(scenarios.Change{Path: "sessions", Value: lengths})
	require.NoError(t, err)
	var all []*decide.Sizing
	for _, workers := range []int{1, 3} {
		z, err := decide.Size(context.Background(), s, decide.SizeOptions{
			Options: sim.Options{Realizations: 520, Workers: workers}, WithoutDrains: true, Units: units.US,
		})
		require.NoError(t, err)
		all = append(all, z)
	}
	assert.Equal(t, fmt.Sprint(all[0].Volume, all[0].Fall, all[0].Volumes), fmt.Sprint(all[1].Volume, all[1].Fall, all[1].Volumes))

	ended, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = decide.Size(ended, s, decide.SizeOptions{Options: sim.Options{Realizations: 700}})
	require.ErrorIs(t, err, context.Canceled)
}
