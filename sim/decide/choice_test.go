package decide

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/physics"
	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/internal/exact"
	"sumpward/sim/internal/still"
)

// jars is a shelf of cans without a drain, of given volumes in m3.
func jars(t *testing.T, volumes ...float64) *scenarios.Shelf {
	t.Helper()
	var b strings.Builder
	b.WriteString("shelf: 1\ncans:\n")
	for i, v := range volumes {
		fmt.Fprintf(&b, "  - {name: jar %d, outer_size: {diameter: 200 mm, height: 300 mm}, usable_volume: %.12g L, cross_section: 100 cm2, mass: %d g, price: %d EUR}\n", i+1, 1e3*v, 900-i, 10*(5-i))
	}
	b.WriteString("places:\n  - {name: tray, largest_size: {length: 200 mm, width: 200 mm, height: 300 mm}, emptied_by_hand: true}\n" +
		"  - {name: shelf, largest_size: {length: 200 mm, width: 200 mm, height: 300 mm}, emptied_by_hand: true}\n" +
		"  - {name: low, largest_size: {length: 300 mm, width: 300 mm, height: 290 mm}, emptied_by_hand: true}\n")
	sh, err := scenarios.ParseShelf("jars.yaml", []byte(b.String()))
	require.NoError(t, err)
	return sh
}

// day is a day on which everything stands still but the oil carried over, which is
// log-normal: a can without a drain overflows with the chance of exact.ConstantRate.
func day(t *testing.T) *scenarios.Scenario {
	t.Helper()
	return still.Read(t, still.Written("0.1 g/s", "0.1 x/ 1.8221188 g/s", "[20 min]", "[10 min, 20 min]")+"limits: {risk: 5 %, oil_lost: 5 L}\n")
}

var hot = physics.OilDensity(870, 273.15+90) // kg/m3, ASTM D1250

// quantile is the volume, m3, that a can without a drain overflows with the chance
// p within t seconds: V = T m exp(s z), exact mathematics.
func quantile(p, t float64) float64 {
	law := exact.ConstantRate{Median: 1e-4, LogSD: 0.6}
	low, high := 1e-6, 1.0
	for range 100 {
		law.Volume = hot * math.Sqrt(low*high)
		if law.OverflowBy(t) > p {
			low = law.Volume / hot
		} else {
			high = law.Volume / hot
		}
	}
	return math.Sqrt(low * high)
}

// Of cans a little smaller and a little larger than the exact quantile the right
// ones meet the limit, and the smallest, lightest and cheapest of them are picked.
func TestChooseAgainstTheExactQuantile(t *testing.T) {
	v := quantile(0.05, 1200)
	c, err := Choose(context.Background(), day(t), jars(t, 0.8*v, 0.9*v, 1.12*v, 1.3*v), sim.Options{})
	require.NoError(t, err)
	require.Len(t, c.Options, 12)
	law := exact.ConstantRate{Median: 1e-4, LogSD: 0.6}
	for i, o := range c.Options[:4] {
		law.Volume = hot * o.Layout.Model.Scenario().Separator.UsableVolume.Nominal()
		for _, s := range o.Result.Sessions {
			want := law.OverflowBy(s.Length)
			t.Logf("%s: exact %.4f, %.4f of %d", o.Can, want, s.Overflow.Probability, o.Result.Realizations)
			assert.InDelta(t, want, s.Overflow.Probability, 4*math.Sqrt(want*(1-want)/float64(o.Result.Realizations)))
		}
		assert.Equal(t, []Standing{Breaks, Breaks, Meets, Meets}[i], o.Standing, o.Can)
		assert.Equal(t, o.Result.Sessions, c.Options[4+i].Result.Sessions, "the place makes no difference to a sealed can")
		assert.Equal(t, o.Emptying, c.Options[4+i].Emptying)
		assert.Equal(t, o.Can+", shelf, emptied by hand", c.Options[4+i].Result.Scenario.VariantName)
	}
	for _, o := range c.Options[8:] {
		assert.False(t, o.Fits)
		assert.InDelta(t, 0.01, o.TooLarge.High, 1e-12)
		assert.Nil(t, o.Layout.Model)
	}
	assert.Equal(t, Picks{-1, -1, -1}, c.Picks, "none drains back")
	assert.Equal(t, Picks{Smallest: 2, Lightest: 3, Cheapest: 3}, c.ByHand)
}

