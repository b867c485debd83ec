package sim_test

import (
	"math"

	"sumpward/physics"
	"sumpward/sim"
)

// oilState is the oil in hose and can at one temperature and acceleration.
type oilState struct {
	sumpDensity, hoseDensity, canDensity float64 // kg/m3
	viscosity                            float64 // in the hose, Pa·s
	laminar, quadratic                   float64 // of the drain: N = a q + b q²
	hose                                 float64 // kg that the hose holds
	usable                               float64 // m3 under the phase's acceleration
	area                                 float64 // of the can, m2
}

// updateOil computes the properties of the oil anew.
func (r *reference) updateOil() {
	o, d := &r.car.Oil, &r.car.Drain
	t := o.Ambient + o.HoseWarmth*(r.sump-o.Ambient)
	density := physics.OilDensity(o.Density15, t)
	s := oilState{
		sumpDensity: physics.OilDensity(o.Density15, r.sump),
		hoseDensity: physics.AeratedDensity(density, o.HoseAeration*o.Aeration),
		canDensity:  physics.AeratedDensity(density, o.Aeration),
		area:        r.car.Can.CrossSection,
	}
	s.viscosity = physics.AeratedViscosity(density*o.Viscosity.At(t), o.HoseAeration*o.Aeration)
	if d.Kind != sim.NoDrain {
		s.laminar, s.quadratic = d.Hose.Resistance(s.hoseDensity, s.viscosity)
	}
	if d.Kind == sim.Sealed || d.Kind == sim.BelowOil {
		s.hose = s.hoseDensity * math.Pi / 4 * d.Hose.Bore * d.Hose.Bore * d.HeldLength
	}
	c := &r.car.Can
	tilt := math.Hypot(r.phase.Forward, r.phase.Left) / physics.StandardGravity
	s.usable = max(0.2*c.UsableVolume, c.UsableVolume-c.CrossSection*c.OutletOffset*tilt)
	if c.Shape != nil {
		s.usable = max(0.001*c.UsableVolume, c.Shape.UsableVolume(r.phase.Acceleration()))
	}
	r.oil = s
}

// full returns the oil in hose and can when the can is full, kg.
func (s *oilState) full() float64 { return s.hose + s.canDensity*s.usable }

// fill returns the fill at a mass of oil in hose and can.
func (s *oilState) fill(mass float64) float64 {
	return max(0, mass-s.hose) / (s.canDensity * s.usable)
}

// head returns the pressure of the oil that stands in the can, Pa.
func (s *oilState) head(mass float64) float64 {
	return physics.StandardGravity * max(0, mass-s.hose) / s.area
}

// passageHead returns the pressure of a whole fill, Pa.
func (s *oilState) passageHead() float64 {
	return s.canDensity * physics.StandardGravity * s.usable / s.area
}
