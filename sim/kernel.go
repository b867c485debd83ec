package sim

import (
	"context"
	"errors"
	"fmt"
	"math"

	"sumpward/physics"
)

// Kernel runs realizations one after another, reusing its memory. It is not
// safe for concurrent use; the zero value is not usable, see [NewKernel].
type Kernel struct {
	car         *Car
	network     *physics.Network // the one of the two below that fits an empty can
	shutNetwork physics.Network  // gas with the drain hose closed to it
	openNetwork physics.Network  // gas with the drain hose open to it
	flows       physics.Flows
	tabled      bool      // gas has one way, and the loss of its circuits is in a table
	alone       bool      // an unsealed drain is the only way of the gas
	past        []float64 // Pa at the far ends of circuits past the separator
	drainPath   physics.Hose
	upright     bool    // the drain's route: no acceleration changes its heights
	fall, rise  float64 // m of it, weighted, where upright
	heights     []float64

	points []operatingPoint // by phase of the lap
	lap    lapShape
	rates  []oilRate

	mist        mistTable
	temperature temperatureSteps
	oil         oilState
	scales      oilScales
	oilFit      oilFit
	curve       physics.FloodingCurve // at the present oil, where curveKnown
	curveKnown  bool
	piece       piece
	stretch     stretch
	cell        float64 // kg, size of the next secant cell
	last        lastRates

	now, mass     float64 // s, kg in hose and can
	overRate      float64 // kg/s, of the last stretch
	slipping      float64 // kg/s, see slipRate, of the present piece
	coverStep     float64 // s, shortest step near an uncovered port
	pieces        int     // so far
	heldTime      float64 // s
	peakFill      float64
	firstStanding float64 // s, when the can first stood at the choke level
	nextEmpty     float64 // s, when the can is emptied by hand
	stopped       bool
	stops         int     // of the engine
	topped        float64 // kg that topping up has put back
	phaseIndex    int     // see Car.Phase
	session       int     // index of the session length that comes next
	timers        timers
	hand          operatingPoint // full throttle on a straight
	bendsFrom     float64        // fill from which the gas path or the capture bends, 1 at the most
	largestUsable float64        // m3, over the phases
	hoseLight     float64        // kg that the hose holds of the lightest oil of the realization
	hoseFull      float64        // kg of the heaviest
	inCan, perPa  float64        // Pa per kg of oil that stands in the can, and its inverse
	lostLimit     float64        // kg out of the sump that are allowed
	mostLost      float64        // kg/s that leave the sump, the most of all operating points
	lostAfter     float64        // s until which no more than is allowed can have left it
	quietUntil    float64        // s until which oil that sleeps is not disturbed, see [Kernel.disturbed]
	out           *Outcome
	err           error     // of the gas network, met where no error can be returned
	spoilt        bool      // by a fault of the program
	luck          *Luck     // given; nil: drawn from (seed, realization)
	near          *nearness // how near events come; nil: not watched
	wakeful       bool      // no oil sleeps: for what is held to that

	// trace, when set, is called at the start and the end of every piece.
	trace func(*Kernel)
	every float64         // s, longest time between two calls of trace
	marks float64         // number of the next time that is a multiple of every
	ctx   context.Context // of a replay: ends it early
}

// NewKernel returns a kernel.
func NewKernel() *Kernel { return &Kernel{} }

// Realize runs one realization of a car and writes what it came to in out,
// reusing out's memory. An error names the realization and the seed, so that it
// can be run again alone.
func (k *Kernel) Realize(car *Car, seed, realization uint64, out *Outcome) error {
	if err := k.realize(car, seed, realization, out); err != nil {
		return fmt.Errorf("realization %d of seed %d: %w", realization, seed, err)
	}
	return nil
}

func (k *Kernel) realize(car *Car, seed, realization uint64, out *Outcome) error {
	if err := k.prepare(car, out); err != nil {
		return err
	}
	course := NewCourse(car, seed, realization)
	course.luck = k.luck
	if k.near != nil {
		k.near.start(car)
	}
	empty := 0
	for k.session < len(car.Sessions) {
		phase, duration, whole := course.phaseAhead()
		if whole {
			course.pass(duration)
		} else {
			leg := course.Next()
			k.begin(&leg)
			phase, duration = leg.Phase, leg.Duration
		}
		if duration > 0 {
			empty = 0
			k.phaseIndex = phase
			if err := k.drive(&k.points[phase], duration); err != nil {
				return err
			}
		} else if empty++; empty > mostEmpty {
			return fmt.Errorf("the duty takes no time: %d phases in a row last 0 s", empty)
		}
	}
	k.endStint()
	k.out.Balance.Held = k.mass
	if residual := out.Balance.Residual(); !(math.Abs(residual) <= balanceTolerance) {
		return fmt.Errorf("oil balance does not close: %.3g of what was carried over is missing", residual)
	}
	return nil
}

