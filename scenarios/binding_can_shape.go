package scenarios

import (
	"fmt"
	"math"

	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

const mouthPath, inletPath, heightPath, innerPath = "separator.outlet.mouth", "separator.inlet_mouth", "separator.height", "separator.inner_can"

// hasShape reports whether the file says where the gas outlet opens in the can.
func (b *binder) hasShape() bool { return b.has(mouthPath) }

// canShape binds a round can with its tubes, and the usable volume that follows.
func (b *binder) canShape(s *Separator) {
	if !b.hasShape() {
		if !b.told(mouthPath) {
			const why = "nothing says where the gas outlet opens in the can; write: outlet: {mouth: [0, 0, 110 mm]}"
			b.unused(why, heightPath, inletPath)
			b.unusedBelow(innerPath, why)
		}
		return
	}
	b.conflict(mouthPath, "separator.outlet.off_axis", "the mouth says how far from the axis it is")
	b.conflict("separator.gas_path_closes_from", innerPath, "the fill at which the oil reaches the rim follows from the shape")
	shape := &CanShape{Height: b.required(heightPath, "the inside height of the can, with "+mouthPath), ByVolume: b.has("separator.usable_volume")}
	mouth := b.point(mouthPath)
	shape.Outlet = &mouth
	if b.has(inletPath) {
		inlet := b.point(inletPath)
		shape.Inlet = &inlet
	}
	if v := b.values[innerPath]; v != nil && !v.bad {
		shape.InnerCan = &InnerCan{
			Diameter: b.required(innerPath+".diameter", "outside diameter of the inner can"),
			Rim:      b.required(innerPath+".rim", "height of its rim above the can's floor"),
		}
	}
	s.Shape = shape
	b.insideCan(s)
	b.volumeOfShape(s)
}

// insideCan insists on tubes and an inner can that find room in the can, at
// nominal values.
func (b *binder) insideCan(s *Separator) {
	radius, height := s.Diameter.Nominal()/2, s.Shape.Height.Nominal()
	if s.Diameter == nil {
		radius = math.NaN()
	}
	b.mouthInside(mouthPath, s.Shape.Outlet, radius, height)
	if z := s.Shape.Outlet.Z; z.Nominal() <= 0 {
		b.problem(b.line(mouthPath), mouthPath, "no oil stands below it (got z "+length(z.Nominal())+", allowed more than 0 mm)", "write: mouth: [0, 0, 110 mm]")
	}
	if inlet := s.Shape.Inlet; inlet != nil {
		b.mouthInside(inletPath, inlet, radius, height)
		if inlet.Z.Nominal() < 0 {
			b.problem(b.line(inletPath), inletPath, "below the can's floor (got z "+length(inlet.Z.Nominal())+", allowed 0 mm or more)", "z counts from the floor, upwards")
		}
	}
	if inner := s.Shape.InnerCan; inner != nil {
		if inner.Diameter.Nominal() >= 2*radius {
			b.problem(inner.Diameter.Line, inner.Diameter.Path, "no narrower than the can (got "+length(inner.Diameter.Nominal())+", the can "+length(2*radius)+")", "check which is which")
		}
		b.belowLid(inner.Rim.Line, inner.Rim.Path, "the rim", inner.Rim.Nominal(), height)
	}
}

func (b *binder) mouthInside(path string, p *RoutePoint, radius, height float64) {
	if off := math.Hypot(p.X.Nominal(), p.Y.Nominal()); off > radius*(1+1e-9) {
		b.problem(b.line(path), path, fmt.Sprintf("outside the can (got %s from its axis, allowed up to %s)", length(off), length(radius)), "x and y count from the can's axis")
	}
	b.belowLid(b.line(path), path, "the mouth", p.Z.Nominal(), height)
}

func (b *binder) belowLid(line int, path, what string, z, height float64) {
	if z > height*(1+1e-9) {
		b.problem(line, path, fmt.Sprintf("%s is above the lid (got %s, allowed up to the height of %s)", what, length(z), length(height)), "heights count from the can's floor, inside")
	}
}

func length(si float64) string { return units.Format(si, units.Length, units.Metric) }

// lowInlet reports whether gas enters below the outlet's mouth, and so through
// oil when that stands high.
func (b *binder) lowInlet() bool {
	inlet, outlet := b.values[inletPath+".z"], b.values[mouthPath+".z"]
	return inlet != nil && outlet != nil && !inlet.bad && !outlet.bad && inlet.distribution.Nominal() < outlet.distribution.Nominal()
}

// sameVolume is within which a stated usable volume and that of the shape agree;
// prior: what measuring a can tells.
const sameVolume = 0.02

// volumeOfShape sets the usable volume where it is not stated, and compares it
// where it is.
func (b *binder) volumeOfShape(s *Separator) {
	if s.Diameter == nil {
		return // told
	}
	volume := math.Pi / 4 * s.Diameter.Nominal() * s.Diameter.Nominal() * s.Shape.Outlet.Z.Nominal()
	text := units.Format(volume, units.Volume, units.Metric)
	const path, follows = "separator.usable_volume", "follows from diameter and outlet.mouth"
	if s.Shape.ByVolume {
		if stated := s.UsableVolume; math.Abs(stated.Nominal()-volume) > sameVolume*volume {
			b.warn(stated.Line, path, "goes before the mouth's height, which alone would give "+text)
		}
		return
	}
	s.UsableVolume = &Quantity{ID: notAnInput, Path: path, Dimension: units.Volume, Distribution: uncertainty.Exact(volume),
		Basis: Stated, Source: follows, Text: text, scale: 1}
	b.rule(path, follows+": "+text+" at nominal values", "geometry of a cylinder")
}

// notAnInput is the ID of a quantity that follows from others.
const notAnInput = -1
