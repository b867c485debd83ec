package sim_test

import (
	"math"

	"sumpward/physics"
	"sumpward/sim"
)

// carryOver is the oil that leaves the crankcase, phase by phase.
type carryOver struct {
	car          *sim.Car
	flows        []float64 // m3/s by phase
	liquids      []float64 // kg/s by phase
	corners      []bool    // by phase: carry-over driven by cornering
	flow         float64   // m3/s, this phase
	mist, liquid float64   // kg/s, this phase
	cornering    bool
}

func (c *carryOver) enter(index int) {
	c.flow, c.liquid, c.cornering = c.flows[index], c.liquids[index], c.corners[index]
	c.mist = c.car.CarryOver.Mist * max(0, c.flow)
}

func newCarryOver(car *sim.Car) carryOver {
	n := len(car.Lap)
	c := carryOver{car: car, flows: make([]float64, n), liquids: make([]float64, n), corners: corners(car.Lap)}
	running, flowSum, cornerSum := 0.0, 0.0, 0.0
	byFlow := make([]float64, n)
	for i, p := range car.Lap {
		if p.Stopped {
			c.corners[i] = false
			continue
		}
		running += p.Duration
		q := car.Gas.BlowByClosed + (car.Gas.BlowByFull-car.Gas.BlowByClosed)*p.Load
		c.flows[i] = q
		if q <= 0 { // nothing leaves
			c.corners[i] = false
			continue
		}
		byFlow[i] = math.Pow(q/car.Gas.BlowByFull, car.CarryOver.FlowExponent)
		flowSum += byFlow[i] * p.Duration
		if c.corners[i] {
			cornerSum += p.Duration
		}
	}
	share := car.CarryOver.CornerShare
	if cornerSum == 0 {
		share = 0
	}
	for i := range addedBySchedule(car) { // phases without corners, engine running or not
		p := car.Phase(n + i)
		q := car.Gas.BlowByClosed + (car.Gas.BlowByFull-car.Gas.BlowByClosed)*p.Load
		shape := 0.0
		if p.Stopped {
			q = 0
		}
		if q > 0 {
			shape = math.Pow(q/car.Gas.BlowByFull, car.CarryOver.FlowExponent)
		}
		c.flows, c.liquids, c.corners = append(c.flows, q), append(c.liquids, 0), append(c.corners, false)
		byFlow = append(byFlow, shape)
	}
	for i := range c.flows {
		byCorner := 0.0
		if c.corners[i] {
			byCorner = running / cornerSum
		}
		mean := flowSum / running
		liquid := car.CarryOver.Liquid
		switch {
		case flowSum == 0:
		case car.CarryOver.AtFull:
			c.liquids[i] = (1-share)*liquid*byFlow[i] + share*liquid*mean*byCorner
		default:
			c.liquids[i] = liquid * ((1-share)*byFlow[i]/mean + share*byCorner)
		}
	}
	return c
}

// addedBySchedule is how many phases a schedule adds to those of the lap:
// engine stopped, idling, slow laps.
func addedBySchedule(car *sim.Car) int {
	if car.Schedule == nil {
		return 0
	}
	return 3
}

// corners tells which phases belong to a stretch above 0.8 g of lateral
// acceleration, either way, that lasts 1.5 s or more; the lap's end joins its
// beginning.
func corners(lap []sim.Phase) []bool {
	in := make([]bool, len(lap))
	at := func(i int) sim.Phase { return lap[((i%len(lap))+len(lap))%len(lap)] }
	hard := func(i int) bool { return math.Abs(at(i).Left) > 0.8*physics.StandardGravity }
	for i := range lap {
		if !hard(i) {
			continue
		}
		first, count, length := i, 0, 0.0
		for first > i-len(lap)+1 && hard(first-1) {
			first--
		}
		for ; count < len(lap) && hard(first+count); count++ {
			length += at(first + count).Duration
		}
		in[i] = length >= 1.5
	}
	return in
}
