package sim

import (
	"math"

	"sumpward/physics"
)

// Corners that drive liquid oil over: lateral acceleration and how long it lasts.
// Both are priors without a published source; the share of the liquid that they
// drive is an uncertain input (CarryOver.CornerShare).
const (
	cornerAcceleration = 0.8 * physics.StandardGravity // m/s2
	cornerDuration     = 1.5                           // s
)

// oilRate is what leaves the crankcase with the gas in one phase, kg/s.
type oilRate struct{ mist, liquid float64 }

func (r oilRate) total() float64 { return r.mist + r.liquid }

// carriedOver returns the rates of every phase of a car on the lap, in dst:
//
//	mist   = c Q
//	liquid = m [(1-κ) q + κ c],  q = (Q/Q1)^n / mean,  c = 1 / mean in long corners
//
// each mean taken over the nominal lap with the engine running; phases that a
// schedule adds have no corners. With the rate
// stated at full throttle, m (Q/Q1)^n stands for m q. No gas, no oil.
func (s *lapShape) carriedOver(car *Car, dst []oilRate) []oilRate {
	flowMean, cornerMean := s.means(car)
	c := car.CarryOver
	share := c.CornerShare
	if cornerMean == 0 {
		share = 0
	}
	mean := c.Liquid
	if c.AtFull {
		mean *= flowMean
	}
	dst = dst[:0]
	perShape := 0.0
	if flowMean > 0 {
		perShape = mean * (1 - share) / flowMean
	}
	for i := range car.phases() {
		p := car.Phase(i)
		q := car.flow(&p)
		var r oilRate
		if q > 0 {
			r.mist = c.Mist * q
			r.liquid = perShape * s.flowShape(car, i, q)
			if share > 0 && i < len(car.Lap) && s.corner[i] {
				r.liquid += mean * share / cornerMean
			}
		}
		dst = append(dst, r)
	}
	return dst
}

// flowShape is (Q/Q1)^n in a phase, of the lap or added to it.
func (s *lapShape) flowShape(car *Car, phase int, q float64) float64 {
	if phase < len(s.flow) {
		return s.flow[phase]
	}
	return car.flowShape(q)
}

// fullThrottleRate is what leaves the crankcase at full throttle on a straight.
func (car *Car) fullThrottleRate() oilRate {
	flowMean, cornerMean := car.flowAndCornerMeans()
	c, q := car.CarryOver, car.Gas.BlowByFull
	share := c.CornerShare
	if cornerMean == 0 {
		share = 0
	}
	r := oilRate{mist: c.Mist * math.Max(q, 0)}
	switch {
	case q <= 0:
	case c.AtFull:
		r.liquid = c.Liquid * (1 - share)
	case flowMean > 0:
		r.liquid = c.Liquid * (1 - share) / flowMean
	}
	return r
}

// flow is the blow-by of a phase, m3/s.
func (car *Car) flow(p *Phase) float64 {
	if p.Stopped {
		return 0
	}
	return car.Gas.BlowBy(p.Load)
}

// flowShape is (Q/Q1)^n; 0 without flow.
func (car *Car) flowShape(q float64) float64 {
	if q <= 0 {
		return 0
	}
	return exp(min(max(car.CarryOver.FlowExponent*math.Log(q/car.Gas.BlowByFull), -700), 700))
}

// flowAndCornerMeans returns the means over the nominal lap, engine running, of
// (Q/Q1)^n and of the share of time in corners that drive oil over.
func (car *Car) flowAndCornerMeans() (flow, corner float64) {
	var s lapShape
	s.of(car)
	return s.means(car)
}

// inCorner reports whether phase i belongs to a stretch of phases, joined over
// the lap's end, in which the lateral acceleration stays above the threshold
// for long enough at nominal durations.
func (car *Car) inCorner(i int) bool {
	if !hard(car.Lap[i]) {
		return false
	}
	n, total := len(car.Lap), car.Lap[i].Duration
	for j := 1; j < n && hard(car.Lap[(i+j)%n]); j++ {
		total += car.Lap[(i+j)%n].Duration
	}
	for j := 1; j < n && hard(car.Lap[(i-j+n)%n]); j++ {
		total += car.Lap[(i-j+n)%n].Duration
	}
	return total >= cornerDuration
}

func hard(p Phase) bool { return math.Abs(p.Left) > cornerAcceleration }

// FlowMean and CornerMean report the nominal lap's means of (Q/Q1)^n and of the
// share of time in corners that drive liquid oil over.
func (car *Car) FlowMean() float64 { f, _ := car.flowAndCornerMeans(); return f }

// CornerMean: see FlowMean.
func (car *Car) CornerMean() float64 { _, c := car.flowAndCornerMeans(); return c }
