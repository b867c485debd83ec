package exact

import "math"

// BrownianPassage is Brownian motion from 0 to a level above it, without a floor. A
// vessel that empties has a floor at 0: this is not its law.
type BrownianPassage struct {
	Drift float64 // 1/s
	SD    float64 // standard deviation after 1 s, 1/√s
	Level float64 // above 0
}

// ReachedBy returns the chance that the level has been reached by time t in s,
//
//	Φ((ν t - b)/(s √t)) + exp(2 ν b/s²) Φ((-b - ν t)/(s √t)).
//
// Source: Cox, Miller 1965, The Theory of Stochastic Processes, ch. 5 (from memory).
func (w BrownianPassage) ReachedBy(t float64) float64 {
	spread := w.SD * math.Sqrt(t)
	return normalCDF((w.Drift*t-w.Level)/spread) +
		math.Exp(2*w.Drift*w.Level/(w.SD*w.SD))*normalCDF((-w.Level-w.Drift*t)/spread)
}
