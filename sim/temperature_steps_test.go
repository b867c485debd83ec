package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The steps follow T(t) = T_end + (T_0 - T_end) e^(-t/τ): ends, means, and a
// change of target on the way.
func TestTemperatureSteps(t *testing.T) {
	for _, start := range []float64{293.15, 333.15, 420, 390.0, 391.16} {
		for _, ahead := range []float64{0, 3, 20, 4000} {
			const end, tau = 391.15, 360.0
			exact := func(at float64) float64 { return end + (start-end)*math.Exp(-at/tau) }
			var s temperatureSteps
			s.start(0, start, end, tau, ahead)
			integral, n, now := 0.0, 0, 0.0
			for !math.IsInf(s.until, 1) {
				assert.InDelta(t, exact(now), s.at(now), 1e-9)
				assert.LessOrEqual(t, math.Abs(exact(s.until)-exact(now)), longestStep+1e-9)
				integral += s.mean * (s.until - now)
				now = s.until
				s.step(now, ahead)
				n++
			}
			assert.InDelta(t, end*now-(start-end)*tau*(math.Exp(-now/tau)-1), integral, 1e-7*(1+integral), "time mean")
			assert.LessOrEqual(t, math.Abs(exact(now)-end), settledWithin)
			assert.Less(t, n, 240)
		}
	}
	var s temperatureSteps
	s.start(100, 380, 300, 1200, 10)
	s.start(150, s.at(150), 391, 360, 10)
	assert.InDelta(t, 300+80*math.Exp(-50.0/1200), s.at(150), 1e-9)
}
