package physics

import "math"

// solveThroughCircuits solves for the flow of the first circuit to the
// separator: every pressure difference follows from it going forward, and the
// sum of the flows rises with it by 1 or more.
func (p *operatingPoint) solveThroughCircuits() error {
	first := p.ToSeparator[0].resist(p.Gas)
	if p.Drain == nil && len(p.PastSeparator) == 0 {
		return p.solveSealed(first)
	}
	separator := func(q float64) (crankcase, slope, flow, flowSlope float64) {
		return p.behindCircuits(p.circuits(first, q))
	}
	return p.solveParted(separator, p.Flow*p.firstShare(first), func() bool { return p.solveUpDrain(first) })
}

// headKnown is to what share of the head over a drain's mouth the pressure across it is
// known.
const headKnown = 1e-12

// solveUpDrain solves for the flow up a drain so wide that the last digits of the head
// which stands over its mouth are more flow in it than may be missing. What the circuits
// carry is known then, from the search that failed: it goes with that head. It reports
// whether the flows add up.
func (p *operatingPoint) solveUpDrain(first hoseResistance) bool {
	drop, _, flow, _ := p.circuits(first, p.out.ToSeparator[0])
	across := drop
	if p.DrainSide == AfterElement {
		loss, _ := p.element.loss(flow)
		across += loss
	}
	if p.Drain == nil || !(math.Abs(across-p.DrainHead) <= headKnown*p.DrainHead) {
		return false
	}
	_, found := steepRoot(func(up float64) (float64, float64) {
		out := p.out
		out.Drain, out.Element = up, flow
		elementSlope := 0.0
		if p.DrainSide == BeforeElement {
			out.Element, elementSlope = flow+up, 1
		}
		loss, lossSlope := p.element.loss(out.Element)
		after, slope := p.throughOutlet(flow + up)
		out.Before = after + loss
		out.Crankcase, slope = out.Before+drop, slope+lossSlope*elementSlope
		past, pastSlope := p.past(out.Crankcase)
		return flow + up + past - p.Flow, 1 + pastSlope*slope
	}, 0, p.tolerance)
	return found && p.out.Drain >= 0
}

// solveSealed solves a network whose circuits to the separator carry all of the
// flow: directly if they are all the same, else for the flow of the first.
func (p *operatingPoint) solveSealed(first hoseResistance) error {
	share, found := p.Flow/float64(len(p.ToSeparator)), true
	if !p.identicalCircuits() {
		share, found = stalledRoot(func(q float64) (float64, float64) {
			_, _, total, slope := p.circuits(first, q)
			return total - p.Flow, slope
		}, p.Flow*p.firstShare(first), p.tolerance)
	}
	p.behindCircuits(p.circuits(first, share))
	if !found || math.IsNaN(p.out.Crankcase) || math.IsInf(p.out.Crankcase, 0) {
		return p.unbalanced()
	}
	return nil
}

func (p *operatingPoint) identicalCircuits() bool {
	for i := range p.ToSeparator {
		if p.ToSeparator[i] != p.ToSeparator[0] {
			return false
		}
	}
	return true
}

// firstShare estimates the first circuit's share of all flow, as if there were
// no heads and friction were turbulent.
func (p *operatingPoint) firstShare(first hoseResistance) float64 {
	conductance := func(h hoseResistance) float64 {
		return 1 / math.Sqrt(h.dynamic*(h.fittings+0.03*h.slender))
	}
	own := conductance(first)
	total := own
	for i := range p.ToSeparator[1:] {
		total += conductance(p.ToSeparator[i+1].resist(p.Gas))
	}
	if p.Drain != nil && p.DrainHead == 0 {
		total += conductance(p.drain)
	}
	return own / total
}

// circuits sets the flow of every circuit to the separator when the first one
// carries q. It returns the drop along them and their total flow, each with its
// slope against q.
func (p *operatingPoint) circuits(first hoseResistance, q float64) (drop, dropSlope, total, totalSlope float64) {
	steady, steadySlope := first.drop(q)
	p.out.ToSeparator[0] = q
	total, totalSlope = q, 1
	for i := 1; i < len(p.ToSeparator); i++ {
		flow, slope := q, 1.0
		if p.ToSeparator[i] != p.ToSeparator[0] {
			flow, slope = p.ToSeparator[i].resist(p.Gas).flow(steady, p.out.ToSeparator[i])
			slope *= steadySlope
		}
		p.out.ToSeparator[i] = flow
		total += flow
		totalSlope += slope
	}
	return steady * p.LossFactor, steadySlope * p.LossFactor, total, totalSlope
}

// behindCircuits sets the pressures, and the flows of the drain, the element
// and the outlet, from the drop along the circuits and their flow. It returns
// the crankcase pressure and the flow through the outlet, each with its slope.
func (p *operatingPoint) behindCircuits(drop, dropSlope, flow, flowSlope float64) (crankcase, slope, outlet, outletSlope float64) {
	out := p.out
	if p.DrainSide == BeforeElement {
		up, upSlope := p.upDrain(drop)
		out.Drain = up
		flow += up
		flowSlope += upSlope * dropSlope
	}
	out.Element = flow
	loss, lossSlope := p.element.loss(flow)
	across, acrossSlope := drop+loss, dropSlope+lossSlope*flowSlope
	if p.DrainSide == AfterElement {
		up, upSlope := p.upDrain(across)
		out.Drain = up
		flow += up
		flowSlope += upSlope * acrossSlope
	}
	after, afterSlope := p.throughOutlet(flow)
	out.Before = after + loss
	out.Crankcase = after + across
	return out.Crankcase, afterSlope*flowSlope + acrossSlope, flow, flowSlope
}

// throughOutlet sets the flow of the outlet and the pressure after the element, and
// returns that pressure with its slope against the flow.
func (p *operatingPoint) throughOutlet(flow float64) (after, slope float64) {
	drop, slope := p.outlet.drop(flow)
	p.out.Outlet = flow
	p.out.After = p.OutletPressure + p.LossFactor*drop
	return p.out.After, slope * p.LossFactor
}

// upDrain returns the gas flow up an unsealed drain at a pressure across it,
// and its slope.
func (p *operatingPoint) upDrain(across float64) (flow, slope float64) {
	if p.Drain == nil || p.DrainHead > 0 && across <= p.DrainHead {
		return 0, 0
	}
	flow, slope = p.drain.flow((across-p.DrainHead)/p.LossFactor, p.out.Drain)
	return flow, slope / p.LossFactor
}

// past sets the flows past the separator at a crankcase pressure, and returns
// their total with its slope.
func (p *operatingPoint) past(crankcase float64) (total, slope float64) {
	for i := range p.PastSeparator {
		flow, s := p.PastSeparator[i].resist(p.Gas).flow((crankcase-p.PastPressure[i])/p.LossFactor, p.out.PastSeparator[i])
		p.out.PastSeparator[i] = flow
		total += flow
		slope += s / p.LossFactor
	}
	return total, slope
}
