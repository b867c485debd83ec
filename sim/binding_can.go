package sim

import (
	"fmt"
	"math"

	"sumpward/physics"
	"sumpward/scenarios"
)

// can settles the vessel. The gas path must have been settled before: a shape
// closes it, and stages that lose pressure set its loss.
func (b *binding) can(c *Car) error {
	sep, can := &b.s.Separator, &c.Can
	*can = Can{
		UsableVolume:   b.listed(sep.UsableVolume),
		CrossSection:   b.of(sep.CrossSection),
		OutletOffset:   b.of(sep.Outlet.OffAxis),
		Efficiency:     b.of(sep.Efficiency),
		CollectsBefore: sep.OilCollects == "before",

		BlownOutFrom:       b.of(sep.OilBlownOutFrom),
		EfficiencyWhenFull: b.of(sep.EfficiencyWhenFull),
	}
	if sep.Diameter != nil {
		can.CrossSection = math.Pi / 4 * b.of(sep.Diameter) * b.of(sep.Diameter)
	}
	if sep.Shape != nil {
		b.shape(c)
	}
	if len(sep.Elements) > 0 {
		return b.separation(c)
	}
	return nil
}

// listed is the settled value of a quantity that need not be an input.
func (b *binding) listed(q *scenarios.Quantity) float64 {
	if q == nil || q.ID < 0 {
		return q.Nominal()
	}
	return b.v[q.ID]
}

// shape settles a can of known shape: what it holds, from which fill its gas
// path closes, and from which oil reaches the inlet. Where the volume is stated
// the shape is stretched upwards to hold it.
func (b *binding) shape(c *Car) {
	sep, can := &b.s.Separator, &c.Can
	s := sep.Shape
	b.canShape = physics.CanShape{Diameter: b.of(sep.Diameter), Height: b.of(s.Height), Outlet: b.point(s.Outlet)}
	shape := &b.canShape
	if s.Inlet != nil {
		b.inlet = b.point(s.Inlet)
		shape.Inlet = &b.inlet
	}
	if s.InnerCan != nil {
		shape.InnerDiameter, shape.InnerRim = b.of(s.InnerCan.Diameter), b.of(s.InnerCan.Rim)
	}
	upright := physics.Acceleration{}
	if s.ByVolume {
		stretch := can.UsableVolume / shape.UsableVolume(upright)
		for _, z := range []*float64{&shape.Height, &shape.Outlet.Z, &b.inlet.Z, &shape.InnerRim} {
			*z *= stretch
		}
	}
	can.Shape, can.UsableVolume = shape, shape.UsableVolume(upright)
	if s.InnerCan != nil {
		from, at := shape.PathCloses()
		c.Gas.Element.ClosesFrom, c.Gas.Element.ClosedAt = from/can.UsableVolume, at/can.UsableVolume
	}
	if s.Inlet != nil && sep.OilBlownOutFrom.Basis == scenarios.Assumed {
		can.BlownOutFrom = shape.ReachesInlet(upright) / can.UsableVolume
	}
}

func (b *binding) point(p *scenarios.RoutePoint) physics.Point {
	return physics.Point{X: b.of(p.X), Y: b.of(p.Y), Z: b.of(p.Z)}
}

// separation settles the stages, and the pressure that they lose where it isn't
// stated.
func (b *binding) separation(c *Car) error {
	sep, d := &b.s.Separator, b.s.Separator.Droplets
	out := &b.stages
	out.Sizes = physics.DropletSizes{
		Fine:        physics.DropletMode{Median: b.of(d.Fine.Median), Spread: b.of(d.Fine.Spread)},
		Coarse:      physics.DropletMode{Median: b.of(d.Coarse.Median), Spread: b.of(d.Coarse.Spread)},
		CoarseShare: b.of(d.CoarseShare),
	}
	out.Stages = out.Stages[:0]
	for i := range sep.Elements {
		stage, err := b.stage(&sep.Elements[i], c.Can.CrossSection)
		if err != nil {
			return fmt.Errorf("separator.elements.%d: %w", i+1, err)
		}
		out.Stages = append(out.Stages, stage)
	}
	c.Can.Separation = out
	if sep.Loss == nil {
		at := physics.BlowByConditions(c.Gas.BlowByFull, c.Gas.Temperature, c.Oil.Density15)
		e := &c.Gas.Element
		e.Loss, e.Flow, e.Density = out.Loss(at), c.Gas.BlowByFull, at.Gas.Density
	}
	return nil
}

// stage settles one element; a settling can without an area has the can's.
func (b *binding) stage(e *scenarios.Element, crossSection float64) (physics.Stage, error) {
	switch e.Kind {
	case scenarios.ImpactorElement:
		if e.Slot {
			return physics.SlotImpactor{
				Width: b.of(e.Width), Length: b.of(e.Length), Slots: b.of(e.Count),
				Sharpness: b.of(e.Sharpness), LossHeads: b.of(e.LossHeads),
			}, nil
		}
		return physics.RoundImpactor{
			Width: b.of(e.Width), Jets: b.of(e.Count), Sharpness: b.of(e.Sharpness), LossHeads: b.of(e.LossHeads),
		}, nil
	case scenarios.CycloneElement:
		return physics.Cyclone{
			InletWidth: b.of(e.Width), InletHeight: b.of(e.Length), Count: b.of(e.Count),
			Turns: b.of(e.Turns), LossHeads: b.of(e.LossHeads),
		}, nil
	case scenarios.SettlingElement:
		return physics.SettlingCan{Area: b.or(e.Area, crossSection)}, nil
	case scenarios.MeshElement:
		return physics.Mesh{
			Area: b.of(e.Area), Wire: b.of(e.Wire), Thickness: b.of(e.Thickness), PackedShare: b.of(e.Packed),
			SoudersBrown: b.of(e.Limit), CarryExponent: b.of(e.CarriedOn), LossHeads: b.of(e.LossHeads),
		}, nil
	}
	m := physics.GradeMeasurement{Flow: b.of(e.At), FlowExponent: b.of(e.Exponent)}
	for _, g := range e.Grades {
		m.Diameters = append(m.Diameters, b.of(g.Size))
		m.Efficiencies = append(m.Efficiencies, b.of(g.Caught))
	}
	return physics.NewGradeTable(m)
}
