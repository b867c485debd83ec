package physics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// hindsAir are the conditions of Hinds's tables, for a flow in m3/s.
func hindsAir(flow float64) StageConditions {
	return StageConditions{Flow: flow, Gas: Gas{Density: 1.20, Viscosity: 1.81e-5}, MeanFreePath: 0.066e-6, OilDensity: 1000}
}

func TestImpactorCutDiameter(t *testing.T) {
	// Marple & Willeke 1976 and Hinds 1999, chapter 5 (from memory), computed
	// independently: jet of width W, mm, and U, m/s; d50 √Cc and d50, µm.
	for _, c := range []struct{ width, velocity, corrected, cut float64 }{
		{1, 50, 0.88445, 0.81033}, {2, 20, 1.97768, 1.90197}, {3, 10, 3.42545, 3.34910},
	} {
		w := c.width * 1e-3
		r := RoundImpactor{Width: w, Jets: 7, Sharpness: 4}
		conditions := hindsAir(c.velocity * 7 * math.Pi / 4 * w * w)
		d := r.CutDiameter(conditions)
		assert.InDelta(t, c.cut*1e-6, d, 5.1e-12)
		assert.InDelta(t, c.corrected*1e-6, d*math.Sqrt(SlipCorrection(d, 0.066e-6)), 5.1e-12)
		assert.InDelta(t, 0.5, r.At(conditions).Grade(d), 1e-12)
		r.CutNumber = 0.49
		assert.Equal(t, d, r.CutDiameter(conditions), "0 stands for 0.49")
		conditions.MeanFreePath = 0
		assert.InDelta(t, c.corrected*1e-6, r.CutDiameter(conditions), 5.1e-12, "without slip")
	}
	slot := SlotImpactor{Width: 1e-3, Length: 0.04, Slots: 2, Sharpness: 4}
	conditions := hindsAir(20 * 2 * 1e-3 * 0.04)
	assert.InDelta(t, 2.12167e-6, slot.CutDiameter(conditions), 5.1e-12)
	assert.InDelta(t, 0.5, slot.At(conditions).Grade(2.12167e-6), 1e-4)
	conditions.MeanFreePath = 0
	assert.InDelta(t, 2.19754e-6, slot.CutDiameter(conditions), 5.1e-12)
	// Stk50 of 0.24 and 0.59 are what secondary pages print.
	assert.InDelta(t, 0.24, RoundCutNumber*RoundCutNumber, 0.005)
	assert.InDelta(t, 0.59, SlotCutNumber*SlotCutNumber, 0.005)
}

func TestImpactorScales(t *testing.T) {
	// d50 √Cc goes as √(W/U): four times the flow, or four times the jets'
	// number, halves or doubles it.
	c := hindsAir(1e-3)
	corrected := func(r RoundImpactor, c StageConditions) float64 {
		d := r.CutDiameter(c)
		return d * math.Sqrt(SlipCorrection(d, c.MeanFreePath))
	}
	r := RoundImpactor{Width: 2e-3, Jets: 10, Sharpness: 3}
	more, faster := r, c
	more.Jets, faster.Flow = 40, 4e-3
	assert.InEpsilon(t, 2*corrected(r, c), corrected(more, c), 1e-11)
	assert.InEpsilon(t, corrected(r, c)/2, corrected(r, faster), 1e-11)
	r.CutNumber = 0.98
	assert.InEpsilon(t, 2*corrected(RoundImpactor{Width: 2e-3, Jets: 10}, c), corrected(r, c), 1e-11)
}

func TestImpactorSharpness(t *testing.T) {
	c := hindsAir(1e-3)
	r := RoundImpactor{Width: 2e-3, Jets: 10, Sharpness: 3}
	d := r.CutDiameter(c)
	assert.InEpsilon(t, 1/(1+math.Pow(2, -6)), r.At(c).Grade(2*d), 1e-12)
	assert.InEpsilon(t, 1/(1+math.Pow(2, 6)), r.At(c).Grade(d/2), 1e-12)
	r.Sharpness = math.Inf(1)
	assert.Equal(t, 1.0, r.At(c).Grade(d*1.0001))
	assert.Equal(t, 0.0, r.At(c).Grade(d/1.0001))
	assert.Equal(t, 0.0, r.At(hindsAir(0)).Grade(1), "no flow catches nothing")
}

func TestImpactorLoss(t *testing.T) {
	// 50 m/s in air of 1.2 kg/m3 has a velocity head of 1500 Pa.
	r := RoundImpactor{Width: 2e-3, Jets: 10, LossHeads: 1.5}
	assert.InEpsilon(t, 2250, r.Loss(hindsAir(50*10*math.Pi*1e-6)), 1e-12)
	slot := SlotImpactor{Width: 1e-3, Length: 0.04, Slots: 2, LossHeads: 1.5}
	assert.InEpsilon(t, 2250, slot.Loss(hindsAir(50*2*0.04*1e-3)), 1e-12)
}

func TestImpactorRange(t *testing.T) {
	// Marple & Willeke 1976: Reynolds numbers of 500 to 3000 on the hydraulic
	// diameter, W of a hole and 2 W of a slot (from memory).
	at := func(reynolds, hydraulic float64) float64 { return reynolds * 1.81e-5 / (1.20 * hydraulic) }
	r := RoundImpactor{Width: 2e-3, Jets: 10, Sharpness: 3}
	slot := SlotImpactor{Width: 1e-3, Length: 0.04, Slots: 2, Sharpness: 3}
	for reynolds, inside := range map[float64]bool{0: false, 499: false, 501: true, 2999: true, 3001: false} {
		for _, err := range []error{
			r.CheckRange(hindsAir(at(reynolds, 2e-3) * 10 * math.Pi * 1e-6)),
			slot.CheckRange(hindsAir(at(reynolds, 2e-3) * 2 * 0.04 * 1e-3)),
		} {
			if inside {
				assert.NoError(t, err, "%g", reynolds)
				continue
			}
			var outside *RangeError
			require.ErrorAs(t, err, &outside, "%g", reynolds)
			assert.InDelta(t, reynolds, outside.Value, 1e-9)
		}
	}
}
