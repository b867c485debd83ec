package sim

import (
	"context"
	"fmt"
	"math"

	"sumpward/scenarios"
	"sumpward/sim/sampling"
)

// Trace is one realization against time.
type Trace struct {
	Seed, Realization uint64
	Inputs            []TraceInput // the uncertain inputs as drawn
	Points            []TracePoint
	Outcome           Outcome
	Car               *Car
}

// TraceInput is one drawn input, SI.
type TraceInput struct {
	Quantity *scenarios.Quantity
	Value    float64
}

// TracePoint is a moment.
type TracePoint struct {
	Time          float64 // s
	Phase         int     // index in Car.Lap
	Load          float64 // 0..1
	Forward, Left float64 // m/s2
	Temperature   float64 // K, sump
	Crankcase     float64 // Pa gauge
	Against       float64 // Pa that a sealed drain must beat; NaN otherwise
	Head          float64 // Pa of oil in hose and can; NaN without a drain
	OilInCan      float64 // m3, as it stands there
	Fill          float64 // 0..1 of the usable volume under the acceleration
	DrainFlow     float64 // m3/s down the hose
	ToIntake      float64 // kg that reached intake or air so far
	Held          bool    // the drain does not run
}

// Replay runs one realization again and notes it at least every so many seconds
// and wherever the duty or the regime changes. The design says how realizations
// of the run that it belongs to were placed; nil: [DefaultDesign]. When the
// context ends first, so does the replay, with the context's error.
func (m *Model) Replay(ctx context.Context, design sampling.Design, seed, realization uint64, every float64) (*Trace, error) {
	if !(every > 0) {
		return nil, fmt.Errorf("replay: a point every %g s: must be above 0", every)
	}
	if design == nil {
		design = DefaultDesign()
	}
	place := m.placed(design, seed)
	car, err := place.car(realization)
	if err != nil {
		return nil, err
	}
	t := &Trace{Seed: seed, Realization: realization, Car: car}
	for _, q := range m.Drawn() {
		t.Inputs = append(t.Inputs, TraceInput{q, place.settler.binding.v[q.ID]})
	}
	k := NewKernel()
	k.every, k.ctx = every, ctx
	k.trace = func(k *Kernel) { t.note(k) }
	return t, k.Realize(car, seed, realization, &t.Outcome)
}

// note takes down the present moment; of several at one time the last stays.
func (t *Trace) note(k *Kernel) {
	op, b := k.piece.op, &k.out.Balance
	p := TracePoint{
		Time: k.now, Phase: k.phaseIndex, Load: op.phase.Load, Forward: op.phase.Forward, Left: op.phase.Left,
		Temperature: k.temperature.at(k.now), OilInCan: max(0, k.mass-k.piece.bottom) / k.oil.canDensity,
		Fill: min(k.piece.fill(k.mass), 1), ToIntake: b.Uncaught + b.Over,
		Against: math.NaN(), Head: math.NaN(),
	}
	s := k.segmentAt(k.mass)
	_, drained, crankcase := k.balanceAt(s)
	p.Crankcase = crankcase
	p.DrainFlow = drained / k.oil.hoseDensity
	switch k.car.Drain.Kind {
	case NoDrain:
		p.DrainFlow = 0
	case Sealed, BelowOil:
		p.Against = k.against(op.gas)
		p.Head = k.head(k.mass, op.fall, op.rise)
		p.Held = drained <= 0
	default:
		p.Head = k.head(k.mass, op.fall, op.rise)
		p.Held = drained <= 0
	}
	if k.mass <= 0 {
		p.DrainFlow = min(p.DrainFlow, k.piece.caught/k.oil.hoseDensity)
	}
	if n := len(t.Points); n > 0 && t.Points[n-1].Time == p.Time && t.Points[n-1].Phase == p.Phase {
		t.Points[n-1] = p
		return
	}
	t.Points = append(t.Points, p)
}

// segmentAt is the segment that an oil mass lies in, the lower one at an edge.
func (k *Kernel) segmentAt(mass float64) *segment {
	p, i := &k.piece, 0
	for i < p.n-1 && mass > p.segments[i].high {
		i++
	}
	return &p.segments[i]
}
