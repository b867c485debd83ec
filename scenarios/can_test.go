package scenarios

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// withSeparator is a scenario with another separator.
func withSeparator(text string) string {
	return strings.Replace(least, "{usable_volume: 0.45 L, diameter: 75 mm}", "{"+text+"}", 1)
}

// TestVolumeOfShape takes the usable volume from the mouth's height, a cylinder
// by hand: π/4 · 0.08² · 0.1 m3, or as stated.
func TestVolumeOfShape(t *testing.T) {
	const shape = "diameter: 80 mm, height: 160 mm, outlet: {mouth: [10, 0, 100 mm]}"
	s := parsed(t, withSeparator(shape))
	sep := s.Separator
	require.NotNil(t, sep.Shape)
	assert.InDelta(t, 0.000502654824574367, sep.UsableVolume.Nominal(), 1e-15)
	assert.Equal(t, -1, sep.UsableVolume.ID)
	assert.True(t, sep.UsableVolume.IsExact())
	assert.Equal(t, "follows from diameter and outlet.mouth", sep.UsableVolume.Source)
	assert.Nil(t, s.Input("separator.usable_volume"), "it is no input")
	assert.Nil(t, sep.Outlet.OffAxis)
	assert.False(t, sep.Shape.ByVolume)
	assert.Nil(t, sep.Shape.Inlet)
	assert.Nil(t, sep.Shape.InnerCan)
	assert.InDeltaSlice(t, []float64{0.01, 0, 0.1}, []float64{sep.Shape.Outlet.X.Nominal(), sep.Shape.Outlet.Y.Nominal(), sep.Shape.Outlet.Z.Nominal()}, 1e-15)
	assert.Empty(t, warned(s))
	assert.InDelta(t, 1, sep.GasPathClosesFrom.Nominal(), 1e-15)

	for volume, want := range map[string]string{
		"0.51 L": "", // 1.5 % more
		"0.49 L": "separator.usable_volume: goes before the mouth's height, which alone would give 0.503 L\n",
		"0.52 L": "separator.usable_volume: goes before the mouth's height, which alone would give 0.503 L\n",
	} {
		s := parsed(t, withSeparator("usable_volume: "+volume+", "+shape))
		assert.True(t, s.Separator.Shape.ByVolume)
		assert.GreaterOrEqual(t, s.Separator.UsableVolume.ID, 0)
		assert.Equal(t, want, warned(s), volume)
	}
	larger, err := s.With(Change{"separator.usable_volume", "0.7 L"})
	require.NoError(t, err)
	assert.True(t, larger.Separator.Shape.ByVolume)
	higher, err := s.With(Change{"separator.outlet.mouth.z", 0.12})
	require.NoError(t, err)
	assert.InDelta(t, 1.2*0.000502654824574367, higher.Separator.UsableVolume.Nominal(), 1e-15)
	assert.InDelta(t, 0.01, higher.Separator.Shape.Outlet.X.Nominal(), 1e-15)
	plain, err := s.With(Change{"separator.outlet.off_axis", "20 mm"}, Change{"separator.usable_volume", "0.5 L"}, Change{"separator.height", nil})
	require.NoError(t, err)
	assert.Nil(t, plain.Separator.Shape, "off_axis takes the mouth away")
	assert.InDelta(t, 0.02, plain.Separator.Outlet.OffAxis.Nominal(), 1e-15)
	moved, err := plain.With(Change{"separator.outlet.mouth", "[0, 0, 110 mm]"}, Change{"separator.height", "160 mm"})
	require.NoError(t, err)
	assert.Nil(t, moved.Separator.Outlet.OffAxis)
	assert.InDelta(t, 0.5e-3, moved.Separator.UsableVolume.Nominal(), 1e-15, "as stated")
}

// TestLowInlet lets oil be blown out again where the gas comes in below the
// outlet's mouth.
func TestLowInlet(t *testing.T) {
	for inlet, low := range map[string]bool{"[20, 0, 60 mm]": true, "[20, 0, 110 mm]": false, "[20, 0, 140 mm]": false} {
		s := parsed(t, withSeparator("diameter: 80 mm, height: 160 mm, inlet_mouth: "+inlet+", outlet: {mouth: [0, 0, 110 mm]}"))
		q := s.Separator.EfficiencyWhenFull
		from, to := q.Distribution.Range()
		rules := ""
		for _, r := range s.Rules {
			rules += r.Path + ": " + r.Text + "\n"
		}
		if low {
			assert.Equal(t, [2]float64{0.5, 1}, [2]float64{from, to}, inlet)
			assert.Contains(t, rules, "separator.oil_blown_out_from: follows from inlet_mouth")
		} else {
			assert.Equal(t, [2]float64{1, 1}, [2]float64{from, to}, inlet)
			assert.NotContains(t, rules, "oil_blown_out_from")
		}
		assert.Equal(t, Assumed, q.Basis)
		assert.InDelta(t, 1, s.Separator.OilBlownOutFrom.Nominal(), 1e-15)
	}
	s := parsed(t, withSeparator("diameter: 80 mm, height: 160 mm, inlet_mouth: [20, 0, 60 mm], efficiency_when_full: 70 %, outlet: {mouth: [0, 0, 110 mm]}"))
	assert.InDelta(t, 0.7, s.Separator.EfficiencyWhenFull.Nominal(), 1e-15)
	assert.Empty(t, warned(s), "it is used")
}

