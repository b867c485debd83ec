package sim

import (
	"math"

	"sumpward/physics"
)

// HandHorizon is the longest full throttle that is looked at, s. What hasn't
// happened by then counts as never.
const HandHorizon = 2 * 3600

// margins notes how far the drain is from being held or flooded, at settled oil
// and with the can empty, in the worst phase of the lap.
func (k *Kernel) margins() {
	k.out.DrainMargin, k.out.FloodShare = math.NaN(), math.NaN()
	if k.car.Drain.Kind == NoDrain {
		return
	}
	k.oilAt(k.car.Oil.Settled)
	if k.car.Drain.Kind == Unsealed {
		limit := k.flooding().GasLimit()
		k.out.FloodShare = 0
		for i := range k.car.Lap {
			k.out.FloodShare = max(k.out.FloodShare, k.points[i].gas.upDrain/limit)
		}
		return
	}
	column := 1 / (k.oil.hoseDensity * gravity)
	k.out.DrainMargin = math.Inf(1)
	for i := range k.car.Lap {
		k.out.DrainMargin = min(k.out.DrainMargin, k.marginAt(&k.points[i], column))
	}
}

// marginAt is the column in m that the drain has to spare in a phase with the hose full
// and the can empty, so many m standing for a Pa.
func (k *Kernel) marginAt(o *operatingPoint, column float64) float64 {
	fall, rise := o.fall, o.rise
	if k.car.Drain.Kind == BelowOil {
		fall, rise = physics.WeightedFall(o.heights, k.car.Drain.Hose.Bore)
	}
	return fall - rise - o.against*column
}

// Hand returns for how many seconds of full throttle, from empty with settled
// oil and on a straight, no oil stands in the can at the choke level, and for
// how many none goes over. Never: not within [HandHorizon]. It goes with the car
// of the last call of Realize.
func (k *Kernel) Hand() (toStand, toOver float64, err error) {
	out := k.out
	defer func() { k.out = out }()
	scratch := Outcome{Overflow: Never, DrainChoked: Never, OverPressure: Never, OilLost: Never}
	k.out = &scratch
	phase := Phase{Load: 1}
	if err := k.operatingPoint(&k.hand, phase, k.car.fullThrottleRate(), nil); err != nil {
		return 0, 0, err
	}
	k.reset(k.car.Oil.Settled)
	k.nextEmpty = Never
	k.enter(&k.hand)
	for k.now < HandHorizon && scratch.Overflow == Never {
		if err := k.runPiece(k.nextCut(HandHorizon, HandHorizon)); err != nil {
			return 0, 0, err
		}
	}
	toStand = k.firstStanding
	if k.car.Drain.Kind == NoDrain {
		toStand = Never
	}
	return toStand, scratch.Overflow, nil
}
