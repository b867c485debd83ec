package physics

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// tallCan is a can of 75 mm with room over the mouth of its outlet, and the
// mouth at the height that holds 0.30 L at rest.
func tallCan(x, y float64) CanShape {
	c := CanShape{Diameter: 0.075, Height: 0.2, Outlet: Point{X: x, Y: y}}
	c.Outlet.Z = 0.30e-3 / c.Cylinder().Area()
	return c
}

// linear returns the linear bound for the same can.
func linear(c CanShape, a Acceleration) float64 {
	return UsableVolume(CanUnderAcceleration{
		Volume: c.UsableVolume(Acceleration{}), CrossSection: c.Cylinder().Area(),
		OutletOffset: math.Hypot(c.Outlet.X, c.Outlet.Y), Acceleration: a.Magnitude(),
	})
}

func forward(g float64) Acceleration { return Acceleration{X: g * StandardGravity} }

func TestUsableVolumeOfAMouthInTheCentre(t *testing.T) {
	c := tallCan(0, 0)
	for _, g := range []float64{0, 0.5, 1, 1.7} {
		assert.Equal(t, c.Cylinder().Area()*c.Outlet.Z, c.UsableVolume(forward(g)), "neither floor nor lid touched at %g g", g)
	}
	assert.Greater(t, c.UsableVolume(forward(3)), 0.31e-3, "the floor runs dry on one side")
	c.Height = 0.08
	assert.Less(t, c.UsableVolume(forward(1)), 0.299e-3, "the lid holds oil down")
}

// The linear bound is exact while the surface meets the wall all round; beyond,
// it is too low by what the floor holds up, until its fifth makes it too high.
func TestUsableVolumeAgainstTheLinearBound(t *testing.T) {
	c := tallCan(-0.0375, 0) // at the wall, where oil goes when the car speeds up
	for _, g := range []float64{0, 1e-6, 0.3, 0.9} {
		assert.InEpsilon(t, linear(c, forward(g)), c.UsableVolume(forward(g)), 1e-14, "%g g", g)
	}
	// Exact shares computed independently, by the midpoint rule over 400,000
	// slices; the bound is 1 - A r a/(g V), at least a fifth.
	for _, row := range []struct{ g, exact, bound float64 }{
		{1, 0.4498, 0.4478},
		{1.2, 0.3627, 0.3373},
		{1.5, 0.2729, 0.2000},
		{2, 0.1853, 0.2000},
		{3, 0.1050, 0.2000},
	} {
		exact := c.UsableVolume(forward(row.g)) / 0.30e-3
		assert.InDelta(t, row.exact, exact, 5e-5, "%g g", row.g)
		assert.InEpsilon(t, bySlices(c.Cylinder(), Surface{c.Outlet.Z - 0.0375*row.g, row.g, 0})/0.30e-3, exact, 1e-12, "%g g", row.g)
		assert.InDelta(t, row.bound, linear(c, forward(row.g))/0.30e-3, 5e-5, "%g g", row.g)
	}
	assert.Greater(t, c.UsableVolume(forward(-1)), 0.46e-3, "oil goes to the other side: more than at rest, where the bound takes the worst side")
	assert.InEpsilon(t, 0.30e-3, c.UsableVolume(Acceleration{Y: StandardGravity}), 1e-14, "across: the mouth stays where it is")
}

// With its mouth close under the lid, a can is full to the lid on one side: the
// bound, which knows no lid, is too high.
func TestUsableVolumeUnderALowLid(t *testing.T) {
	c := CanShape{Diameter: 0.075, Height: 0.07, Outlet: Point{Z: 0.068}}
	a := forward(0.5)
	assert.Equal(t, c.UsableVolume(Acceleration{}), linear(c, a), "centred: the bound sees no loss")
	assert.InEpsilon(t, bySlices(c.Cylinder(), Surface{0.068, 0.5, 0}), c.UsableVolume(a), 1e-12)
	assert.Less(t, c.UsableVolume(a), 0.96*linear(c, a))
}

func TestUsableVolumeSymmetries(t *testing.T) {
	r := rand.New(rand.NewPCG(18, 19))
	for range 1000 {
		c := CanShape{Diameter: 0.05 + 0.1*r.Float64(), Height: 0.05 + 0.2*r.Float64()}
		radius, angle := c.Diameter/2*math.Sqrt(r.Float64()), 2*math.Pi*r.Float64()
		c.Outlet = Point{radius * math.Cos(angle), radius * math.Sin(angle), c.Height * r.Float64()}
		a := Acceleration{10 * r.NormFloat64(), 10 * r.NormFloat64()}
		usable := c.UsableVolume(a)
		assert.GreaterOrEqual(t, usable, 0.0)
		assert.LessOrEqual(t, usable, c.Cylinder().Volume()*(1+1e-15))
		surface := c.Cylinder().SurfaceOf(usable, a)
		assert.InDelta(t, c.Outlet.Z, surface.At(c.Outlet.X, c.Outlet.Y), 1e-8, "that volume brings the surface to the mouth")

		mirrored := c
		mirrored.Outlet.Y = -c.Outlet.Y
		assert.Equal(t, usable, mirrored.UsableVolume(Acceleration{a.X, -a.Y}), "mirrored")
		sin, cos := math.Sincos(2 * math.Pi * r.Float64())
		turned := c
		turned.Outlet.X, turned.Outlet.Y = c.Outlet.X*cos-c.Outlet.Y*sin, c.Outlet.X*sin+c.Outlet.Y*cos
		assert.InDelta(t, usable, turned.UsableVolume(Acceleration{a.X*cos - a.Y*sin, a.X*sin + a.Y*cos}), 1e-12*c.Cylinder().Volume(), "turned")
	}
}

