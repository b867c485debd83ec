package sim

import "math"

// The sump's surface may move this far while the fall is held at its middle, m:
// 0.4 Pa to either side.
const surfaceStep = 3e-5

// Near the moment at which a port comes uncovered the steps go down to this, s.
const coverStep = 0.02

// slipRate is how fast oil leaves the sump other than into hose and can, kg/s,
// at the present oil mass.
func (k *Kernel) slipRate(op *operatingPoint) float64 {
	caught := op.gas.caught(op.rate, &k.car.Can)
	if k.piece.op == op && k.piece.n > 0 {
		caught, _, _ = k.balanceAt(k.segmentAt(k.mass))
	}
	return op.rate.total()/k.car.CarryOver.BreatherShare - caught + k.overRate
}

// steadySump is how long the sump's surface stays put but for what is in hose
// and can, s; shorter the nearer the port is to coming uncovered.
func (k *Kernel) steadySump(op *operatingPoint) float64 {
	rate := k.slipRate(op)
	if rate <= 0 {
		return Never
	}
	perMetre := k.oil.sumpDensity * k.car.Drain.SumpArea
	step := surfaceStep * perMetre / rate
	if k.car.Drain.Surface == nil {
		return step
	}
	depth := op.heights[len(op.heights)-1] - op.portHeight
	gap := math.Abs(depth*perMetre - k.mass - k.out.Balance.OutOfSump())
	return min(step, max(coverStep, gap/rate/4))
}
