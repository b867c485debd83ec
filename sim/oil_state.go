package sim

import (
	"math"

	"sumpward/physics"
)

// oilState is the oil in hose and can at one temperature.
type oilState struct {
	hoseDensity float64 // kg/m3, what stands in the hose
	canDensity  float64 // kg/m3, what stands in the can
	sumpDensity float64 // kg/m3
	viscosity   float64 // Pa·s, in the hose
	a, b        float64 // drain: N = a q + b q²
	heldMass    float64 // kg that the hose holds under a column
}

// The kinematic viscosities in m2/s between which the D341 law holds. Thicker oil is
// taken to be as thick as this: it stands still, to a millilitre an hour, and the law
// knows no end there.
const (
	thinnest = 2e-6
	thickest = 20
)

// oilScales are what turns density and viscosity of a realization's oil into the state of
// what stands in hose and can.
type oilScales struct {
	inHose, inCan float64 // share of a volume that is oil
	stiffer       float64 // viscosity in the hose over that without gas
	a, b          float64 // of a drain with a viscosity of 1 Pa·s, a density of 1 kg/m3
	held          float64 // m3 that the hose holds under a column
}

func (s *oilScales) of(car *Car) {
	s.inHose = physics.AeratedDensity(1, car.Oil.HoseAeration*car.Oil.Aeration)
	s.inCan = physics.AeratedDensity(1, car.Oil.Aeration)
	s.stiffer = physics.AeratedViscosity(1, car.Oil.HoseAeration*car.Oil.Aeration)
	s.a, s.b = car.Drain.Hose.Resistance(1, 1)
	bore := car.Drain.Hose.Bore
	s.held = 0
	if car.Drain.Kind != NoDrain {
		s.held = math.Pi / 4 * bore * bore * car.Drain.HeldLength
	}
}

// inHose is the temperature in K of what stands in the hose at one of the sump.
func (o *Oil) inHose(sump float64) float64 { return o.Ambient + o.HoseWarmth*(sump-o.Ambient) }

// oilAt works out the oil at a sump temperature in K:
//
//	T_h = T_amb + θ (T - T_amb),  ρ_h = ρ (1 - κα),  μ_h = μ/(1 - κα),  ρ_f = ρ (1 - α)
func (k *Kernel) oilAt(sump float64) {
	oil, o, s := &k.car.Oil, &k.oil, &k.scales
	density, viscosity := k.oilFit.at(oil.inHose(sump))
	if viscosity < thinnest*density {
		k.out.RangeExits++
	}
	viscosity = min(viscosity, thickest*density)
	o.hoseDensity = density * s.inHose
	o.canDensity = density * s.inCan
	o.viscosity = viscosity * s.stiffer
	o.heldMass = o.hoseDensity * s.held
	if k.car.Drain.Kind == NoDrain {
		return
	}
	o.sumpDensity = density
	if k.car.Drain.Kind == BelowOil {
		o.sumpDensity = physics.OilDensity(oil.Density15, sump)
	}
	k.curveKnown, k.last.segment = false, nil
	o.a, o.b = s.a*o.viscosity, s.b*o.hoseDensity
}
