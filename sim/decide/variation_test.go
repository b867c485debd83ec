package decide

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

func axis(t *testing.T, s *scenarios.Scenario, path string, values ...float64) Axis {
	t.Helper()
	a, err := NewAxis(s, path, values)
	require.NoError(t, err)
	return a
}

func vary(t *testing.T, s *scenarios.Scenario, o sim.Options, axes ...Axis) *Variation {
	t.Helper()
	v, err := Vary(context.Background(), s, axes, o)
	require.NoError(t, err)
	return v
}

// A point is what a run of the changed scenario gives, to the last bit, for any
// number of workers.
func TestPointIsARunOfTheChangedScenario(t *testing.T) {
	s := ready(t, "sealed-drain", scenarios.Change{Path: "sessions", Value: "[8 min, 15 min]"})
	v := vary(t, s, sim.Options{Realizations: 700, Workers: 2}, axis(t, s, "drain.fall", 0.05, 0.12), axis(t, s, "drain.bore", 0.0127, 0.016, 0.019))
	require.Len(t, v.Points, 6)
	assert.Equal(t, []float64{0.05, 0.019}, v.Points[2].At, "the first axis outside, the second within")
	assert.Equal(t, []float64{0.12, 0.0127}, v.Points[3].At)
	for _, p := range v.Points {
		at, err := changedAll(s, []string{"drain.fall", "drain.bore"}, p.At)
		require.NoError(t, err)
		m, err := sim.NewModel(at)
		require.NoError(t, err)
		res, err := m.Run(context.Background(), sim.Options{Realizations: 700, Workers: 1})
		require.NoError(t, err)
		assert.Equal(t, res.Sessions, p.Result.Sessions)
		nominal, err := m.FullThrottle()
		require.NoError(t, err)
		assert.Equal(t, nominal.Margin, p.Nominal.Margin)
	}
	assert.EqualValues(t, 1, v.Seed)
	assert.Equal(t, sim.DefaultDesign().Name(), v.Sampling)
}

// On the same draws a larger can, all else alike, overflows in no realization
// in which a smaller one doesn't.
func TestSameDrawsAtEachPoint(t *testing.T) {
	s := ready(t, "sealed-drain", scenarios.Change{Path: "drain", Value: "{return: emptied_by_hand}"}, scenarios.Change{Path: "sessions", Value: "[5 min]"})
	v := vary(t, s, sim.Options{}, axis(t, s, "separator.usable_volume", 0.02e-3, 0.04e-3, 0.07e-3))
	before := int64(PerPoint + 1)
	for _, p := range v.Points {
		require.Equal(t, PerPoint, p.Result.Realizations)
		last := p.Result.Sessions[len(p.Result.Sessions)-1]
		assert.Less(t, last.Events.Overflow, before)
		before = last.Events.Overflow
	}
}

func TestPointThatCanNotBeSaysWhyAndStopsNoOther(t *testing.T) {
	s := ready(t, "sealed-drain")
	v := vary(t, s, sim.Options{Realizations: 500}, axis(t, s, "drain.length", 0.01, 0.6))
	assert.Equal(t, "shorter than the way down (got 10 mm, allowed 42.5 mm or more)", v.Points[0].Problem)
	assert.Nil(t, v.Points[0].Result)
	assert.Nil(t, v.Points[0].Nominal)
	assert.Empty(t, v.Points[1].Problem)
	assert.Equal(t, 500, v.Points[1].Result.Realizations)

	_, err := Vary(context.Background(), s, []Axis{axis(t, s, "drain.length", 0.01, 0.02)}, sim.Options{})
	assert.EqualError(t, err, "no point of the range can be simulated: shorter than the way down (got 10 mm, allowed 42.5 mm or more)")
}

func TestInputThatTheLayoutDoesNotUseIsAnError(t *testing.T) {
	s := ready(t, "sealed-drain")
	_, err := Vary(context.Background(), s, []Axis{axis(t, s, "drain.flooding_constant", 0.6, 0.8)}, sim.Options{})
	assert.ErrorContains(t, err, "drain.flooding_constant: ")
	assert.ErrorContains(t, err, "no gas goes up a drain with a valve")
	_, err = Vary(context.Background(), ready(t, "sealed-can"), []Axis{{Path: "drain.fall", Dimension: units.Length, Values: []float64{0.1}}}, sim.Options{})
	assert.ErrorContains(t, err, "drain.fall: ")
	assert.ErrorContains(t, err, "emptied by hand")
}

