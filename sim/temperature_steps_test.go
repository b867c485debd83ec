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
		const end, tau = 391.15, 360.0
		exact := func(at float64) float64 { return end + (start-end)*math.Exp(-at/tau) }
		var s temperatureSteps
		s.start(0, start, end, tau)
		integral, n := 0.0, 0
		for !math.IsInf(s.until, 1) {
			assert.InDelta(t, exact(s.began), s.at(s.began), 1e-9)
			assert.LessOrEqual(t, math.Abs(exact(s.until)-exact(s.began)), temperatureStep+1e-9)
			integral += s.mean * (s.until - s.began)
			s.next()
			n++
		}
		assert.InDelta(t, end*s.began-(start-end)*tau*(math.Exp(-s.began/tau)-1), integral, 1e-7*(1+integral), "time mean")
		assert.LessOrEqual(t, math.Abs(exact(s.began)-end), settledWithin)
		assert.Less(t, n, 240)
	}
	var s temperatureSteps
	s.start(100, 380, 300, 1200)
	s.start(150, s.at(150), 391, 360)
	assert.InDelta(t, 300+80*math.Exp(-50.0/1200), s.at(150), 1e-9)
}
