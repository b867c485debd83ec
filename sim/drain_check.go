package sim

import (
	"context"
	"fmt"
	"math"

	"sumpward/physics"
)

// Time that the drain check lets pass with settled oil before it looks whether
// oil still gathers, s.
const checkTime = 3 * 3600

// DrainCheck is what pressures and heights say of a drain at nominal values,
// without sampling.
type DrainCheck struct {
	Kind         DrainKind
	SealedByTrap bool // a climb in the hose seals a drain written without a seal

	Phases       []PhaseCheck
	FullThrottle PhaseCheck // on a straight
	LowPoints    []LowPointCheck

	HoseDensity  float64 // kg/m3 of what stands in the hose, settled
	Viscosity    float64 // Pa·s of it
	ColumnPerKPa float64 // m of it that one kPa holds up

	MeanDrainFlow   float64 // m3/s that the drain must carry on average
	SelfVentingFlow float64 // m3/s that the bore carries without trapping gas
	Froude          float64 // of the mean flow

	Slope, LeastSlope float64 // fall over length, and the least for a drain line
	ColumnFrequency   float64 // Hz of the column in the hose

	ToStand, ToOver float64 // s of full throttle in hand; Never: not within HandHorizon

	LapTime     float64 // s
	HeldShare   float64 // of a lap, once settled; NaN without a drain
	LongestHeld float64 // s on end, within the last lap
	PeakFill    float64 // highest fill of a lap, once settled

	BacksUpAfter   float64 // s of nominal laps from empty, oil settled, until the drain counts as choked; Never within three hours
	OverflowsAfter float64 // s until oil goes over
}

// PhaseCheck is one operating point. What doesn't apply is NaN.
type PhaseCheck struct {
	Index       int // of the lap's phase, from 0; -1 for full throttle on a straight
	Phase       Phase
	BlowBy      float64 // m3/s
	Crankcase   float64 // Pa gauge
	Can         float64 // Pa gauge, on the side that the drain sees
	Against     float64 // Pa that a sealed drain must beat
	Column      float64 // m of oil that this takes
	Fall        float64 // m there is: weighted fall less climbs
	Margin      float64 // m in hand
	GasUp       float64 // m/s up an unsealed drain
	GasLimit    float64 // m/s at which no oil comes down it
	Usable      float64 // m3 of the can under the phase's acceleration
	CarriedOver float64 // kg/s
	Held        bool
}

// LowPointCheck is a low point of the drain hose at rest.
type LowPointCheck struct {
	Name       string
	Climb      float64 // m that the hose climbs after it
	WeightLost float64 // share of what falls after it that no longer helps
	Trap       bool    // a climb of a bore or more
}

// CheckDrain works out the drain at nominal values and settled oil.
func (m *Model) CheckDrain(ctx context.Context) (*DrainCheck, error) {
	car := *m.nominal
	k := NewKernel()
	var out Outcome
	if err := k.prepare(&car, &out); err != nil {
		return nil, err
	}
	k.oilAt(car.Oil.Settled)
	c := &DrainCheck{
		Kind: car.Drain.Kind, SealedByTrap: m.SealedByTrap(),
		HoseDensity: k.oil.hoseDensity, Viscosity: k.oil.viscosity,
		ColumnPerKPa: physics.ColumnHeight(1000, k.oil.hoseDensity),
		LeastSlope:   physics.SelfVentingSlope, LapTime: car.nominalLap(),
	}
	for i, p := range car.Lap {
		c.Phases = append(c.Phases, k.checkPhase(i, p, &k.points[i]))
	}
	var err error
	if c.FullThrottle, err = k.checkFullThrottle(); err != nil {
		return nil, err
	}
	c.hose(k, m.nominal, m.scenario.Drain.Dip != nil)
	if c.ToStand, c.ToOver, err = k.Hand(); err != nil {
		return nil, err
	}
	return c, c.settle(ctx, m)
}