// TestInnerCan reads a can within the can.
func TestInnerCan(t *testing.T) {
	s := parsed(t, withSeparator("diameter: 80 mm, height: 160 mm, inner_can: {diameter: 45 mm, rim: 60 mm}, outlet: {mouth: [0, 0, 110 mm]}"))
	inner := s.Separator.Shape.InnerCan
	assert.InDelta(t, 0.045, inner.Diameter.Nominal(), 1e-15)
	assert.InDelta(t, 0.06, inner.Rim.Nominal(), 1e-15)
	assert.Nil(t, s.Separator.GasPathClosesFrom, "it follows from the rim")
	closes, err := s.With(Change{"separator.gas_path_closes_from", "60 %"})
	require.NoError(t, err)
	assert.Nil(t, closes.Separator.Shape.InnerCan)
	assert.InDelta(t, 0.6, closes.Separator.GasPathClosesFrom.Nominal(), 1e-15)
}

// TestElements reads every kind, what it uses and what stands for the rest.
func TestElements(t *testing.T) {
	s := parsed(t, withSeparator("usable_volume: 0.45 L, diameter: 75 mm, elements: ["+
		"{kind: impactor, width: 2.5 mm}, {kind: cyclone, width: 8 mm, height: 20 mm}, {kind: settling}, "+
		"{kind: mesh, area: 40 cm2, thickness: 30 mm}]"))
	assert.Nil(t, s.Separator.Efficiency)
	assert.Nil(t, s.Separator.Loss)
	assert.Nil(t, s.Separator.LossAt)
	assert.Nil(t, s.Separator.LossDensity)
	rules := map[string]string{}
	for _, r := range s.Rules {
		rules[r.Path] = r.Text
	}
	assert.Equal(t, "follows from the elements", rules["separator.pressure_loss"])
	const e = "separator.elements."
	assertDefaults(t, s, map[string][3]float64{
		e + "1.count": {1, 1, 1}, e + "1.sharpness": {1.5, 2.75, 4}, e + "1.loss_heads": {1, 1.5, 2},
		e + "2.count": {1, 1, 1}, e + "2.turns": {4, 6, 8}, e + "2.loss_heads": {6, 8, 10},
		e + "4.wire": {0.1e-3, 0.2e-3, 0.3e-3}, e + "4.packed": {0.01, 0.03, 0.05}, e + "4.limit": {0.05, 0.08, 0.11}, e + "4.loss_heads": {3, 12, 60},
		"separator.droplets.fine.median": {0.7e-6, 1.2e-6, 2.5e-6}, "separator.droplets.fine.spread": {1.6, 2, 2.5},
		"separator.droplets.coarse.median": {20e-6, 100e-6, 500e-6}, "separator.droplets.coarse.spread": {2, 2, 2},
		"separator.droplets.coarse_share": {0, 0.1, 0.2},
	})
	assert.Equal(t, "0.7 .. 1.2 .. 2.5 µm", s.Separator.Droplets.Fine.Median.Notation(0))
	list := s.Separator.Elements
	require.Len(t, list, 4)
	assert.Equal(t, Element{Kind: SettlingElement}, list[2], "the can's cross-section")
	assert.Equal(t, Element{Kind: CycloneElement, Width: list[1].Width, Length: list[1].Length, Count: list[1].Count, Turns: list[1].Turns, LossHeads: list[1].LossHeads}, list[1])
	assert.InDelta(t, 0.02, list[1].Length.Nominal(), 1e-15)
	assert.False(t, list[0].Slot)
	limit := list[3].Limit.Distribution
	assert.Less(t, limit.Quantile(1), 0.35*0.3048*1.05, "0.35 ft/s and less")

	measured := parsed(t, withSeparator("usable_volume: 0.45 L, diameter: 75 mm, elements: [{kind: measured, at: 110 L/min, grades: [{size: 1 um, caught: 40 %}, {size: 3 um, caught: 90 %}]}]"))
	assertDefaults(t, measured, map[string][3]float64{
		e + "1.exponent":               {0, 0.25, 0.5},
		"separator.pressure_loss.loss": {500, 1000, 1500}, // the curve says nothing of it
	})
	assert.InDelta(t, 3e-6, measured.Separator.Elements[0].Grades[1].Size.Nominal(), 1e-18)
	stated := parsed(t, withSeparator("usable_volume: 0.45 L, diameter: 75 mm, elements: [{kind: settling}], pressure_loss: {loss: 0.8 kPa, at: 110 L/min}"))
	assert.InDelta(t, 800, stated.Separator.Loss.Nominal(), 1e-9)
	assert.InDelta(t, 110e-3/60, stated.Separator.LossAt.Nominal(), 1e-12)

	every, err := Load("testdata/right/circuit-and-can.yaml")
	require.NoError(t, err)
	slot := every.Separator.Elements[1]
	assert.True(t, slot.Slot)
	assert.InDelta(t, 0.04, slot.Length.Nominal(), 1e-15)
	assert.InDelta(t, 4, slot.Count.Nominal(), 1e-15)
	assert.InDelta(t, 0.25*0.3048, every.Separator.Elements[3].Limit.Nominal(), 1e-12)
	plain, err := every.Variant("plain can")
	require.NoError(t, err)
	assert.Nil(t, plain.Separator.Elements)
	assert.Nil(t, plain.Separator.Droplets)
	assert.InDelta(t, 0.6, plain.Separator.Efficiency.Nominal(), 1e-15)
	back, err := plain.With(Change{"separator.elements", "[{kind: settling}]"})
	require.NoError(t, err)
	assert.Nil(t, back.Separator.Efficiency)
	sharp, err := every.Variant("wider sharp jets")
	require.NoError(t, err)
	assert.InDelta(t, 2e-3, sharp.Separator.Elements[1].Width.Nominal(), 1e-15)
}