func TestACanThatHoldsNothing(t *testing.T) {
	c := CanShape{Diameter: 0.075, Height: 0.1}
	assert.Zero(t, c.UsableVolume(Acceleration{}), "mouth in the floor")
	c.Outlet.X = -0.0375
	assert.Zero(t, c.UsableVolume(forward(1)), "where the oil goes")
	assert.Positive(t, c.UsableVolume(forward(-1)), "where it leaves")
}

func TestReachesInlet(t *testing.T) {
	c := tallCan(0, 0)
	assert.Equal(t, c.UsableVolume(forward(1)), c.ReachesInlet(forward(1)), "no inlet")
	c.Inlet = &Point{X: 0.03, Z: 0.05}
	area := c.Cylinder().Area()
	assert.InEpsilon(t, area*0.05, c.ReachesInlet(Acceleration{}), 1e-14)
	assert.InEpsilon(t, area*(0.05-0.03*0.4), c.ReachesInlet(forward(-0.4)), 1e-14, "braking: oil goes forward, to it")
	assert.InEpsilon(t, area*(0.05+0.03*0.4), c.ReachesInlet(forward(0.4)), 1e-14)
	assert.Equal(t, c.UsableVolume(forward(1)), c.ReachesInlet(forward(1)), "oil goes over first")
}

func TestPathCloses(t *testing.T) {
	c := tallCan(0, 0)
	from, at := c.PathCloses()
	assert.Equal(t, [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{from, at}, "no inner can")
	c.InnerDiameter, c.InnerRim = 0.04, 0.05
	from, at = c.PathCloses()
	area := c.Cylinder().Area()
	assert.InEpsilon(t, area*0.04, from, 1e-14, "the gap π 40 × 10 mm is the bore π 40²/4")
	assert.InEpsilon(t, area*0.05, at, 1e-14)
	c.InnerRim = 0.008
	from, at = c.PathCloses()
	assert.Zero(t, from, "narrower than the bore when empty")
	assert.InEpsilon(t, area*0.008, at, 1e-14)
}

// The open share of the path that Element takes is that of the gap's area.
func TestPathClosesAsTheGapDoes(t *testing.T) {
	c := tallCan(0, 0)
	c.InnerDiameter, c.InnerRim = 0.04, 0.05
	usable := c.UsableVolume(Acceleration{})
	from, at := c.PathCloses()
	e := Element{Loss: 800, Flow: 2e-3, Density: 1.2, ClosesFrom: from / usable, ClosedAt: at / usable}
	for _, level := range []float64{0.035, 0.041, 0.045, 0.0499} {
		gap, bore := math.Pi*0.04*(0.05-level), math.Pi*0.04*0.04/4
		open := math.Min(1, gap/bore)
		fill := level * c.Cylinder().Area() / usable
		assert.InEpsilon(t, 800/(open*open), e.PressureLoss(2e-3, Gas{Density: 1.2}, fill, 1e12), 1e-9, "%g m", level)
	}
}

func TestCanShapeCheck(t *testing.T) {
	good := CanShape{
		Diameter: 0.075, Height: 0.1, Outlet: Point{X: 0.0375, Z: 0.1}, Inlet: &Point{Y: -0.0375},
		InnerDiameter: 0.075, InnerRim: 0.1,
	}
	assert.NoError(t, good.Check(), "at every bound")
	good.Outlet = Point{X: 0.0375 * math.Cos(1), Y: 0.0375 * math.Sin(1), Z: 0.05}
	assert.NoError(t, good.Check(), "at the wall, whatever the rounding")
	for name, spoil := range map[string]func(c *CanShape){
		"inside diameter of the can":                         func(c *CanShape) { c.Diameter = 0 },
		"inside height of the can":                           func(c *CanShape) { c.Height = math.NaN() },
		"distance of the outlet's mouth from the can's axis": func(c *CanShape) { c.Outlet.X, c.Outlet.Y = 0.03, 0.03 },
		"height of the outlet's mouth over the can's floor":  func(c *CanShape) { c.Outlet.Z = 0.11 },
		"distance of the inlet's mouth from the can's axis":  func(c *CanShape) { c.Inlet = &Point{X: -0.04} },
		"height of the inlet's mouth over the can's floor":   func(c *CanShape) { c.Inlet = &Point{Z: -0.01} },
		"diameter of the inner can":                          func(c *CanShape) { c.InnerDiameter = 0.08 },
		"height of the inner can's rim over the floor":       func(c *CanShape) { c.InnerRim = 0.12 },
	} {
		bad := good
		spoil(&bad)
		var out *RangeError
		if assert.ErrorAs(t, bad.Check(), &out, name) {
			assert.Equal(t, name, out.Quantity)
		}
	}
	good.InnerDiameter, good.InnerRim = 0, 0
	assert.NoError(t, good.Check(), "no inner can")
}

func TestUsableVolumeAllocatesNothing(t *testing.T) {
	c, a := tallCan(-0.03, 0.01), Acceleration{7, 9}
	assert.Zero(t, testing.AllocsPerRun(100, func() { c.UsableVolume(a) }))
}

func BenchmarkCanShapeUsableVolume(b *testing.B) {
	c := tallCan(-0.0375, 0)
	c.Height = 0.08
	for name, g := range map[string]float64{"tilt=0.3g": 0.3, "tilt=1.2g": 1.2, "tilt=5g": 5} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				c.UsableVolume(forward(g))
			}
		})
	}
}
