package sim_test

// seen is what the reference went through, so that a corpus that misses a part
// of the model shows.
type seen struct {
	surelyHeld    float64 // s, see stand
	nearlyHeld    float64 // s
	columnHeld    float64 // s, a sealed column too short for what it has to hold
	floodedTime   float64 // s, an unsealed drain that delivers less than gravity would
	uncoveredTime float64 // s, a port above the sump's oil
	risenTime     float64 // s, sump oil on its way up the drain
	closingTime   float64 // s, a gas passage that oil partly closes
	blownTime     float64 // s, oil blown out again
	spills        int     // times that less room in the can sent oil over
	cornerTime    float64 // s, carry-over driven by cornering
	downTime      float64 // s, gas going down an unsealed drain
	coverings     int     // times that a port came uncovered or went under
}

// note books what a step of h seconds went through.
func (r *reference) note(now rates, h float64) {
	s, can := &r.seen, &r.car.Can
	x := r.oil.fill(r.mass)
	add := func(time *float64, is bool) {
		if is {
			*time += h
		}
	}
	add(&r.held, now.held.strictly)
	add(&s.surelyHeld, now.held.surely)
	add(&s.nearlyHeld, now.held.nearly)
	add(&s.columnHeld, now.held.strictly && !now.open)
	add(&s.floodedTime, now.flooded)
	add(&s.uncoveredTime, now.uncovered)
	add(&s.risenTime, now.drained < 0)
	add(&s.closingTime, x > r.car.Gas.Element.ClosesFrom && r.carry.flow > 0)
	add(&s.blownTime, x > can.BlownOutFrom && now.carried > 0)
	add(&s.cornerTime, r.carry.cornering)
	add(&s.downTime, now.open && r.gas.flows.Drain < 0)
	if now.uncovered != r.uncovered {
		s.coverings++
		r.uncovered = now.uncovered
	}
}
