package sim

import "math"

// The sump's surface may move this far while the fall is held at its middle, m:
// 0.4 Pa to either side.
const surfaceStep = 3e-5

// No step is shorter for the sump's surface than this, s: oil that a wide hose pours over
// the top by kilograms a second would else be followed by the tenth of a millisecond.
const surfaceTime = 2e-3

// Near the moment at which a port comes uncovered the steps go down to this, s; while the
// oil stays there, at the edge of a port that it covers and uncovers, each is longer than
// the one before by this factor.
const (
	coverStep   = 0.02
	coverGrowth = 1.5
)

// slipRate is how fast oil leaves the sump other than into hose and can, kg/s,
// at the present oil mass.
func (k *Kernel) slipRate(op *operatingPoint) float64 {
	caught := op.gas.caught(op.rate, &k.car.Can)
	if k.piece.op == op && k.piece.n > 0 {
		caught, _, _ = k.balanceAt(k.segmentAt(k.mass))
	}
	return op.rate.total()/k.car.CarryOver.BreatherShare - caught + k.overRate
}

// sunkShare is how far the surface may move besides, as a share of how far it has
// sunk: oil that leaves for hours would else be followed in ever more steps.
const sunkShare = 1e-3

// steadySump is how long the sump's surface stays put but for what is in hose
// and can, s, while oil leaves at a rate of [Kernel.slipRate]; shorter the nearer
// the port is to coming uncovered, and for good once it is.
func (k *Kernel) steadySump(op *operatingPoint, rate float64) float64 {
	if rate <= 0 {
		return Never
	}
	gone := k.out.Balance.OutOfSump() - k.topped
	perMetre := k.oil.sumpDensity * k.car.Drain.SumpArea
	step := max(surfaceStep*perMetre/rate, sunkShare*math.Abs(gone)/rate, surfaceTime)
	if k.car.Drain.Surface == nil {
		return step
	}
	left := (op.heights[len(op.heights)-1]-op.portHeight)*perMetre - gone // kg in hose and can at which the port is uncovered
	if left < 0 {
		return Never
	}
	return min(step, max(k.coverStep, math.Abs(left-k.mass)/rate/4))
}

// followCover sets how short steps near an uncovered port may become after one of so many
// seconds.
func (k *Kernel) followCover(step float64) {
	if step <= k.coverStep {
		k.coverStep *= coverGrowth
	} else {
		k.coverStep = coverStep
	}
}
