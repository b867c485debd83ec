package sim

import (
	"fmt"
	"math"
	"slices"

	"sumpward/physics"
)

// DrainKind says how caught oil leaves the can.
type DrainKind int

// The kinds of drain.
const (
	NoDrain  DrainKind = iota // emptied by hand
	Sealed                    // ends above the oil behind a valve or a trap
	Unsealed                  // a plain hose into crankcase gas
	BelowOil                  // ends below the sump's oil
)

// Car is one engine with its separator, drain and duty in which every number
// is settled: what one realization simulates. SI units throughout.
type Car struct {
	Gas       GasPath
	Can       Can
	Oil       Oil
	CarryOver CarryOver
	Drain     Drain

	Lap      []Phase   // what repeats: one nominal lap, or several in a row
	Laps     []int     // index in Lap of the first phase of each nominal lap; {0} for one
	Pattern  *Pattern  // random bursts instead of laps; Lap then holds burst and rest
	Spread   float64   // coefficient of variation of full-throttle time, lap to lap
	Schedule *Schedule // stints and stops; nil: driven without a stop
	Limits   Limits
	Sessions []float64 // s, ascending
}

// GasPath is what blow-by meets on its way.
type GasPath struct {
	BlowByFull, BlowByClosed float64 // m3/s
	Temperature              float64 // K
	IntakeDepression         float64 // Pa below atmospheric at full throttle
	Pulsation                float64 // flow amplitude over mean

	ToSeparator []physics.Hose
	Circuits    *physics.Parallel // their loss in a table; nil, or that of others: worked out
	Past        []physics.Hose
	PastToAir   []bool // by circuit: ends in open air, not at the intake
	Element     physics.Element
	Outlet      physics.Hose
	OutletToAir bool
}

// BlowBy returns the breather flow in m3/s at a load of 0..1:
//
//	Q = Q_0 + (Q_1 - Q_0) load
func (g *GasPath) BlowBy(load float64) float64 {
	return g.BlowByClosed + (g.BlowByFull-g.BlowByClosed)*load
}

// Intake returns the gauge pressure ahead of the compressor in Pa at a load of 0..1:
//
//	p_i = -d load²
func (g *GasPath) Intake(load float64) float64 { return -g.IntakeDepression * load * load }

// Can is the separator's vessel.
type Can struct {
	UsableVolume, CrossSection float64             // m3, m2
	OutletOffset               float64             // m, gas outlet from the can's axis
	Shape                      *physics.CanShape   // nil: only volume, cross-section and offset are known
	Efficiency                 float64             // of the mist
	Separation                 *physics.Separation // efficiency from droplets, instead; nil: it is stated
	CollectsBefore             bool                // oil collects ahead of the element
	BlownOutFrom               float64             // fill
	EfficiencyWhenFull         float64             // capture at full over capture below BlownOutFrom
}

// Oil is the oil and its temperature.
type Oil struct {
	Viscosity    physics.ViscosityLaw
	Density15    float64 // kg/m3
	Aeration     float64 // gas share in the can
	HoseAeration float64 // of Aeration, what stays in the hose

	Start, Settled, Ambient           float64 // K
	TimeConstant, CoolingTimeConstant float64 // s
	HoseWarmth                        float64 // of the sump's excess over ambient
}

// CarryOver is the oil that leaves the crankcase with the gas.
type CarryOver struct {
	Mist          float64 // kg per m3 of gas
	Liquid        float64 // kg/s: mean over the nominal lap, or at full throttle
	AtFull        bool    // Liquid is the rate at full throttle
	FlowExponent  float64
	CornerShare   float64
	BreatherShare float64 // of the oil that goes missing; the rest is burnt. 1 where it isn't known
}

// Drain is the way back.
type Drain struct {
	Kind       DrainKind
	Valve      bool
	OpensAt    float64 // Pa
	Port       float64 // Pa, return port minus breather take-off
	Hose       physics.DrainHose
	Route      physics.Route
	HeldLength float64 // m of hose that stands full under a held column; 0 unsealed
	Flooding   float64 // Wallis' constant

	Surface  *physics.Point // below oil: centroid of the sump's oil surface; nil: the fall ends at it
	SumpArea float64        // m2

	EmptyEvery   float64 // s; +Inf: never within a session
	EmptyAtStops bool    // of the engine, in the lap; a schedule has stops of its own (see [Schedule])
	EmptyNth     int     // with EmptyAtStops: at every so many; 0 counts as 1
}

// emptiedAtStop reports whether the can is emptied at a stop of the engine, from 1.
func (d *Drain) emptiedAtStop(stop int) bool {
	return d.EmptyAtStops && stop%max(d.EmptyNth, 1) == 0
}

// Phase is a stretch of constant load and acceleration.
type Phase struct {
	Duration float64 // s, nominal
	Load     float64 // 0..1
	Forward  float64 // m/s2
	Left     float64 // m/s2
	Stopped  bool
}

// Acceleration returns the body acceleration in m/s2.
func (p Phase) Acceleration() physics.Acceleration {
	return physics.Acceleration{X: p.Forward, Y: p.Left}
}

// Pattern is a duty of alternating bursts and rests with gamma-distributed
// durations. A session starts with a rest.
type Pattern struct {
	Burst, Rest float64 // s, means
	Spread      float64 // coefficient of variation of both; 1 is exponential
}

// cools reports whether the engine stands anywhere in laps or schedule, so that the oil
// cools.
func (car *Car) cools() bool {
	stands := func(i ScheduleItem) bool { return i.Stop && !i.EngineRuns && i.Duration > 0 }
	return slices.ContainsFunc(car.Lap, func(p Phase) bool { return p.Stopped }) ||
		car.Schedule != nil && slices.ContainsFunc(car.Schedule.Items, stands)
}

// Limits are what counts as failing.
type Limits struct {
	Pressure   float64 // Pa in the crankcase
	OilLost    float64 // m3 at 15 °C
	ChokeLevel float64 // fill
	ChokeTime  float64 // s at or above ChokeLevel without a break
}

// Never is the first time of an event that did not happen.
var Never = math.Inf(1)

// longestSession is the longest session length, s; 0 without any.
func (car *Car) longestSession() float64 {
	if len(car.Sessions) == 0 {
		return 0
	}
	return car.Sessions[len(car.Sessions)-1]
}

// checkSessions insists on session lengths that rise from above 0.
func (car *Car) checkSessions() error {
	last := 0.0
	for _, length := range car.Sessions {
		if !(length > last) {
			return fmt.Errorf("session lengths must rise, from above 0 s (got %g s after %g s)", length, last)
		}
		last = length
	}
	if last == 0 || math.IsInf(last, 1) {
		return fmt.Errorf("no session length to simulate up to (got %v)", car.Sessions)
	}
	return nil
}
