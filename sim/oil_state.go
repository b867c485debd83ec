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

// thinnest is the kinematic viscosity in m2/s below which the plain D341 law
// leaves its range.
const thinnest = 2e-6

// oilAt works out the oil at a sump temperature in K:
//
//	T_h = T_amb + θ (T - T_amb),  ρ_h = ρ (1 - κα),  μ_h = μ/(1 - κα),  ρ_f = ρ (1 - α)
func (k *Kernel) oilAt(sump float64) {
	car, o := k.car, &k.oil
	oil := &car.Oil
	hose := oil.Ambient + oil.HoseWarmth*(sump-oil.Ambient)
	density := physics.OilDensity(oil.Density15, hose)
	nu := oil.Viscosity.At(hose)
	if nu < thinnest {
		k.out.RangeExits++
	}
	gas := oil.HoseAeration * oil.Aeration
	o.hoseDensity = physics.AeratedDensity(density, gas)
	o.canDensity = physics.AeratedDensity(density, oil.Aeration)
	o.viscosity = physics.AeratedViscosity(nu*density, gas)
	if car.Drain.Kind == NoDrain {
		return
	}
	o.sumpDensity = density
	if car.Drain.Kind == BelowOil {
		o.sumpDensity = physics.OilDensity(oil.Density15, sump)
	}
	o.a, o.b = car.Drain.Hose.Resistance(o.hoseDensity, o.viscosity)
	bore := car.Drain.Hose.Bore
	o.heldMass = o.hoseDensity * math.Pi / 4 * bore * bore * car.Drain.HeldLength
}
