package physics

import "math"

// throughSeparator is the way of gas through the separator: by a flow to search by, the
// pressure of the crankcase and the flow out of it, with their slopes.
type throughSeparator func(q float64) (crankcase, slope, flow, flowSlope float64)

// solveParted solves a network whose gas parts between the separator and other ways. Where
// the search ends beside the root it asks otherwise, which goes on from there and reports
// whether it got to it.
func (p *operatingPoint) solveParted(separator throughSeparator, trial float64, otherwise func() bool) error {
	balance := func(q float64) (float64, float64) {
		crankcase, slope, flow, flowSlope := separator(q)
		past, pastSlope := p.past(crankcase)
		return flow + past - p.Flow, flowSlope + pastSlope*slope
	}
	_, found := steepRoot(balance, trial, p.tolerance)
	if found || p.giveRemainder() || otherwise() {
		return nil
	}
	if _, found := stalledRoot(balance, trial, p.tolerance); found {
		return nil
	}
	return p.unbalanced()
}

// What is known of a network no closer, where numbers can't tell: pressures to a share of
// the highest, as the last digits of what a wide hose carries lose pressure in a narrow
// one behind it; and flows to the share of themselves to which [Hose.Flow] finds them.
const (
	pressureKnown = 1e-7
	flowKnown     = 1e-11
)

// giveRemainder gives what the flows miss of the demand to the circuit past the separator
// in which it takes least pressure, and reports whether that is no more than is known of
// it. Where a circuit loses next to nothing, a digit of the pressure in the crankcase is
// more flow in it than may be missing: what it carries is known from the others alone.
func (p *operatingPoint) giveRemainder() bool {
	widest, least := -1, 0.0
	for i, h := range p.PastSeparator {
		if _, slope := h.resist(p.Gas).drop(p.out.PastSeparator[i]); widest < 0 || slope < least {
			widest, least = i, slope
		}
	}
	if widest < 0 {
		return false
	}
	missing := p.Flow - p.sum()
	q := p.out.PastSeparator[widest] + missing
	drop, _ := p.PastSeparator[widest].resist(p.Gas).drop(q)
	off := math.Abs(p.PastPressure[widest] + drop*p.LossFactor - p.out.Crankcase)
	highest := max(math.Abs(p.out.Crankcase), math.Abs(p.OutletPressure))
	for _, end := range p.PastPressure {
		highest = max(highest, math.Abs(end))
	}
	if !(off <= pressureKnown*highest || math.Abs(missing) <= flowKnown*math.Abs(q)) {
		return false
	}
	p.out.PastSeparator[widest] = q
	return true
}