// drive runs one phase of so many seconds, or what of it falls within the
// longest session.
func (k *Kernel) drive(op *operatingPoint, duration float64) error {
	if op.phase.Stopped != k.stopped {
		k.startOrStop(op, duration)
	}
	if k.trace != nil {
		if slept, err := k.sleepTraced(op, duration); slept {
			return err
		}
	} else if k.sleep(op, duration) {
		return nil
	}
	return k.drivePieces(op, duration)
}

// drivePieces is drive, piece by piece.
func (k *Kernel) drivePieces(op *operatingPoint, duration float64) error {
	k.enter(op)
	if k.now+duration > k.temperature.until {
		k.warm(duration)
	}
	sessions := k.car.Sessions
	until := min(k.now+duration, sessions[len(sessions)-1])
	for idle := 0; k.now < until; {
		before := k.now
		if err := k.runPiece(k.nextCut(until, sessions[k.session])); err != nil {
			return err
		}
		if idle++; k.now > before {
			idle = 0
		}
		if idle > mostIdle || !(k.now >= before) {
			return fmt.Errorf("time stands still at %g s, in phase %d of the lap", before, k.phaseIndex+1)
		}
		if k.ctx != nil && k.ctx.Err() != nil {
			return k.ctx.Err()
		}
		for k.session < len(sessions) && k.now >= sessions[k.session] {
			k.snapshot()
		}
	}
	return nil
}

// balanceTolerance is how far the oil balance of a realization may be out, as a
// share of what was carried over.
const balanceTolerance = 1e-9

// mostIdle is how many pieces in a row may take no time.
const mostIdle = 100

// mostPieces is how many pieces a realization may take: ten times as many as the
// phases of the longest session that is read.
const mostPieces = 20_000_000

// mostEmpty is how many phases in a row may last no time.
const mostEmpty = 100_000

// prepare works out what stays the same all realization long.
func (k *Kernel) prepare(car *Car, out *Outcome) error {
	k.car, k.out, k.err = car, out, nil
	if err := car.checkSessions(); err != nil {
		return err
	}
	sessions, stints := out.Sessions[:0], out.Stints[:0]
	*out = Outcome{Overflow: Never, DrainChoked: Never, OverPressure: Never, OilLost: Never, Stints: stints}
	for range car.Sessions {
		sessions = append(sessions, SessionOutcome{})
	}
	out.Sessions = sessions
	out.PeakPressure = math.Inf(-1)
	k.buildNetworks()
	k.bendsFrom = min(car.Can.BlownOutFrom, car.Gas.Element.ClosesFrom, 1)
	k.inCan, k.perPa = gravity/car.Can.CrossSection, car.Can.CrossSection/gravity
	k.lostLimit = car.Limits.OilLost * car.Oil.Density15
	k.mist.start(car)
	if k.mist.outside(car.Gas.BlowByFull) != nil {
		out.StageExits++
	}
	k.scales.of(car)
	k.fitOil()
	k.largestUsable, k.mostLost = 0, 0
	if k.upright = car.Drain.Route.Upright(); k.upright {
		k.heights = car.Drain.Route.Heights(physics.Acceleration{}, k.heights)
		k.fall, k.rise = physics.WeightedFall(k.heights, car.Drain.Hose.Bore)
	}
	k.lap.of(car)
	k.rates = k.lap.carriedOver(car, k.rates)
	for len(k.points) < car.phases() {
		k.points = append(k.points, operatingPoint{})
	}
	for i := range car.phases() {
		var alike *operatingPoint
		if i < len(car.Lap) && k.lap.alike[i] < i {
			alike = &k.points[k.lap.alike[i]]
		}
		if rate := k.rates[i].total(); !(rate <= mostCarried) {
			return fmt.Errorf("%w (%.3g kg/s in phase %d of the lap): give less oil, a longer interval, or laps that are driven as the interval was", errTooMuch, rate, i+1)
		}
		if err := k.operatingPoint(&k.points[i], car.Phase(i), k.rates[i], alike); err != nil {
			return err
		}
		k.largestUsable = max(k.largestUsable, k.points[i].usable)
	}
	k.margins()
	k.reset(car.Oil.Start)
	return nil
}

