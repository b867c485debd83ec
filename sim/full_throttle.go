package sim

// FullThrottle returns full throttle on a straight at nominal values and settled
// oil, can empty: what the drain must beat there, and what it has. It simulates
// nothing.
func (m *Model) FullThrottle() (PhaseCheck, error) {
	car := *m.nominal
	k := NewKernel()
	var out Outcome
	if err := k.prepare(&car, &out); err != nil {
		return PhaseCheck{}, err
	}
	k.oilAt(car.Oil.Settled)
	return k.checkFullThrottle()
}

func (k *Kernel) checkFullThrottle() (PhaseCheck, error) {
	full := Phase{Load: 1}
	if err := k.operatingPoint(&k.hand, full, k.car.fullThrottleRate(), nil); err != nil {
		return PhaseCheck{}, err
	}
	return k.checkPhase(-1, full, &k.hand), nil
}
