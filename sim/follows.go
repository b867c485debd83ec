package sim

import (
	"context"
)

// Follows is what a scenario's inputs come to before anything is simulated in
// time, over realizations: the conversions between what is written and what
// drives the model.
type Follows struct {
	Realizations int

	BlowByFull   Spread // m3/s at full throttle
	BlowByClosed Spread // m3/s at closed throttle, net

	FullThrottle Spread // kg/s of oil out of the crankcase, full throttle on a straight
	Running      Spread // kg/s, mean of the nominal lap with the engine running
	Mist         Spread // share of that which is mist
	AtFull       Spread // kg/s of liquid at full throttle that would carry as much over, were all of it driven by the gas flow
	PerLap       Spread // m3 at 15 °C, a nominal lap
	PerSession   Spread // m3 at 15 °C, nominal laps of the longest session, stops left out

	LapTime           Spread // s
	FullThrottleShare Spread // of the lap's time

	MistCaught Spread // share of the mist that the separator catches at full throttle, can empty
	Loss       Spread // Pa across the element at full throttle

	PathFrom   Spread // m3 in the can, upright, from which its gas path begins to close
	PathClosed Spread // m3 at which it is closed
	Outside    int    // realizations in which a stage is outside the range of its equation at full throttle
	OutsideIn  string // which, at nominal values

	Usable        Spread // m3, upright
	UsableForward Spread // m3 at 1 g forward
	UsableBraking Spread // m3 at 1 g backward
	UsableLeft    Spread // m3 at 1 g in a left turn
	UsableRight   Spread // m3 at 1 g in a right turn
}

// Follows works out what the inputs come to over so many realizations of a seed
// (1 or more). It solves the gas network and simulates nothing in time.
func (m *Model) Follows(ctx context.Context, seed uint64, realizations int) (*Follows, error) {
	f := &Follows{Realizations: max(realizations, 1)}
	place := m.placed(DefaultDesign(), seed)
	k := NewKernel()
	fields := f.fields()
	drawn := make([][]float64, len(fields))
	for r := range f.Realizations {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		car, err := place.car(uint64(r))
		if err != nil {
			return nil, err
		}
		values, err := k.follows(car)
		if err != nil {
			return nil, err
		}
		if k.mist.outside(car.Gas.BlowByFull) != nil {
			f.Outside++
		}
		for i, v := range values {
			drawn[i] = append(drawn[i], v)
		}
	}
	for i, field := range fields {
		*field = spreadAcross(drawn[i])
	}
	if f.Outside > 0 {
		f.OutsideIn = m.stageOutside()
	}
	return f, nil
}

// fields lists the spreads in the order of [Kernel.follows].
func (f *Follows) fields() []*Spread {
	return []*Spread{
		&f.BlowByFull, &f.BlowByClosed, &f.FullThrottle, &f.Running, &f.Mist, &f.AtFull, &f.PerLap, &f.PerSession,
		&f.LapTime, &f.FullThrottleShare, &f.MistCaught, &f.Loss, &f.PathFrom, &f.PathClosed,
		&f.Usable, &f.UsableForward, &f.UsableBraking, &f.UsableLeft, &f.UsableRight,
	}
}

// follows works one realization out.
func (k *Kernel) follows(car *Car) ([]float64, error) {
	var out Outcome
	if err := k.prepare(car, &out); err != nil {
		return nil, err
	}
	full, err := k.checkFullThrottle()
	if err != nil {
		return nil, err
	}
	loss, err := k.elementLoss(&k.hand)
	if err != nil {
		return nil, err
	}
	var total, running, flat, oil, mist float64
	for i, p := range car.Lap {
		total += p.Duration
		if p.Stopped {
			continue
		}
		running += p.Duration
		oil += p.Duration * k.rates[i].total()
		mist += p.Duration * k.rates[i].mist
		if p.Load >= fullThrottle {
			flat += p.Duration
		}
	}
	flowMean := car.FlowMean()
	atFull := 0.0
	if flowMean > 0 {
		atFull = (oil - mist) / running / flowMean
	}
	share := 0.0
	if oil > 0 {
		share = mist / oil
	}
	laps := float64(max(len(car.Laps), 1))
	density := car.Oil.Density15
	g := [...]Phase{{}, {Forward: gravity}, {Forward: -gravity}, {Left: gravity}, {Left: -gravity}}
	values := []float64{
		car.Gas.BlowByFull, car.Gas.BlowByClosed,
		full.CarriedOver, oil / running, share, atFull, oil / density / laps,
		oil / density / total * car.longestSession(),
		total / laps, flat / total, k.hand.gas.mist, loss,
		car.Gas.Element.ClosesFrom * car.Can.UsableVolume, car.Gas.Element.ClosedAt * car.Can.UsableVolume,
	}
	for _, p := range g {
		values = append(values, car.usableVolume(p.Acceleration()))
	}
	return values, nil
}

// elementLoss is the pressure lost across the element at an operating point whose
// circuits past the separator are the last that were set, Pa. The network is solved
// for it: the point may have been taken from a phase that is alike.
func (k *Kernel) elementLoss(o *operatingPoint) (float64, error) {
	if _, err := k.solveGas(o, k.network, 0, 0, 0); err != nil {
		return 0, err
	}
	return k.flows.Before - k.flows.After, nil
}
