package decide_test

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/physics"
	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/decide"
	"sumpward/sim/internal/exact"
	"sumpward/sim/internal/still"
	"sumpward/sim/stats"
)

// twoCans is a sealed can, emptied by hand, under an engine at full throttle: what
// comes over and what the can holds are log-normal, all else stands still. Its variant
// is a larger can.
var twoCans = still.Written("0.1 g/s", "0.1 x/ 1.6 g/s", "volume: 0.15 L", "volume: 0.150 x/ 1.25 L", "for: 60 s", "for: 20 min") + `
variants:
  larger: {separator.usable_volume: 0.152 x/ 1.25 L}
`

func layoutsOf(t testing.TB, list ...*scenarios.Scenario) []decide.Layout {
	t.Helper()
	var layouts []decide.Layout
	for i, s := range list {
		m, err := sim.NewModel(s)
		require.NoError(t, err)
		layouts = append(layouts, decide.Layout{Name: fmt.Sprintf("layout %c", 'A'+i), Model: m})
	}
	return layouts
}

func compare(t testing.TB, layouts []decide.Layout, o sim.Options) *decide.Comparison {
	t.Helper()
	c, err := decide.Compare(context.Background(), layouts, o)
	require.NoError(t, err)
	return c
}

// The chance that the can overflows is
//
//	P = 1 - Φ((ln(V/T) - m)/s),  s² = ln²(1.6) + ln²(1.25),
//
// so the difference of two cans is known: exact mathematics. Over seeds the paired
// interval must cover it as often as it says, within 4 standard errors, and be at least
// three times narrower on average than one from two independent runs, which is
//
//	d ∓ √(h_A² + h_B²),  h the half-widths of the two chances.
func TestPairedIntervalCoversTheExactDifference(t *testing.T) {
	if testing.Short() {
		t.Skip("some seconds of runs")
	}
	const repeats = 250
	s := still.Read(t, twoCans)
	layouts := layoutsOf(t, s, variantOf(t, s, "larger"))
	law := exact.ConstantRate{Median: 1e-4, LogSD: math.Hypot(math.Log(1.6), math.Log(1.25))}
	density := physics.OilDensity(870, 273.15+90)
	chance := func(volume float64) float64 { law.Volume = volume * density; return law.OverflowBy(1200) }
	want := chance(0.152e-3) - chance(0.150e-3)
	for sampling, n := range map[string]int{"random": 1000, "latin-hypercube": 2500} { // 5 blocks: their spread is used
		covered, single, paired, apart := 0, 0, 0.0, 0.0
		before := sim.Result{}
		for seed := range uint64(repeats) {
			c := compare(t, layouts, sim.Options{Seed: &seed, Realizations: n, Sampling: sampling})
			d := c.Pairs[0].Sessions[0].Overflow
			if d.Low <= want && want <= d.High {
				covered++
			}
			paired += (d.High - d.Low) / 2
			a, b := c.Results[0].Sessions[0].Overflow, c.Results[1].Sessions[0].Overflow
			if a.Low <= chance(0.150e-3) && chance(0.150e-3) <= a.High {
				single++
			}
			if seed > 0 { // the other seed's run is independent of this one's
				apart += math.Hypot(before.Sessions[0].Overflow.HalfWidth(), b.HalfWidth()) * repeats / (repeats - 1)
			}
			before = *c.Results[0]
			assert.Equal(t, d.OnlyFirst-d.OnlySecond, c.Results[0].Sessions[0].Events.Overflow-c.Results[1].Sessions[0].Events.Overflow)
		}
		share := float64(covered) / repeats
		t.Logf("%s: difference %.5f covered in %.2f %% (one chance in %.2f %%); half-width %.5f, of independent runs %.5f: %.2f times",
			sampling, want, 100*share, 100*float64(single)/repeats, paired/repeats, apart/repeats, apart/paired)
		assert.InDelta(t, 0.95, share, 4*math.Sqrt(0.95*0.05/repeats), sampling)
		assert.Greater(t, apart, 3*paired, sampling)
	}
}

