package physics

import "math"

// throughSeparator is the way of gas through the separator: by a flow to search by, the
// pressure of the crankcase and the flow out of it, with their slopes.
type throughSeparator func(q float64) (crankcase, slope, flow, flowSlope float64)

// solveParted solves a network whose gas parts between the separator and other ways.
func (p *operatingPoint) solveParted(separator throughSeparator, trial float64) error {
	balance := func(q float64) (float64, float64) {
		crankcase, slope, flow, flowSlope := separator(q)
		past, pastSlope := p.past(crankcase)
		return flow + past - p.Flow, flowSlope + pastSlope*slope
	}
	if _, found := steepRoot(balance, trial, p.tolerance); found || p.solveByPast(separator) {
		return nil
	}
	if _, found := stalledRoot(balance, trial, p.tolerance); found {
		return nil
	}
	return p.unbalanced()
}

// solveByPast finds the flows by that in the widest circuit past the separator, where
// next to nothing goes through the separator: a digit of so small a flow moves all others
// by more than they may be off.
func (p *operatingPoint) solveByPast(separator throughSeparator) bool {
	if len(p.PastSeparator) == 0 {
		return false
	}
	widest := 0
	for i, h := range p.PastSeparator {
		if h.Bore > p.PastSeparator[widest].Bore {
			widest = i
		}
	}
	hose := p.PastSeparator[widest].resist(p.Gas)
	through := 0.0
	_, found := steepRoot(func(q float64) (float64, float64) {
		drop, dropSlope := hose.drop(q)
		drop, dropSlope = drop*p.LossFactor, dropSlope*p.LossFactor
		crankcase := p.PastPressure[widest] + drop
		var flow, slope float64
		var met bool
		through, met = steepRoot(func(q float64) (float64, float64) {
			at, pressureSlope, f, flowSlope := separator(q)
			flow, slope = f, flowSlope/pressureSlope
			return at - crankcase, pressureSlope
		}, through, math.Max(1e-13*math.Abs(crankcase), 1e-9))
		if !met {
			return math.NaN(), 1
		}
		past, pastSlope := p.past(crankcase)
		past += q - p.out.PastSeparator[widest]
		p.out.PastSeparator[widest] = q
		return flow + past - p.Flow, (slope + pastSlope) * dropSlope
	}, p.Flow, p.tolerance)
	return found
}