// k sessions fill a can like one as long as all of them: the number of sessions
// is the one whose exact chance is within the limit.
func TestEmptyingAgainstTheExactQuantile(t *testing.T) {
	const session = 1200
	// Between the quantiles of 1 and 2, 3 and 4, 8 and 9 sessions; half way to one.
	cans := []float64{quantile(0.05, 1.5*session), quantile(0.05, 3.5*session), quantile(0.05, 9*session), quantile(0.05, 0.6*session)}
	c, err := Choose(context.Background(), day(t), jars(t, cans...), sim.Options{})
	require.NoError(t, err)
	law := exact.ConstantRate{Median: 1e-4, LogSD: 0.6}
	for i, want := range []Emptying{{Sessions: 1}, {Sessions: 3}, {Sessions: 8, Most: true}, {Every: 600}} {
		e := c.Options[i].Emptying
		require.NotNil(t, e)
		t.Logf("%d: %+v", i, *e)
		assert.True(t, e.Does)
		assert.False(t, e.Untold)
		assert.Equal(t, Meets, e.Else)
		assert.Equal(t, want.Sessions, e.Sessions)
		assert.Equal(t, want.Every, e.Every)
		assert.Equal(t, want.Most, e.Most)
		law.Volume = hot * cans[i]
		chance := law.OverflowBy(float64(e.Sessions)*session + e.Every)
		assert.LessOrEqual(t, chance, c.Risk)
		assert.InDelta(t, chance, e.Overflow.Probability, 4*math.Sqrt(chance*(1-chance)/float64(e.Of))+1e-12)
	}
}

// What 2,000 realizations can't tell of emptying, 8,000 do: chances of 4.2 % that
// are within 5 %, and of 5.8 % that are not.
func TestEmptyingIsLookedAtAgain(t *testing.T) {
	const session = 1200
	cans := []float64{quantile(0.042, 0.5*session), quantile(0.042, 2*session), quantile(0.058, 2*session)}
	few, err := Choose(context.Background(), day(t), jars(t, cans...), sim.Options{Realizations: 2000})
	require.NoError(t, err)
	c, err := Choose(context.Background(), day(t), jars(t, cans...), sim.Options{})
	require.NoError(t, err)
	for i, want := range []Emptying{{Every: 600}, {Sessions: 2}, {Sessions: 1}} {
		assert.True(t, few.Options[i].Emptying.Untold, i)
		e := c.Options[i].Emptying
		assert.True(t, e.Does, i)
		assert.False(t, e.Untold, i)
		assert.Equal(t, want.Every, e.Every, i)
		assert.Equal(t, want.Sessions, e.Sessions, i)
	}
	assert.Equal(t, 8000, c.Options[0].Emptying.Of)
	assert.Equal(t, 8000, c.Options[1].Emptying.Of)
}

// What emptying doesn't mend is told apart from what it does.
func TestOilLostIsNotMendedByEmptying(t *testing.T) {
	s, err := day(t).With(scenarios.Change{Path: "limits.oil_lost", Value: "0.1 L"})
	require.NoError(t, err)
	c, err := Choose(context.Background(), s, jars(t, quantile(0.05, 3000)), sim.Options{Realizations: 500})
	require.NoError(t, err)
	assert.Equal(t, 500, c.Realizations)
	assert.Equal(t, 500, c.Most)
	o := c.Options[0]
	assert.Equal(t, Breaks, o.Standing)
	assert.True(t, o.Emptying.Does)
	assert.Equal(t, Breaks, o.Emptying.Else)
	assert.Equal(t, -1, c.ByHand.Smallest)
}

