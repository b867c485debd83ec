package sim

// sleepTraced is [Kernel.sleep] where someone follows every piece: they are run one by one,
// but what comes after goes on from where oil that slept would be, so that a realization that
// is followed is the one that was run.
func (k *Kernel) sleepTraced(op *operatingPoint, dt float64) (slept bool, err error) {
	before := k.progress()
	if !k.sleep(op, dt) {
		return false, nil
	}
	after := k.progress()
	k.resume(before)
	err = k.drivePieces(op, dt)
	k.resume(after)
	return true, err
}

// progress is where a realization stands between two phases, as far as sleep and pieces
// move it.
type progress struct {
	now, mass, heldTime, peakFill, firstStanding float64
	overRate, cell, lostAfter, quietUntil        float64
	temperature                                  temperatureSteps
	oil                                          oilState
	timers                                       timers
	out                                          Outcome
}

func (k *Kernel) progress() progress {
	return progress{
		now: k.now, mass: k.mass, heldTime: k.heldTime, peakFill: k.peakFill, firstStanding: k.firstStanding,
		overRate: k.overRate, cell: k.cell, lostAfter: k.lostAfter, quietUntil: k.quietUntil,
		temperature: k.temperature, oil: k.oil, timers: k.timers, out: *k.out,
	}
}

func (k *Kernel) resume(s progress) {
	k.now, k.mass, k.heldTime, k.peakFill, k.firstStanding = s.now, s.mass, s.heldTime, s.peakFill, s.firstStanding
	k.overRate, k.cell, k.lostAfter, k.quietUntil = s.overRate, s.cell, s.lostAfter, s.quietUntil
	k.temperature, k.oil, k.timers = s.temperature, s.oil, s.timers
	k.curveKnown, k.last.segment = false, nil
	*k.out = s.out
}
