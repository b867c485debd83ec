package track

import "sumpward/physics"

// Phase is a stretch of nearly constant load and acceleration. Its values are
// the time means of the samples in it.
type Phase struct {
	Distance float64 // at its start, m
	Duration float64 // s
	Load     float64 // 0..1
	Forward  float64 // m/s2, ISO 8855 x
	Left     float64 // m/s2, ISO 8855 y
	Speed    float64 // m/s
}

// Tolerance is how far the samples of a phase may be from its mean. Zero fields
// take the defaults.
type Tolerance struct {
	Load         float64 // 0..1, default 0.05
	Acceleration float64 // m/s2, default 0.1 g
}

func (t Tolerance) withDefaults() Tolerance {
	if t.Load == 0 {
		t.Load = 0.05
	}
	if t.Acceleration == 0 {
		t.Acceleration = 0.1 * physics.StandardGravity
	}
	return t
}

// Phases cuts the lap into phases and appends them to dst[:0].
//
// Samples are merged as long as each lies within the tolerance of the time mean
// of its phase, in load and in both accelerations. Samples at full throttle are
// never merged with others. So time, distance, mean load, mean accelerations and
// the share of full throttle are kept.
func (l *Lap) Phases(t Tolerance, dst []Phase) []Phase {
	dst = dst[:0]
	t = t.withDefaults()
	var c cutter
	for i := range l.Samples {
		s := &l.Samples[i]
		if i > 0 && !c.fits(s, t) {
			dst = append(dst, c.phase())
			c = cutter{}
		}
		c.add(s)
	}
	if len(l.Samples) > 0 {
		dst = append(dst, c.phase())
	}
	return dst
}

// cutter holds the phase that is being built: of load, forward and left the time
// integral, the lowest and the highest value.
type cutter struct {
	distance, duration, length float64
	sum, low, high             [3]float64
	fullThrottle               bool
}

func (c *cutter) fits(s *Sample, t Tolerance) bool {
	if (s.Load >= FullThrottleLoad) != c.fullThrottle {
		return false
	}
	values := [3]float64{s.Load, s.Forward, s.Left}
	tolerance := [3]float64{t.Load, t.Acceleration, t.Acceleration}
	total := c.duration + s.Duration
	for k, v := range values {
		mean := (c.sum[k] + v*s.Duration) / total
		if max(c.high[k], v)-mean > tolerance[k] || mean-min(c.low[k], v) > tolerance[k] {
			return false
		}
	}
	return true
}

func (c *cutter) add(s *Sample) {
	values := [3]float64{s.Load, s.Forward, s.Left}
	if c.duration == 0 {
		c.low, c.high, c.distance = values, values, s.Distance
		c.fullThrottle = s.Load >= FullThrottleLoad
	}
	for k, v := range values {
		c.low[k], c.high[k] = min(c.low[k], v), max(c.high[k], v)
		c.sum[k] += v * s.Duration
	}
	c.duration += s.Duration
	c.length += s.Speed * s.Duration
}

// phase gives what was built. Load is kept within what its samples hold, so that
// rounding doesn't take a phase across the line of full throttle.
func (c *cutter) phase() Phase {
	return Phase{
		Distance: c.distance, Duration: c.duration,
		Load:    min(max(c.sum[0]/c.duration, c.low[0]), c.high[0]),
		Forward: c.sum[1] / c.duration, Left: c.sum[2] / c.duration,
		Speed: c.length / c.duration,
	}
}
