package physics

import "math"

// solveWithoutCircuits solves a network in which no circuit leads to the
// separator: gas reaches it up the drain only.
func (p *operatingPoint) solveWithoutCircuits() error {
	p.out.Element = 0
	switch {
	case p.Drain == nil && len(p.PastSeparator) == 0:
		return ErrNoPath
	case p.Drain == nil:
		return p.solvePastAlone()
	case len(p.PastSeparator) == 0:
		return p.solveDrainAlone()
	}
	separator := func(up float64) (crankcase, slope, flow, flowSlope float64) {
		crankcase, slope = p.behindDrain(up, p.DrainHead)
		return crankcase, slope, up, 1
	}
	if p.DrainHead > 0 {
		if crankcase, _, _, _ := separator(0); p.pastFlow(crankcase) >= p.Flow {
			return p.solvePastAlone()
		}
	}
	return p.solveParted(separator, 0.5*p.Flow, func() bool { return false })
}

// pastFlow is the flow past the separator at a pressure of the crankcase.
func (p *operatingPoint) pastFlow(crankcase float64) float64 {
	flow, _ := p.past(crankcase)
	return flow
}

// solveDrainAlone answers a network whose only path is the drain.
func (p *operatingPoint) solveDrainAlone() error {
	head := 0.0
	if p.Flow > 0 {
		head = p.DrainHead
	}
	p.behindDrain(p.Flow, head)
	if math.IsNaN(p.out.Crankcase) || math.IsInf(p.out.Crankcase, 0) {
		return p.unbalanced()
	}
	return nil
}

// behindDrain sets pressures and flows when the drain carries up, under a head
// of oil over its mouth, and nothing else leads to the separator. It returns
// the crankcase pressure with its slope.
func (p *operatingPoint) behindDrain(up, head float64) (crankcase, slope float64) {
	out := p.out
	out.Drain = up
	drop, dropSlope := p.drain.drop(up)
	across, acrossSlope := head+p.LossFactor*drop, p.LossFactor*dropSlope
	after, afterSlope := p.throughOutlet(up)
	out.Before = after
	if p.DrainSide == BeforeElement {
		loss, lossSlope := p.element.loss(up)
		out.Element = up
		out.Before = after + loss
		afterSlope += lossSlope
	}
	out.Crankcase = across + p.collecting()
	return out.Crankcase, acrossSlope + afterSlope
}

// collecting returns the pressure on the side where the oil collects, Pa.
func (p *operatingPoint) collecting() float64 {
	if p.DrainSide == BeforeElement {
		return p.out.Before
	}
	return p.out.After
}

// solvePastAlone solves a network in which the gas goes past the separator
// only, for the flow of the first circuit.
func (p *operatingPoint) solvePastAlone() error {
	p.throughOutlet(0)
	p.out.Before = p.out.After
	first := p.PastSeparator[0].resist(p.Gas)
	_, found := steepRoot(func(q float64) (float64, float64) {
		drop, slope := first.drop(q)
		p.out.Crankcase = p.PastPressure[0] + p.LossFactor*drop
		total, totalSlope := p.past(p.out.Crankcase)
		p.out.PastSeparator[0] = q
		return total - p.Flow, totalSlope * slope * p.LossFactor
	}, p.Flow/float64(len(p.PastSeparator)), p.tolerance)
	if !found && !p.giveRemainder() {
		return p.unbalanced()
	}
	return nil
}