// mostCarried is how much oil may leave the engine in any phase, kg/s: more than its pump
// moves. Oil that is said to go in a moment, or in a corner that takes next to no time,
// would come to tonnes.
const mostCarried = 10

var errTooMuch = errors.New("carry_over: more than 10 kg/s of oil would leave the engine")

// fitOil fits the oil's properties over the temperatures that its hose may take.
func (k *Kernel) fitOil() {
	oil := &k.car.Oil
	low, high := min(oil.Start, oil.Settled), max(oil.Start, oil.Settled)
	if k.car.cools() {
		low, high = min(low, oil.Ambient), max(high, oil.Ambient)
	}
	k.oilFit.start(oil, oil.inHose(low), oil.inHose(high))
	k.hoseLight, k.hoseFull = k.oilFit.lightest*k.scales.inHose*k.scales.held, k.oilFit.heaviest*k.scales.inHose*k.scales.held
}

// reset empties hose and can and starts the clock at a sump temperature in K.
func (k *Kernel) reset(temperature float64) {
	k.marks, k.session, k.pieces, k.coverStep = 0, 0, 0, coverStep
	k.now, k.mass, k.cell, k.heldTime, k.peakFill, k.overRate = 0, 0, 0, 0, 0, 0
	k.timers = timers{standing: math.NaN(), pressed: math.NaN()}
	k.stopped, k.firstStanding = false, Never
	k.stops, k.topped, k.lostAfter, k.quietUntil = 0, 0, 0, 0
	k.nextEmpty = Never
	if k.car.Drain.EmptyEvery > 0 {
		k.nextEmpty = k.car.Drain.EmptyEvery
	}
	k.temperature.start(0, temperature, k.car.Oil.Settled, k.car.Oil.TimeConstant, 0)
	k.oilAt(k.temperature.mean)
	k.piece.bottom = 0
	if k.car.Drain.Kind != NoDrain {
		k.piece.bottom = k.oil.heldMass
	}
}

// buildNetworks tells the gas networks this car's paths.
func (k *Kernel) buildNetworks() {
	g := &k.car.Gas
	d := &k.car.Drain
	k.shutNetwork = physics.Network{
		Gas: physics.BlowByGas(g.Temperature), LossFactor: physics.PulsationFactor(g.Pulsation),
		ToSeparator: g.ToSeparator, PastSeparator: g.Past,
		Element: g.Element, Outlet: g.Outlet, DrainSide: physics.AfterElement,
	}
	if k.car.Can.CollectsBefore {
		k.shutNetwork.DrainSide = physics.BeforeElement
	}
	k.drainPath = physics.Hose{Bore: d.Hose.Bore, Length: d.Hose.Length, LossCoefficient: d.Hose.LossCoefficient}
	k.openNetwork = k.shutNetwork
	k.openNetwork.Drain = &k.drainPath
	k.network = &k.shutNetwork
	if d.Kind == Unsealed {
		k.network = &k.openNetwork
	}
	k.tabled = k.network == &k.shutNetwork && len(g.Past) == 0 && g.Circuits.Of(g.ToSeparator)
	k.alone = d.Kind == Unsealed && len(g.ToSeparator)+len(g.Past) == 0
	k.past = k.past[:0]
	for range g.Past {
		k.past = append(k.past, 0)
	}
}

// enter begins the pieces of a phase.
func (k *Kernel) enter(op *operatingPoint) {
	k.piece.op, k.piece.n = op, 0
	k.coverStep = coverStep
	k.setPastPressure(op.phase)
}

// startOrStop starts or stops the engine for a phase of so many seconds.
func (k *Kernel) startOrStop(op *operatingPoint, ahead float64) {
	k.stopped = op.phase.Stopped
	oil := &k.car.Oil
	target, tau := oil.Settled, oil.TimeConstant
	if op.phase.Stopped {
		target, tau = oil.Ambient, oil.CoolingTimeConstant
	}
	k.temperature.start(k.now, k.temperature.at(k.now), target, tau, ahead)
	k.oilAt(k.temperature.mean)
	if op.phase.Stopped && k.phaseIndex < len(k.car.Lap) { // stops of a schedule are its own to see to
		if k.stops++; k.car.Drain.emptiedAtStop(k.stops) {
			k.emptyCan()
		}
	}
}