// On the ready-made shelf each option is what a run of the same layout gives.
func TestChooseIsEachOptionAlone(t *testing.T) {
	s, err := scenarios.Ready(scenarios.DefaultReady)
	require.NoError(t, err)
	sh, err := scenarios.ReadyShelf()
	require.NoError(t, err)
	last := s.Sessions[0]
	s, err = s.With(scenarios.Change{Path: "sessions", Value: fmt.Sprintf("[%g s]", last)})
	require.NoError(t, err)
	c, err := Choose(context.Background(), s, sh, sim.Options{Realizations: 300})
	require.NoError(t, err)
	require.Equal(t, len(sh.Cans)*len(sh.Places), countFits(c))
	m, err := scenarios.Ready(scenarios.DefaultReady)
	require.NoError(t, err)
	m, err = m.With(scenarios.Change{Path: "sessions", Value: fmt.Sprintf("[%g s]", last)})
	require.NoError(t, err)
	m, err = m.Mounted(sh, c.Options[0].Mounting)
	require.NoError(t, err)
	alone, err := sim.Run(context.Background(), m, sim.Options{Realizations: 300})
	require.NoError(t, err)
	assert.Equal(t, alone.Sessions, c.Options[0].Result.Sessions)
	var kept []string
	for _, k := range c.Kept {
		kept = append(kept, k.Path)
		if k.Path == "separator.oil_collects" {
			assert.Equal(t, []string{"plain jar", "large jar"}, k.Cans)
		}
		assert.NotEqual(t, "separator.usable_volume", k.Path)
	}
	assert.Contains(t, kept, "drain.port_pressure")

	ended, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = Choose(ended, s, sh, sim.Options{Realizations: 300})
	assert.ErrorIs(t, err, context.Canceled)
}

// countFits counts the pairs of can and place that are told of.
func countFits(c *Choice) int {
	pairs := map[[2]string]bool{}
	for _, o := range c.Options {
		pairs[[2]string{o.Can, o.Place}] = true
	}
	return len(pairs)
}

// A can without a drain where it can't be reached, and a layout that can't be.
func TestWhatCanNotBe(t *testing.T) {
	sh, err := scenarios.ParseShelf("x.yaml", []byte(`shelf: 1
cans:
  - {name: jar, outer_size: {diameter: 90 mm, height: 160 mm}, usable_volume: 0.5 L, diameter: 80 mm}
  - {name: can, outer_size: {diameter: 90 mm, height: 160 mm}, usable_volume: 0.5 L, diameter: 80 mm, drain_bore: 12 mm, seal: valve}
places:
  - {name: tray, largest_size: {length: 200 mm, width: 120 mm, height: 200 mm}, returns: [{name: block, return: above_oil, fall: 120 mm}]}
`))
	require.NoError(t, err)
	c, err := Choose(context.Background(), day(t), sh, sim.Options{Realizations: 100})
	require.NoError(t, err)
	assert.Equal(t, "it has no drain, and can't be reached there to be emptied", c.Options[0].Problem)
	assert.Empty(t, c.Options[1].Problem)
	assert.NotNil(t, c.Options[1].Result)

	s, err := day(t).With(scenarios.Change{Path: "breathers", Value: "[]"}, scenarios.Change{Path: "drain", Value: "{return: above_oil, seal: none, bore: 12 mm, fall: 100 mm}"})
	require.NoError(t, err)
	c, err = Choose(context.Background(), s, sh, sim.Options{Realizations: 100})
	require.NoError(t, err)
	assert.Equal(t, "breathers: no circuit goes to the separator, and no gas gets there through the drain", c.Options[1].Problem)
	assert.Zero(t, c.Realizations)
}

// A better option that can't be told stands beside the pick.
func TestBetter(t *testing.T) {
	v := quantile(0.05, 1200)
	c, err := Choose(context.Background(), day(t), jars(t, v, 1.3*v), sim.Options{Realizations: 1000})
	require.NoError(t, err)
	assert.Equal(t, Untold, c.Options[0].Standing)
	assert.Equal(t, 1, c.ByHand.Smallest)
	assert.Equal(t, []int{0, 2}, c.Better(BySize, true), "in both places")
	assert.Empty(t, c.Better(ByMass, true), "it is heavier")
	assert.Empty(t, c.Better(BySize, false))
}