func TestRouteIsVariedByItsFall(t *testing.T) {
	s := routed(t, false)
	v := vary(t, s, sim.Options{Realizations: 500}, axis(t, s, "drain.fall", 0.1, 0.35))
	assert.InDelta(t, 0.25, v.Points[1].Nominal.Margin-v.Points[0].Nominal.Margin, 1e-9, "the margin grows by what the fall does")
}

func TestHowFarAVariationMayGo(t *testing.T) {
	s := ready(t, "sealed-drain")
	a := axis(t, s, "drain.fall", 0.1)
	_, err := Vary(context.Background(), s, nil, sim.Options{})
	assert.ErrorContains(t, err, "one input or two")
	_, err = Vary(context.Background(), s, []Axis{a, a, a}, sim.Options{})
	assert.ErrorContains(t, err, "one input or two")
	_, err = Vary(context.Background(), s, []Axis{a, a}, sim.Options{})
	assert.ErrorContains(t, err, "drain.fall is varied twice")
	many := make([]float64, MostValues)
	for i := range many {
		many[i] = 0.1 + float64(i)/1000
	}
	_, err = Vary(context.Background(), s, []Axis{axis(t, s, "drain.fall", many...), axis(t, s, "drain.bore", many[:11]...)}, sim.Options{})
	assert.ErrorContains(t, err, "2200 points (allowed up to 2000)")
	_, err = NewAxis(s, "drain.fall", append(many, 1))
	assert.ErrorContains(t, err, "201 values (allowed 1 to 200)")
	_, err = NewAxis(s, "drain.fall", []float64{0.2, 0.1, 0.2})
	assert.ErrorContains(t, err, "a value stands twice (got 200 mm)")
	assert.Equal(t, []float64{0.1, 0.2}, axis(t, s, "drain.fall", 0.2, 0.1).Values, "ascending")
}

func TestInterruptedVariationIsNone(t *testing.T) {
	s := ready(t, "sealed-drain")
	ctx, cancel := context.WithCancel(context.Background())
	done := 0
	_, err := Vary(ctx, s, []Axis{axis(t, s, "drain.fall", 0.1, 0.2)}, sim.Options{Realizations: 1000, Workers: 1, Progress: func(n int) {
		done = n
		if n > 1000 {
			cancel()
		}
	}})
	assert.ErrorIs(t, err, context.Canceled)
	assert.Equal(t, 1500, done, "told over all points together")
}

func TestWhatAnAxisIsMeasuredIn(t *testing.T) {
	s := ready(t, "sealed-drain")
	for path, d := range map[string]units.Dimension{
		"drain.fall": units.Length, "drain.dip": units.Length, "separator.usable_volume": units.Volume, "breathers.block.bore": units.Length,
		"duty.lap.3.right": units.Acceleration, "limits.risk": units.Fraction, "carry_over.oil_used": units.Volume, "engine.displacement": units.Volume,
	} {
		got, err := DimensionOf(s, path)
		assert.NoError(t, err, path)
		assert.Equal(t, d, got, path)
	}
	got, err := DimensionOf(routed(t, false), "drain.fall")
	assert.NoError(t, err)
	assert.Equal(t, units.Length, got)
	for path, hint := range map[string]string{
		"drain.fal": "did you mean drain.fall?", "sessions": "--sessions", "simulation.seed": "validate", "drain.seal": "validate",
		"breathers.nosuch.bore": "name it, or count from 1", "zzz": "validate",
	} {
		_, err := DimensionOf(s, path)
		var e *units.Error
		require.ErrorAs(t, err, &e, path)
		assert.Contains(t, e.Hint, hint, path)
	}
}

func ExampleVary() {
	s, err := scenarios.Ready("sealed-drain")
	if err != nil {
		fmt.Println(err)
		return
	}
	falls, err := NewAxis(s, "drain.fall", []float64{0.05, 0.25})
	if err != nil {
		fmt.Println(err)
		return
	}
	v, err := Vary(context.Background(), s, []Axis{falls}, sim.Options{Realizations: 500})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range v.Points {
		fmt.Printf("fall %.2f m: drain held at full throttle: %t\n", p.At[0], p.Nominal.Held)
	}
	// Output:
	// fall 0.05 m: drain held at full throttle: true
	// fall 0.25 m: drain held at full throttle: false
}