// TestCanWarnings tells of what a can doesn't use.
func TestCanWarnings(t *testing.T) {
	const why = ": not used: nothing says where the gas outlet opens in the can; write: outlet: {mouth: [0, 0, 110 mm]}\n"
	for text, want := range map[string]string{
		"height: 160 mm, inlet_mouth: [0, 0, 50 mm], inner_can: {rim: 50 mm}": "separator.height" + why + "separator.inlet_mouth" + why + "separator.inner_can.rim" + why,
		"droplets: {fine: {median: 1 um}, coarse_share: 5 %}": "separator.droplets.coarse_share: not used: there are no elements, and the efficiency stands for them; write: elements: [{kind: impactor, width: 2.5 mm, count: 12}]\n" +
			"separator.droplets.fine.median: not used: there are no elements, and the efficiency stands for them; write: elements: [{kind: impactor, width: 2.5 mm, count: 12}]\n",
		"elements: [{kind: impactor, width: 2 mm, length: 9 mm, wire: 1 mm, grades: [{size: 1 um, caught: 4 %}]}]": "separator.elements.1.grades: not used: it isn't of an impactor element\n" +
			"separator.elements.1.wire: not used: it isn't of an impactor element\nseparator.elements.1.length: not used: a round jet has a width alone\n",
		"elements: [{kind: mesh, area: 40 cm2, thickness: 30 mm, width: 2 mm}], pressure_loss: {gas_density: 1 kg/m3}": "separator.elements.1.width: not used: it isn't of a mesh element\n" +
			"separator.pressure_loss.gas_density: not used: the pressure loss follows from the elements\n",
	} {
		got := warned(parsed(t, withSeparator("usable_volume: 0.45 L, diameter: 75 mm, "+text)))
		assert.Equal(t, want, got, text)
	}
}

// TestMountedWithoutShape takes shape and elements away with the old can, where
// the shelf says what stands instead.
func TestMountedWithoutShape(t *testing.T) {
	s := parsed(t, withSeparator("diameter: 80 mm, height: 160 mm, inner_can: {diameter: 45 mm, rim: 60 mm}, elements: [{kind: impactor, width: 2 mm}], droplets: {coarse_share: 5 %}, outlet: {mouth: [0, 0, 110 mm]}"))
	sh, err := ParseShelf("shelf.yaml", []byte(`shelf: 1
cans:
  - {name: a, outer_size: {diameter: 90 mm, height: 160 mm}, usable_volume: 0.6 L, diameter: 80 mm, efficiency: 50 %, off_axis: 10 mm}
  - {name: b, outer_size: {diameter: 90 mm, height: 160 mm}, usable_volume: 0.6 L, diameter: 80 mm}
places: [{name: bulkhead, largest_size: {length: 200 mm, width: 120 mm, height: 250 mm}, emptied_by_hand: true}]
`))
	require.NoError(t, err)
	a, err := s.Mounted(sh, Mounting{0, 0, -1})
	require.NoError(t, err)
	assert.Nil(t, a.Separator.Shape)
	assert.Nil(t, a.Separator.Elements)
	assert.InDelta(t, 0.5, a.Separator.Efficiency.Nominal(), 1e-15)
	assert.InDelta(t, 0.01, a.Separator.Outlet.OffAxis.Nominal(), 1e-15)
	assert.NotContains(t, warned(a), "separator")
	b, err := s.Mounted(sh, Mounting{1, 0, -1})
	require.NoError(t, err)
	assert.Len(t, b.Separator.Elements, 1, "what the shelf leaves open stays")
	assert.Nil(t, b.Separator.Shape)
	assert.True(t, math.Abs(b.Separator.UsableVolume.Nominal()-0.6e-3) < 1e-15)
	assert.Empty(t, warned(b))
}
