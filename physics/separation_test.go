package physics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// everyStage is one stage of each kind, of the size of a breather's, with some
// of extreme shape.
func everyStage(t *testing.T) map[string]Stage {
	t.Helper()
	table, err := NewGradeTable(GradeMeasurement{
		Diameters:    []float64{0.3e-6, 0.5e-6, 1e-6, 2e-6, 5e-6, 20e-6},
		Efficiencies: []float64{0.05, 0.12, 0.4, 0.75, 0.95, 0.99},
		Flow:         100.0 / 60000, FlowExponent: 0.5, Loss: 900, Density: 1.2,
	})
	require.NoError(t, err)
	mesh := Mesh{
		Area: 20e-4, Wire: 0.25e-3, Thickness: 0.04, PackedShare: 0.02,
		SoudersBrown: 0.107, CarryExponent: MeshCarryExponent, LossHeads: 20,
	}
	dense := mesh
	dense.Wire, dense.Thickness, dense.PackedShare = 0.05e-3, 0.1, 0.15
	return map[string]Stage{
		"round":      RoundImpactor{Width: 2e-3, Jets: 24, Sharpness: 4, LossHeads: 1.5},
		"step":       RoundImpactor{Width: 2e-3, Jets: 24, Sharpness: math.Inf(1), LossHeads: 1.5},
		"slot":       SlotImpactor{Width: 1e-3, Length: 30e-3, Slots: 3, Sharpness: 2.5, LossHeads: 1.5},
		"cyclone":    Cyclone{InletWidth: 6e-3, InletHeight: 12e-3, Count: 2, Turns: 6, LossHeads: 8},
		"settling":   SettlingCan{Area: 44e-4},
		"mesh":       mesh,
		"dense mesh": dense,
		"table":      table,
	}
}

// usual are the conditions of a breather at full throttle.
func usual(litres float64) StageConditions {
	return BlowByConditions(litres/60000, 90+CelsiusZero, 830)
}

func usualSizes() DropletSizes {
	return DropletSizes{Fine: DropletMode{1.2e-6, 2}, Coarse: DropletMode{100e-6, 2}, CoarseShare: 0.3}
}

func TestStagesAreGradesBetweenNoneAndAll(t *testing.T) {
	for name, stage := range everyStage(t) {
		for _, litres := range []float64{0, 1e-6, 5, 110, 400, 5000} {
			cut := stage.At(usual(litres))
			last := 0.0
			for d := 1e-8; d < 2e-2; d *= 1.05 {
				eta := cut.Grade(d)
				require.False(t, math.IsNaN(eta), "%s, %g L/min, %g m", name, litres, d)
				require.GreaterOrEqual(t, eta, last, "%s, %g L/min, %g m: larger droplets are caught no worse", name, litres, d)
				require.LessOrEqual(t, eta, 1.0)
				last = eta
			}
		}
	}
}

func TestStagesInSeriesAreNeverWorse(t *testing.T) {
	stages := everyStage(t)
	for _, litres := range []float64{20, 110, 300} {
		for first, a := range stages {
			alone := Separation{usualSizes(), []Stage{a}}
			eta := alone.Efficiency(usual(litres))
			for second, b := range stages {
				both := Separation{usualSizes(), []Stage{a, b}}
				assert.GreaterOrEqual(t, both.Efficiency(usual(litres)), eta-1e-9, "%s, %s", first, second)
				swapped := Separation{usualSizes(), []Stage{b, a}}
				assert.InDelta(t, both.Efficiency(usual(litres)), swapped.Efficiency(usual(litres)), 1e-12, "order: %s, %s", first, second)
				assert.InDelta(t, alone.Loss(usual(litres))+b.Loss(usual(litres)), both.Loss(usual(litres)), 1e-9)
			}
		}
	}
}

func TestSeparationOfModes(t *testing.T) {
	sizes := usualSizes()
	at := func(share float64) float64 {
		sizes.CoarseShare = share
		s := Separation{sizes, []Stage{everyStage(t)["round"], everyStage(t)["settling"]}}
		return s.Efficiency(usual(110))
	}
	coarse := sizes
	coarse.Fine = sizes.Coarse
	coarse.CoarseShare = 0
	alone := Separation{coarse, []Stage{everyStage(t)["round"], everyStage(t)["settling"]}}
	assert.Equal(t, alone.Efficiency(usual(110)), at(1), "all coarse")
	assert.InDelta(t, 0.7*at(0)+0.3*at(1), at(0.3), 1e-12, "by mass")
	assert.Greater(t, at(1), at(0))

	sizes = usualSizes()
	sizes.CoarseShare = 0
	one := Separation{sizes, []Stage{everyStage(t)["round"]}}
	want := one.Efficiency(usual(110))
	one.Sizes.Coarse = DropletMode{Median: math.NaN(), Spread: math.NaN()}
	assert.Equal(t, want, one.Efficiency(usual(110)), "a mode that has no share doesn't matter")
	one.Sizes = DropletSizes{Fine: one.Sizes.Coarse, Coarse: sizes.Fine, CoarseShare: 1}
	assert.Equal(t, want, one.Efficiency(usual(110)), "nor if that is the fine one")
	assert.InDelta(t, byMidpoints(usualSizes().Fine, []Cut{one.Stages[0].At(usual(110))}, math.Inf(1)), 1-want, 1e-6)
}