// warm goes on to the next step of temperature, for so many seconds to come.
func (k *Kernel) warm(ahead float64) {
	k.temperature.step(k.now, ahead)
	k.oilAt(k.temperature.mean)
}

// nextCut is when the present piece must end, s.
func (k *Kernel) nextCut(until, session float64) float64 {
	if k.now >= k.temperature.until {
		k.warm(until - k.now)
	}
	if k.now >= k.nextEmpty {
		k.emptyCan()
		for k.nextEmpty <= k.now {
			k.nextEmpty += max(k.car.Drain.EmptyEvery, 1e-3)
		}
	}
	cut := min(until, session, k.temperature.until, k.nextEmpty)
	if k.trace != nil {
		cut = min(cut, k.nextMark())
	}
	if k.car.Drain.Kind == BelowOil {
		k.slipping = k.slipRate(k.piece.op)
		step := k.steadySump(k.piece.op, k.slipping)
		k.followCover(step)
		cut = min(cut, k.now+step)
	}
	return cut
}

// nextMark is the next multiple of every, s. It is counted: dividing the present
// time rounds, and may find it again.
func (k *Kernel) nextMark() float64 {
	for k.every*k.marks <= k.now {
		k.marks++
	}
	return k.every * k.marks
}

// runPiece runs from now to a time in s with constant coefficients.
func (k *Kernel) runPiece(cut float64) error {
	if k.pieces++; k.pieces > mostPieces {
		return fmt.Errorf("more than %d steps, at %g s", mostPieces, k.now)
	}
	op := k.piece.op
	if k.trace == nil && k.glide(op, cut-k.now) {
		if cut-k.now < 1e-9 { // rounding
			k.now = cut
		}
		return nil
	}
	if k.car.Drain.Kind == BelowOil {
		k.piece.slip = k.out.Balance.OutOfSump() - k.topped + k.slipping*(cut-k.now)/2
	}
	k.layOut(op)
	k.spillExcess()
	if k.trace != nil {
		k.trace(k)
	}
	if err := k.advance(cut - k.now); err != nil {
		return err
	}
	if cut-k.now < 1e-9 { // rounding; a real rest is taken up by the next piece
		k.now = cut
	}
	if k.trace != nil {
		k.trace(k)
	}
	return nil
}

// spillExcess puts over the top what no longer fits: the usable volume has
// shrunk with the acceleration.
func (k *Kernel) spillExcess() {
	p := &k.piece
	if k.cell == 0 {
		k.cell = (p.full - p.bottom) / 8
	}
	if excess := k.mass - p.full; excess > 0 {
		k.out.Balance.Over += excess
		k.happens(Overflow, k.now)
		k.mass = p.full
		k.peakFill = 1
	}
}

// emptyCan takes out by hand what the can holds; what stands in a drain's hose
// stays there.
func (k *Kernel) emptyCan() {
	left := 0.0
	if kind := k.car.Drain.Kind; kind == Sealed || kind == BelowOil {
		if k.now > k.temperature.until { // it was asleep
			k.warm(0)
		}
		left = min(k.mass, k.oil.heldMass)
	}
	k.out.Balance.Emptied += k.mass - left
	k.mass = left
}

// topUp puts back the oil that is out of the sump.
func (k *Kernel) topUp() { k.topped = k.out.Balance.OutOfSump() + k.mass }

// snapshot notes where the realization stands at the end of a session length.
func (k *Kernel) snapshot() {
	b := &k.out.Balance
	held := math.NaN()
	if k.car.Drain.Kind != NoDrain {
		held = k.heldTime / k.now
	}
	k.out.Sessions[k.session] = SessionOutcome{
		PeakFill: k.peakFill, ToIntake: b.Uncaught + b.Over, HeldShare: held,
		OutOfSump: b.OutOfSump() + k.mass - k.topped, Held: k.mass, InCan: max(0, k.mass-k.piece.bottom), Emptied: b.Emptied,
	}
	k.session++
}
