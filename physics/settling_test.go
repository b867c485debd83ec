package physics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestSettlingCan(t *testing.T) {
	can := SettlingCan{Area: 44e-4}
	for _, litres := range []float64{1, 30, 110, 300} {
		c := usual(litres)
		for _, microns := range []float64{0.2, 1, 5, 20, 76, 200, 1000} {
			v := Droplet{microns * 1e-6, c.OilDensity, c.Gas, c.MeanFreePath}.SettlingVelocitySchillerNaumann()
			assert.InDelta(t, 1-math.Exp(-v*44e-4/c.Flow), can.At(c).Grade(microns*1e-6), 2e-7, "%g L/min, %g µm", litres, microns)
		}
	}
	assert.Zero(t, can.Loss(usual(110)))
}

func TestSettlingTendsToAllWithoutFlow(t *testing.T) {
	can := SettlingCan{Area: 44e-4}
	last := 0.0
	for _, litres := range []float64{300, 110, 30, 3, 0.1, 0.001, 0} {
		s := Separation{usualSizes(), []Stage{can}}
		eta := s.Efficiency(usual(litres))
		assert.Greater(t, eta, last-1e-9, "%g L/min", litres)
		last = eta
	}
	assert.Equal(t, 1.0, last)
}

func TestSettlingBetweenNoMixingAndFullMixing(t *testing.T) {
	// With n = v A/Q: min(1, n) without mixing, n/(1 + n) with full mixing.
	can, c := SettlingCan{Area: 44e-4}, usual(110)
	most, least := 0.0, 0.0
	for d := 1e-6; d < 1e-3; d *= 1.01 {
		n := Droplet{d, c.OilDensity, c.Gas, c.MeanFreePath}.SettlingVelocitySchillerNaumann() * can.Area / c.Flow
		eta := can.At(c).Grade(d)
		most, least = math.Max(most, math.Min(1, n)-eta), math.Max(least, eta-n/(1+n))
		assert.LessOrEqual(t, eta, math.Min(1, n)+1e-6)
		assert.GreaterOrEqual(t, eta, n/(1+n)-1e-6)
	}
	assert.InDelta(t, 0.37, most, 0.005)
	assert.InDelta(t, 0.21, least, 0.01)
}