func TestSeparationWithoutStages(t *testing.T) {
	s := Separation{Sizes: usualSizes()}
	assert.InDelta(t, 0, s.Efficiency(usual(110)), 1e-15)
	assert.Zero(t, s.Loss(usual(110)))
	assert.NoError(t, s.CheckRange(usual(110)))
	assert.True(t, math.IsInf(s.CutDiameter(usual(110)), 1))
}

func TestSeparationAtNoFlow(t *testing.T) {
	want := map[string]float64{"round": 0, "step": 0, "slot": 0, "cyclone": 0, "settling": 1, "mesh": 0, "dense mesh": 0, "table": 0.05}
	for name, stage := range everyStage(t) {
		s := Separation{usualSizes(), []Stage{stage}}
		assert.InDelta(t, want[name], s.Efficiency(usual(0)), 1e-12, name)
		assert.InDelta(t, want[name], s.Efficiency(usual(1e-7)), 3e-3, "%s: as flow tends to 0", name)
		assert.Zero(t, s.Loss(usual(0)), name)
	}
}

func TestSeparationBackwards(t *testing.T) {
	for name, stage := range everyStage(t) {
		s := Separation{usualSizes(), []Stage{stage}}
		assert.Equal(t, s.Efficiency(usual(80)), s.Efficiency(usual(-80)), name)
		assert.Equal(t, -s.Loss(usual(80)), s.Loss(usual(-80)), name)
		assert.InDelta(t, 4*s.Loss(usual(80)), s.Loss(usual(160)), 1e-9, "%s: square law", name)
	}
}

func TestEfficiencyFallsAsTheCutGrows(t *testing.T) {
	last := 1.0
	for width := 0.5e-3; width < 8e-3; width *= 1.3 { // at one jet velocity
		r := RoundImpactor{Width: width, Jets: 24 * 4e-6 / (width * width), Sharpness: 4}
		s := Separation{usualSizes(), []Stage{r}}
		eta := s.Efficiency(usual(110))
		assert.Less(t, eta, last, "%g m", width)
		assert.InEpsilon(t, r.CutDiameter(usual(110)), s.CutDiameter(usual(110)), 1e-9)
		last = eta
	}
}

func TestCutDiameterOfASeries(t *testing.T) {
	s := Separation{usualSizes(), []Stage{everyStage(t)["round"], everyStage(t)["cyclone"]}}
	d := s.CutDiameter(usual(110))
	assert.InDelta(t, 0.5, s.Grade(d, usual(110)), 1e-9)
	assert.Less(t, d, s.Stages[0].(RoundImpactor).CutDiameter(usual(110)))
	still := Separation{usualSizes(), []Stage{SettlingCan{Area: 1}}}
	assert.Zero(t, still.CutDiameter(usual(0)), "everything settles")
}

func TestCheckRangeOfASeries(t *testing.T) {
	s := Separation{usualSizes(), []Stage{everyStage(t)["cyclone"], everyStage(t)["mesh"], everyStage(t)["settling"], everyStage(t)["table"], everyStage(t)["round"]}}
	assert.NoError(t, s.CheckRange(usual(110)))
	var outside *RangeError
	require.ErrorAs(t, s.CheckRange(usual(20)), &outside)
	assert.Less(t, outside.Value, outside.Low)
}

func TestBlowByConditions(t *testing.T) {
	c := BlowByConditions(2e-3, 363.15, 830)
	assert.Equal(t, BlowByGas(363.15), c.Gas)
	assert.InEpsilon(t, 0.0868344e-6, c.MeanFreePath, 6e-7)
	assert.Equal(t, 2e-3, c.Flow)
	assert.Equal(t, 830.0, c.OilDensity)
}

func TestEfficiencyDoesNotAllocate(t *testing.T) {
	s := Separation{Sizes: usualSizes()}
	for _, name := range []string{"settling", "mesh", "cyclone", "round", "slot", "table"} {
		s.Stages = append(s.Stages, everyStage(t)[name])
	}
	c, sum := usual(110), 0.0
	assert.Zero(t, testing.AllocsPerRun(100, func() {
		sum += s.Efficiency(c) + s.Loss(c) + s.Grade(1e-6, c) + s.CutDiameter(c)
		if s.CheckRange(c) != nil {
			sum++
		}
	}))
	assert.Positive(t, sum)

	more := Separation{s.Sizes, append(append([]Stage(nil), s.Stages...), s.Stages...)}
	assert.Greater(t, more.Efficiency(c), s.Efficiency(c), "more stages than fit without allocating")
}

func BenchmarkEfficiency(b *testing.B) {
	for _, bench := range []struct {
		name   string
		stages []Stage
	}{
		{"impactor+cyclone", []Stage{RoundImpactor{Width: 2e-3, Jets: 24, Sharpness: 4}, Cyclone{6e-3, 12e-3, 2, 6, 8}}},
		{"settling+impactor", []Stage{SettlingCan{44e-4}, RoundImpactor{Width: 2e-3, Jets: 24, Sharpness: 4}}},
		{"settling+mesh", []Stage{SettlingCan{44e-4}, Mesh{20e-4, 0.25e-3, 0.04, 0.02, 0.107, 3, 20}}},
	} {
		b.Run("stages="+bench.name, func(b *testing.B) {
			s, c := Separation{usualSizes(), bench.stages}, usual(110)
			b.ReportAllocs()
			for b.Loop() {
				s.Efficiency(c)
			}
		})
	}
}