// Counts and means of a comparison are those of its results; the effect of a change is
// seen from the right side.
func TestCompareAgreesWithItsResults(t *testing.T) {
	s := readyMade(t, "sealed-drain")
	c := compare(t, layoutsOf(t, s, variantOf(t, s, "lower return"), variantOf(t, s, "larger can")), sim.Options{Realizations: 1200})
	require.Equal(t, s.Sessions, c.Sessions)
	assert.Equal(t, 1200, c.Realizations)
	assert.Equal(t, 0.95, c.Level)
	assert.InDelta(t, 1-0.05/3, c.RankingLevel, 1e-15)
	require.Len(t, c.Pairs, 3)
	for i, ab := range [][2]int{{0, 1}, {0, 2}, {1, 2}} {
		p := c.Pairs[i]
		assert.Equal(t, ab, [2]int{p.A, p.B})
		require.Len(t, p.Sessions, len(c.Sessions))
		for j, d := range p.Sessions {
			a, b := c.Results[p.A].Sessions[j], c.Results[p.B].Sessions[j]
			for name, row := range map[string]struct {
				d    stats.PairedDifference
				a, b stats.Estimate
				more int64
			}{
				"overflow":      {d.Overflow, a.Overflow, b.Overflow, b.Events.Overflow - a.Events.Overflow},
				"drain choked":  {d.DrainChoked, a.DrainChoked, b.DrainChoked, b.Events.DrainChoked - a.Events.DrainChoked},
				"over pressure": {d.OverPressure, a.OverPressure, b.OverPressure, b.Events.OverPressure - a.Events.OverPressure},
				"oil lost":      {d.OilLost, a.OilLost, b.OilLost, b.Events.OilLost - a.Events.OilLost},
				"fails":         {d.Fails, a.Fails, b.Fails, b.Events.Fails - a.Events.Fails},
				"for ranking":   {d.FailsRanking, a.Fails, b.Fails, b.Events.Fails - a.Events.Fails},
			} {
				assert.InDelta(t, row.b.Probability-row.a.Probability, row.d.Difference, 1e-12, name)
				assert.Equal(t, row.more, row.d.OnlySecond-row.d.OnlyFirst, name)
				assert.EqualValues(t, 1200, row.d.Trials, name)
				assert.LessOrEqual(t, row.d.Low, row.d.Difference, name)
				assert.GreaterOrEqual(t, row.d.High, row.d.Difference, name)
			}
			assert.Less(t, d.FailsRanking.Low, d.Fails.Low)
			assert.Greater(t, d.FailsRanking.High, d.Fails.High)
			assert.InDelta(t, b.OilToIntake.Mean-a.OilToIntake.Mean, d.OilToIntake.Difference, 1e-12)
		}
	}
	longest := c.Pairs[0].Sessions[3]
	assert.Less(t, longest.Fails.High, 0.0, "a lower return helps")
	assert.True(t, longest.Fails.Tells())
	assert.LessOrEqual(t, longest.Fails.TrialsToTell, 1200.0)
	turned := c.Pair(1, 0)
	assert.Equal(t, [2]int{1, 0}, [2]int{turned.A, turned.B})
	assert.Greater(t, turned.Sessions[3].Fails.Low, 0.0)
	assert.Equal(t, longest.Fails.OnlyFirst, turned.Sessions[3].Fails.OnlySecond)
	assert.Equal(t, -longest.OilToIntake.Low, turned.Sessions[3].OilToIntake.High)
	assert.Equal(t, -c.Pairs[0].Pressure.Difference, turned.Pressure.Difference)
	assert.Equal(t, c.Pairs[0], c.Pair(0, 1))
	assert.Empty(t, c.Pair(0, 7).Sessions)
}

// A pressure that is known: with the crankcase's only circuit to the outside as it is,
// and the element left out, the highest pressure falls by the element's loss.
func TestComparePressure(t *testing.T) {
	a := still.Read(t, twoCans)
	b := withTexts(t, a, "separator.pressure_loss", "{loss: 0 kPa, at: 110 L/min}")
	c := compare(t, layoutsOf(t, a, b), sim.Options{Realizations: 1000})
	gas := physics.BlowByGas(273.15 + 90)
	loss := 800 * math.Pow(90.0/110, 2) * gas.Density / 1.20
	assert.InDelta(t, -loss, c.Pairs[0].Pressure.Difference, 1e-6*loss)
	assert.InDelta(t, -loss, c.Pairs[0].Pressure.Low, 1e-6*loss, "alike in every realization")
	assert.True(t, c.Pairs[0].Pressure.Tells())
}

// The same bytes for any number of workers.
func TestCompareIsTheSameForAnyWorkers(t *testing.T) {
	s := lasting(t, "[4 min, 8 min]")
	var first string
	for _, workers := range []int{1, 2, 5} {
		c := compare(t, layoutsOf(t, s, variantOf(t, s, "larger can"), variantOf(t, s, "lower return")), sim.Options{Realizations: 1100, Workers: workers})
		text := fmt.Sprintf("%x\n%x", c.Pairs, c.Sessions)
		for i, r := range c.Results {
			text += fmt.Sprintf("\n%x %x %v", r.Sessions, r.Balance, c.Ranking(i))
		}
		if first == "" {
			first = text
		}
		assert.Equal(t, first, text, "%d workers", workers)
	}
	assert.Greater(t, len(first), 1000)
}