func (k *Kernel) checkPhase(i int, p Phase, o *operatingPoint) PhaseCheck {
	nan := math.NaN()
	c := PhaseCheck{
		Index: i, Phase: p, BlowBy: o.flow, Crankcase: o.gas.crankcase,
		Can: o.gas.crankcase - o.gas.drive, Usable: o.usable, CarriedOver: o.rate.total(),
		Against: nan, Column: nan, Fall: nan, Margin: nan, GasUp: nan, GasLimit: nan,
	}
	d := &k.car.Drain
	if d.Kind == NoDrain {
		return c
	}
	c.Fall = o.fall - o.rise
	if d.Kind == BelowOil {
		fall, rise := physics.WeightedFall(o.heights, d.Hose.Bore)
		c.Fall = fall - rise
	}
	if d.Kind == Unsealed {
		area := math.Pi / 4 * d.Hose.Bore * d.Hose.Bore
		c.GasUp = max(0, o.gas.upDrain) / area
		c.GasLimit = k.flooding().GasLimit() / area
		c.Held = c.GasUp >= c.GasLimit || c.Fall <= 0
		return c
	}
	c.Against = k.against(o.gas)
	c.Column = physics.ColumnHeight(c.Against, k.oil.hoseDensity)
	c.Margin = c.Fall - c.Column
	c.Held = c.Margin <= 0
	return c
}

// hose checks the hose itself: low points, slope, bore, and how the column swings.
func (c *DrainCheck) hose(k *Kernel, car *Car, dipped bool) {
	d := &car.Drain
	if d.Kind == NoDrain {
		c.HeldShare = math.NaN()
		return
	}
	for i, low := range d.Route.LowPoints(d.Hose.Bore) {
		name := fmt.Sprintf("low point %d, at point %d of the route", i+1, low.Index+1)
		if dipped {
			name = "the dip"
		}
		c.LowPoints = append(c.LowPoints, LowPointCheck{
			Name:  name,
			Climb: low.Climb, WeightLost: low.WeightLost, Trap: low.Trap,
		})
	}
	fall, _ := physics.WeightedFall(d.Route.Heights(physics.Acceleration{}, nil), d.Hose.Bore)
	if d.Hose.Length > 0 {
		c.Slope = fall / d.Hose.Length
	}
	c.SelfVentingFlow = physics.SelfVentingFlow(d.Hose.Bore)
	if length := d.HeldLength; length > 0 {
		c.ColumnFrequency = physics.ColumnFrequency(length)
	}
	total := 0.0
	for i := range car.Lap {
		total += car.Lap[i].Duration * k.points[i].gas.caught(k.points[i].rate, &car.Can)
	}
	lap := car.nominalLap() * float64(max(len(car.Laps), 1))
	c.MeanDrainFlow = total / lap / k.oil.hoseDensity
	c.Froude = physics.FroudeNumber(c.MeanDrainFlow, d.Hose.Bore)
}

// settle drives nominal laps with settled oil for hours: what the column does
// between full throttle and the rest of a lap, and what comes of it.
func (c *DrainCheck) settle(ctx context.Context, m *Model) error {
	car := *m.nominal
	car.Oil.Start = car.Oil.Settled
	car.Spread, car.Schedule = 0, nil
	lap := c.LapTime * float64(max(len(car.Laps), 1))
	laps := math.Ceil(checkTime / lap)
	car.Sessions = []float64{laps * lap, (laps + 1) * lap}
	k := NewKernel()
	k.every, k.ctx = lap, ctx
	var heldBefore, heldOnEnd, last float64
	k.trace = func(k *Kernel) {
		if k.now <= car.Sessions[0] {
			heldBefore, last = k.heldTime, k.now
			return
		}
		c.PeakFill = max(c.PeakFill, k.piece.fill(k.mass))
		heldOnEnd += k.now - last
		if k.stretch.heldFor(k.mass) < k.stretch.duration {
			heldOnEnd = 0
		}
		c.LongestHeld = max(c.LongestHeld, heldOnEnd)
		last = k.now
	}
	var out Outcome
	if err := k.realize(&car, 0, 0, &out); err != nil {
		return err
	}
	c.BacksUpAfter, c.OverflowsAfter = out.DrainChoked, out.Overflow
	if c.Kind != NoDrain {
		c.HeldShare = (k.heldTime - heldBefore) / lap
	}
	return nil
}
