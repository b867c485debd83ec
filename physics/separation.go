package physics

import "math"

// StageConditions is what flows through a stage.
type StageConditions struct {
	Flow         float64 // of the gas, m3/s; 0 or more
	Gas          Gas     // density and viscosity
	MeanFreePath float64 // of the gas, m; 0: no slip
	OilDensity   float64 // of the droplets, kg/m3
}

// BlowByConditions returns the conditions of blow-by gas at one standard
// atmosphere: flow in m3/s, temperature in K, oilDensity in kg/m3.
func BlowByConditions(flow, temperature, oilDensity float64) StageConditions {
	return StageConditions{flow, BlowByGas(temperature), MeanFreePath(temperature, StandardPressure), oilDensity}
}

// Stage is what catches droplets in a separator: a RoundImpactor, SlotImpactor,
// Cyclone, SettlingCan, Mesh or GradeTable.
type Stage interface {
	// At returns how the stage catches droplets under the conditions.
	At(c StageConditions) Cut
	// Loss returns the pressure lost in the stage, Pa.
	Loss(c StageConditions) float64
	// CheckRange returns a *RangeError if the equation of the stage doesn't
	// hold under the conditions; At and Loss carry it on.
	CheckRange(c StageConditions) error
}

// cutLaw is the law by which a Cut catches.
type cutLaw uint8

const (
	logisticCut cutLaw = iota
	settlingCut
	meshCut
	tableCut
)

// Cut is a stage under given conditions: its grade efficiency by diameter. It
// holds for the conditions it was made for alone.
type Cut struct {
	law           cutLaw
	centre, width float64 // where the grade efficiency bends, and how far that takes, in ln d
	freePath      float64 // m
	factor        float64 // settling: Stokes velocity over d² Cc; mesh: Stokes number over d² Cc
	reynolds      float64 // settling: Reynolds number over v d
	reach         float64 // settling: area over flow; mesh: exponent of a target that catches all
	kept          float64 // mesh: share of what is caught that stays
	table         *GradeTable
}

// Grade returns the share of droplets of a diameter, m, that the stage catches.
func (c Cut) Grade(diameter float64) float64 {
	return c.grade(&dropletSize{log: math.Log(diameter)})
}

// grade returns the grade efficiency at a size.
func (c *Cut) grade(s *dropletSize) float64 {
	switch c.law {
	case settlingCut:
		return c.settled(s)
	case meshCut:
		return c.meshed(s)
	case tableCut:
		return c.table.gradeAt(s.log - c.centre)
	}
	if s.log == c.centre {
		return 0.5
	}
	return 1 / (1 + math.Exp((c.centre-s.log)/c.width))
}

// dropletSize is a size as the cuts need it.
type dropletSize struct {
	log                 float64 // ln d
	diameter, corrected float64 // d, m, and d² Cc, m2; 0 until known, or needed
}

// workOut sets diameter and corrected.
func (s *dropletSize) workOut(freePath float64) {
	if s.diameter == 0 {
		s.diameter = math.Exp(s.log)
	}
	if s.corrected == 0 {
		s.corrected = s.diameter * s.diameter * SlipCorrection(s.diameter, freePath)
	}
}

// bends lie around the centre of a cut, in widths: dense where the grade
// efficiency turns; beyond the last it is flat to 1e-5, and smooth.
var bends = [...]float64{-12, -4, 0, 4, 12}

// nextBend returns the first bend above l, in ln d, or +∞.
func (c *Cut) nextBend(l float64) float64 {
	if c.law == tableCut {
		return c.table.nextBend(l, c.centre)
	}
	for _, k := range bends {
		if b := c.centre + k*c.width; b > l {
			return b
		}
	}
	return math.Inf(1)
}

// Separation is oil droplets that go through stages in series.
type Separation struct {
	Sizes  DropletSizes
	Stages []Stage // in the order in which the gas meets them; none catch nothing
}

// stagesInPlace is how many stages are worked out without allocating.
const stagesInPlace = 6

// Efficiency returns the share of the droplets' mass that the stages catch.
//
//	η = 1 - ∫ Π(1 - η_i(d)) dm(d)
//
// Each size goes through the stages on its own: droplets neither join nor break
// up between them. Gas that flows backwards catches as if it flowed forwards.
// The integral is good to 1e-6. It doesn't allocate with up to six stages.
func (s *Separation) Efficiency(c StageConditions) float64 {
	var room [stagesInPlace]Cut
	cuts := s.cuts(c, room[:0])
	share := s.Sizes.CoarseShare
	eta := 0.0
	if share < 1 {
		eta += (1 - share) * (1 - s.Sizes.Fine.passing(cuts))
	}
	if share > 0 {
		eta += share * (1 - s.Sizes.Coarse.passing(cuts))
	}
	return eta
}

// Grade returns the share of droplets of a diameter, m, that the stages catch.
func (s *Separation) Grade(diameter float64, c StageConditions) float64 {
	var room [stagesInPlace]Cut
	return 1 - passed(dropletSize{log: math.Log(diameter)}, s.cuts(c, room[:0]))
}

// CutDiameter returns the smallest diameter of which the stages catch half, m:
// by bisection between 1 nm and 1 m; 0 where they catch half even of 1 nm, +∞
// where not even of 1 m.
func (s *Separation) CutDiameter(c StageConditions) float64 {
	var room [stagesInPlace]Cut
	cuts := s.cuts(c, room[:0])
	low, high := math.Log(1e-9), 0.0
	if passed(dropletSize{log: low}, cuts) <= 0.5 {
		return 0
	}
	if passed(dropletSize{log: high}, cuts) > 0.5 {
		return math.Inf(1)
	}
	for range 50 {
		middle := (low + high) / 2
		if passed(dropletSize{log: middle}, cuts) > 0.5 {
			low = middle
		} else {
			high = middle
		}
	}
	return math.Exp(high)
}

// Loss returns the pressure lost in all stages, Pa, with the sign of the flow.
func (s *Separation) Loss(c StageConditions) float64 {
	sum := 0.0
	for _, stage := range s.Stages {
		sum += stage.Loss(c)
	}
	return sum
}

// CheckRange returns the *RangeError of the first stage whose equation doesn't
// hold under the conditions, or nil.
func (s *Separation) CheckRange(c StageConditions) error {
	for _, stage := range s.Stages {
		if err := stage.CheckRange(c); err != nil {
			return err
		}
	}
	return nil
}

// cuts appends the stages under the conditions, those first that cost least to
// work out; the order doesn't change what passes them all.
func (s *Separation) cuts(c StageConditions, cuts []Cut) []Cut {
	c.Flow = math.Abs(c.Flow)
	for _, stage := range s.Stages {
		cuts = append(cuts, stage.At(c))
	}
	cheap := 0
	for i := range cuts {
		if cuts[i].law == logisticCut {
			cuts[i], cuts[cheap] = cuts[cheap], cuts[i]
			cheap++
		}
	}
	return cuts
}

// headLoss returns heads velocity heads ½ρU², Pa, with the sign of the flow.
func headLoss(heads, velocity, density float64) float64 {
	return heads * density * velocity * math.Abs(velocity) / 2
}