// A layout differs from itself by exactly nothing, and no number of realizations tells.
func TestALayoutAgainstItself(t *testing.T) {
	s := still.Read(t, twoCans)
	for _, sampling := range []string{"random", "latin-hypercube"} {
		c := compare(t, layoutsOf(t, s, s), sim.Options{Realizations: 2500, Sampling: sampling})
		p := c.Pairs[0]
		for i, d := range p.Sessions {
			require.Greater(t, c.Results[0].Sessions[i].Events.Fails, int64(100))
			for _, e := range []stats.PairedDifference{d.Overflow, d.OverPressure, d.OilLost, d.Fails, d.FailsRanking} {
				assert.Equal(t, stats.PairedDifference{Low: e.Low, High: e.High, Trials: 2500, TrialsToTell: math.Inf(1)}, e)
				assert.False(t, e.Tells())
				assert.Less(t, e.High, 0.0025)
				assert.Equal(t, -e.Low, e.High)
			}
			assert.Equal(t, stats.MeanDifference{TrialsToTell: math.Inf(1)}, d.OilToIntake)
		}
		assert.Equal(t, stats.MeanDifference{TrialsToTell: math.Inf(1)}, p.Pressure)
		assert.False(t, p.Pressure.Tells())
		for i := range c.Sessions {
			assert.Equal(t, [][]int{{0, 1}}, c.Ranking(i))
		}
	}
}

// Two cans that are emptied by hand have no drain that could choke.
func TestCompareByHand(t *testing.T) {
	s := still.Read(t, twoCans)
	drained := withTexts(t, s, "drain", "{return: above_oil, seal: valve, bore: 12.7 mm, fall: 120 mm}")
	c := compare(t, layoutsOf(t, s, variantOf(t, s, "larger"), drained), sim.Options{Realizations: 500})
	assert.Equal(t, stats.PairedDifference{Trials: 500, TrialsToTell: math.Inf(1)}, c.Pair(0, 1).Sessions[0].DrainChoked)
	assert.Positive(t, c.Pair(0, 2).Sessions[0].DrainChoked.High)
}

func TestCompareSharedSessions(t *testing.T) {
	s := readyMade(t, "sealed-drain") // 15, 25, 40, 60 min
	near := withTexts(t, variantOf(t, s, "larger can"), "sessions", "[10 min, 1500.4 s, 3600 s, 70 min]")
	c := compare(t, layoutsOf(t, s, near), sim.Options{Realizations: 600})
	assert.Equal(t, []float64{1500, 3600}, c.Sessions)
	whole, err := sim.Run(context.Background(), s, sim.Options{Realizations: 600})
	require.NoError(t, err)
	for i, r := range c.Results {
		require.Len(t, r.Sessions, 2)
		require.Len(t, c.Pairs[0].Sessions, 2)
		for j := range r.Sessions {
			assert.Equal(t, c.Sessions[j], r.Sessions[j].Length)
		}
		assert.Equal(t, c.Layouts[i].Model.Scenario(), r.Scenario)
	}
	assert.Equal(t, whole.Sessions[1].Events, c.Results[0].Sessions[0].Events, "as it is run alone")
	assert.Equal(t, whole.Sessions[3].Events, c.Results[0].Sessions[1].Events)
	assert.Len(t, s.Sessions, 4, "what was given stays")

	apart := withTexts(t, s, "sessions", "[10 min, 1501 s]")
	_, err = decide.Compare(context.Background(), layoutsOf(t, s, apart), sim.Options{Realizations: 600})
	assert.EqualError(t, err, "the layouts share no session length (layout A has 15 min, 25 min, 40 min, 60 min; layout B has 10 min, 25 min)\n  give the same lengths to all: --sessions 15min")
}

func TestCompareWrong(t *testing.T) {
	s := readyMade(t, "sealed-drain")
	_, err := decide.Compare(context.Background(), layoutsOf(t, s), sim.Options{})
	assert.EqualError(t, err, "a comparison takes two layouts or more (got 1)")
	_, err = decide.Compare(context.Background(), layoutsOf(t, s, s), sim.Options{Sampling: "halton"})
	assert.ErrorContains(t, err, "halton")
	ended, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = decide.Compare(ended, layoutsOf(t, s, s), sim.Options{})
	assert.ErrorIs(t, err, context.Canceled)
}

// Plain random sampling takes realizations as independent trials.
func TestCompareMethodFollowsTheSampling(t *testing.T) {
	s := still.Read(t, twoCans)
	layouts := layoutsOf(t, s, variantOf(t, s, "larger"))
	for sampling, independent := range map[string]bool{"random": true, "latin-hypercube": false} {
		d := compare(t, layouts, sim.Options{Realizations: 3000, Sampling: sampling}).Pairs[0].Sessions[0].Fails
		require.Greater(t, d.OnlyFirst, int64(10))
		i := stats.Tango(stats.PairedCounts{OnlyFirst: float64(d.OnlyFirst), OnlySecond: float64(d.OnlySecond), Trials: 3000}, 0.95)
		assert.Equal(t, independent, i.Low == d.Low && i.High == d.High, sampling)
	}
}

func TestCompareTellsProgress(t *testing.T) {
	s := still.Read(t, twoCans)
	most := 0
	compare(t, layoutsOf(t, s, s, s), sim.Options{Realizations: 1000, Workers: 1, Progress: func(n int) { most = max(most, n) }})
	assert.Equal(t, 3000, most)
}
