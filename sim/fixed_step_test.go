package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/physics"
	"sumpward/scenarios"
	"sumpward/sim/sampling"
)

// What the kernel's speed is measured against: the sealed drain in steps of 50 ms, as one
// would write it down first, and the same with all that can be prepared prepared. Both
// are the same equations; neither locates anything within a step.

const fixedStep = 0.05 // s

// fixedSteps is what a fixed-step run comes to.
type fixedSteps struct {
	mass, peak, drained, uncaught float64
	overflow                      float64
}

// plainSteps steps a sealed drain with the oil's properties, the gas and the head worked
// out in every step.
func plainSteps(car *Car, seed, realization uint64) fixedSteps {
	k := NewKernel()
	if err := k.prepare(car, &Outcome{}); err != nil {
		panic(err)
	}
	r := fixedSteps{overflow: Never}
	course := NewCourse(car, seed, realization)
	end := car.longestSession()
	for now := 0.0; now < end-1e-9; {
		leg := course.Next()
		p := car.Phase(leg.Phase)
		for left := math.Min(leg.Duration, end-now); left > 1e-9; {
			dt := math.Min(fixedStep, left)
			sump := car.Oil.Settled + (car.Oil.Start-car.Oil.Settled)*math.Exp(-now/car.Oil.TimeConstant)
			hose := car.Oil.Ambient + car.Oil.HoseWarmth*(sump-car.Oil.Ambient)
			density := physics.OilDensity(car.Oil.Density15, hose)
			viscosity := car.Oil.Viscosity.At(hose) * density / (1 - car.Oil.Aeration*car.Oil.HoseAeration)
			inHose, inCan := density*(1-car.Oil.Aeration*car.Oil.HoseAeration), density*(1-car.Oil.Aeration)
			a, b := car.Drain.Hose.Resistance(inHose, viscosity)
			var op operatingPoint
			if err := k.operatingPoint(&op, p, k.rates[leg.Phase], nil); err != nil {
				panic(err)
			}
			r.step(car, &op, oilState{hoseDensity: inHose, canDensity: inCan, a: a, b: b, heldMass: inHose * k.scales.held}, now, dt)
			now += dt
			left -= dt
		}
	}
	return r
}

// leanSteps steps it with everything prepared that stays the same in a phase: the
// temperature is that of the phase's middle.
func (k *Kernel) leanSteps(car *Car, seed, realization uint64) fixedSteps {
	if err := k.prepare(car, &Outcome{}); err != nil {
		panic(err)
	}
	r := fixedSteps{overflow: Never}
	course := NewCourse(car, seed, realization)
	end := car.longestSession()
	for now := 0.0; now < end-1e-9; {
		phase, duration := course.lapPhase()
		duration = math.Min(duration, end-now)
		k.oilAt(k.temperature.at(now + duration/2))
		op, oil := &k.points[phase], k.oil
		steps := math.Ceil(duration / fixedStep)
		dt := duration / steps
		for range int(steps) {
			r.step(car, op, oil, now, dt)
			now += dt
		}
	}
	return r
}

// step goes one step: the drain's flow is that of the head halfway, by the linear rate.
func (r *fixedSteps) step(car *Car, op *operatingPoint, oil oilState, now, dt float64) {
	whole := oil.canDensity * op.usable
	full := oil.heldMass + whole
	column := oil.hoseDensity * gravity
	head, slope := column*(op.fall*math.Min(1, r.mass/oil.heldMass)-op.rise)-op.against, column*op.fall/oil.heldMass
	if r.mass > oil.heldMass {
		slope = gravity / car.Can.CrossSection
		head += slope * (r.mass - oil.heldMass)
	}
	out := 0.0
	if head > 0 {
		q := physics.DrainFlow(oil.a, oil.b, head)
		rate := oil.hoseDensity * q
		perKg := oil.hoseDensity * slope / (oil.a + 2*oil.b*q) // dOut/dM: implicit, a hose empties in less than a step
		out = (rate + perKg*dt*op.caught) / (1 + perKg*dt)
		out = math.Min(out, r.mass/dt+op.caught)
	}
	r.mass += (op.caught - out) * dt
	r.drained += out * dt
	r.uncaught += (op.carried - op.caught) * dt
	if r.mass > full {
		r.mass = full
		r.overflow = math.Min(r.overflow, now)
	}
	r.peak = math.Max(r.peak, (r.mass-oil.heldMass)/whole)
}

// builtIn is the built-in scenario over 20 min: 14 laps of 15 phases.
func builtIn(t testing.TB, sessions string) *Model {
	t.Helper()
	s, err := scenarios.Ready("sealed-drain")
	require.NoError(t, err)
	s, err = s.With(scenarios.Change{Path: "sessions", Value: sessions})
	require.NoError(t, err)
	m, err := NewModel(s)
	require.NoError(t, err)
	return m
}

// carsOf settles the first realizations of a model.
func carsOf(t testing.TB, m *Model, n int) []*Car {
	t.Helper()
	var list []*Car
	for i := range n {
		car, err := m.placed(sampling.LatinHypercube{}, 1).car(uint64(i))
		require.NoError(t, err)
		list = append(list, car)
	}
	return list
}

// The fixed steps are the same model: what is compared in speed agrees in what it finds.
func TestFixedStepsAreTheSameModel(t *testing.T) {
	k, lean := NewKernel(), NewKernel()
	var out Outcome
	for i, car := range carsOf(t, builtIn(t, "[20 min]"), 12) {
		require.NoError(t, k.Realize(car, 1, uint64(i), &out))
		prepared := lean.leanSteps(car, 1, uint64(i))
		assert.InDelta(t, out.Sessions[0].PeakFill, max(prepared.peak, 0), 0.01)
		assert.InEpsilon(t, out.Balance.Drained+1e-3, prepared.drained+1e-3, 0.02)
		if i < 2 {
			plain := plainSteps(car, 1, uint64(i))
			assert.InDelta(t, out.Sessions[0].PeakFill, max(plain.peak, 0), 0.01)
		}
	}
}
