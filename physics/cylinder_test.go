package physics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/integrate/quad"
)

// bySlices returns the volume of a cylinder below a surface that rises forward,
// as the integral over chords from the high wall: at u = R cos t a slice 2R sin t
// wide, as high as the surface and no higher than the lid. Nothing cancels: each
// piece between the edges of floor and lid is smooth and above 0.
func bySlices(c Cylinder, s Surface) float64 {
	radius := c.Diameter / 2
	rise := s.SlopeX * radius
	highest := math.FMA(s.SlopeX, radius, s.Height)
	edge := func(depth float64) float64 { // where the surface is that far below its highest
		return 2 * math.Asin(math.Sqrt(math.Max(0, math.Min(1, depth/(2*rise)))))
	}
	lid, floor := edge(highest-c.Height), edge(highest)
	height := func(t float64) float64 {
		half := math.Sin(t / 2)
		return math.Min(c.Height, highest-2*rise*half*half)
	}
	chord := func(t float64) float64 {
		return 2 * radius * radius * math.Sin(t) * math.Sin(t) * height(t)
	}
	return quad.Fixed(chord, 0, lid, 60, quad.Legendre{}, 0) + quad.Fixed(chord, lid, floor, 60, quad.Legendre{}, 0)
}

// The volume agrees with the integral over slices for any tilt from 1e-9 to
// 1e3, with floor and lid touched or not, thin wedges too.
func TestVolumeBelowAgainstSlices(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	cases, thin, both := 0, 0, 0
	for cases < 20000 {
		c := Cylinder{Diameter: 0.05 + 0.1*r.Float64(), Height: 0.05 + 0.2*r.Float64()}
		s := Surface{SlopeX: math.Pow(10, -9+12*r.Float64())}
		rise := s.SlopeX * c.Diameter / 2
		switch depth := c.Height + 2*rise; cases % 4 {
		case 0:
			s.Height = depth*r.Float64() - rise
		case 1: // the floor's edge
			s.Height = 2*rise*math.Pow(10, -5*r.Float64()) - rise
		case 2: // the lid's edge
			s.Height = c.Height + rise - 2*rise*math.Pow(10, -5*r.Float64())
		case 3: // the last of the floor
			s.Height = rise - 2*rise*math.Pow(10, -15*r.Float64())
		}
		exact := bySlices(c, s)
		if !assert.InEpsilon(t, exact, c.VolumeBelow(s), 1e-11, "%+v %+v", c, s) {
			return
		}
		cases++
		if exact < 1e-6*c.Volume() {
			thin++
		}
		if s.Height < rise && s.Height+rise > c.Height {
			both++
		}
	}
	assert.Greater(t, thin, 1000)
	assert.Greater(t, both, 1000)
}

// The volume agrees with the share of random points that lie below the surface,
// to 4 digits and to 4 standard errors: points jittered in columns and layers,
// 20 independent sets.
func TestVolumeBelowAgainstRandomPoints(t *testing.T) {
	c := Cylinder{Diameter: 0.075, Height: 0.1}
	for i, s := range []Surface{
		SurfaceThrough(Point{X: -0.0375, Z: 0.0679}, Acceleration{X: StandardGravity}), // the floor
		SurfaceThrough(Point{X: 0.02, Y: -0.01, Z: 0.09}, Acceleration{X: 5, Y: 12}),   // floor and lid
		SurfaceThrough(Point{Y: 0.01, Z: 0.08}, Acceleration{X: -3, Y: 7}),             // the lid
	} {
		mean, standardError := randomPointsBelow(c, s, rand.New(rand.NewPCG(uint64(i), 13)))
		share := c.VolumeBelow(s) / c.Volume()
		assert.Less(t, 4*standardError, 5e-5, "4 digits can be told")
		assert.InDelta(t, mean, share, 4*standardError, "surface %d", i)
		assert.Equal(t, fmt.Sprintf("%.4f", mean), fmt.Sprintf("%.4f", share), "surface %d", i)
	}
}

// randomPointsBelow returns the share of random points of a cylinder that lie
// below a surface, and its standard error.
func randomPointsBelow(c Cylinder, s Surface, r *rand.Rand) (mean, standardError float64) {
	const sets, n = 20, 128
	sum, squares := 0.0, 0.0
	for range sets {
		below := 0
		for i := range n {
			for j := range n {
				radius := c.Diameter / 2 * math.Sqrt((float64(i)+r.Float64())/n)
				sin, cos := math.Sincos(2 * math.Pi * (float64(j) + r.Float64()) / n)
				height := s.At(radius*cos, radius*sin)
				for k := range n {
					if c.Height*(float64(k)+r.Float64())/n < height {
						below++
					}
				}
			}
		}
		share := float64(below) / (n * n * n)
		sum += share
		squares += share * share
	}
	mean = sum / sets
	return mean, math.Sqrt((squares/sets - mean*mean) / (sets - 1))
}

func TestVolumeBelowClosedForms(t *testing.T) {
	c := Cylinder{Diameter: 0.08, Height: 0.12}
	r := c.Diameter / 2
	near := func(want, got float64, what string) { t.Helper(); assert.InEpsilon(t, want, got, 1e-14, what) }
	near(math.Pi*r*r*0.05, c.VolumeBelow(Surface{Height: 0.05}), "level")
	near(c.Volume(), c.VolumeBelow(Surface{Height: 0.5}), "full")
	assert.Equal(t, c.Volume(), c.VolumeBelow(Surface{Height: 1e9, SlopeX: 1}), "full, from far above")
	assert.Zero(t, c.VolumeBelow(Surface{}), "empty")
	assert.Zero(t, c.VolumeBelow(Surface{Height: -0.05, SlopeX: 1}), "empty, tilted")
	near(2.0/3*r*r*0.07, c.VolumeBelow(Surface{SlopeX: 0.07 / r}), "ungula through the diameter of the floor: 2/3 R² h (Archimedes)")
	near(c.Volume()-2.0/3*r*r*0.07, c.VolumeBelow(Surface{Height: c.Height, SlopeY: 0.07 / r}), "the same at the lid")
	near(math.Pi*r*r*r, c.VolumeBelow(Surface{Height: r, SlopeX: 0.6, SlopeY: 0.8}), "45°, edge of the floor to above it: π R² R")
	near(c.Volume()/2, c.VolumeBelow(Surface{Height: c.Height / 2, SlopeX: c.Height / c.Diameter}), "wedge from edge to edge: half")
	for _, slope := range []float64{1e-9, 0.3, 3, 1e3, 1e9} {
		assert.InEpsilon(t, c.Volume()/2, c.VolumeBelow(Surface{Height: c.Height / 2, SlopeX: slope}), 1e-15*math.Max(10, slope), "through the centre: half, at %g", slope)
	}
	// Upright, at a chord R/2 from the axis: the segment of 120°, (π/3 - √3/4) R² H.
	assert.InEpsilon(t, (math.Pi/3-math.Sqrt(3)/4)*r*r*c.Height,
		c.VolumeBelow(Surface{Height: c.Height/2 - 1e7*r/2, SlopeX: 1e7}), 1e-8, "almost upright")
}

// The volume below doesn't depend on which way is forward, and what is above is
// what is below when the cylinder is turned upside down.
func TestVolumeBelowSymmetries(t *testing.T) {
	r := rand.New(rand.NewPCG(14, 15))
	for range 1000 {
		c := Cylinder{Diameter: 0.05 + 0.1*r.Float64(), Height: 0.05 + 0.2*r.Float64()}
		s := Surface{Height: 0.3*r.Float64() - 0.1, SlopeX: 3 * r.NormFloat64(), SlopeY: 3 * r.NormFloat64()}
		volume, tolerance := c.VolumeBelow(s), 1e-13*c.Volume()
		sin, cos := math.Sincos(2 * math.Pi * r.Float64())
		assert.InDelta(t, volume, c.VolumeBelow(Surface{s.Height, s.SlopeX*cos - s.SlopeY*sin, s.SlopeX*sin + s.SlopeY*cos}), tolerance, "turned")
		assert.InDelta(t, c.Volume()-volume, c.VolumeBelow(Surface{c.Height - s.Height, -s.SlopeX, s.SlopeY}), tolerance, "above")
	}
}

func TestVolumeBelowRisesWithTheSurface(t *testing.T) {
	c := Cylinder{Diameter: 0.075, Height: 0.1}
	for _, slope := range []float64{0, 1e-9, 1e-3, 0.5, 2, 30, 1e3} {
		rise := slope * c.Diameter / 2
		const steps = 2000
		last := -1e-300
		for i := range steps + 1 {
			volume := c.VolumeBelow(Surface{Height: -rise + (c.Height+2*rise)*float64(i)/steps, SlopeY: -slope})
			assert.GreaterOrEqual(t, volume, 0.0)
			if i > 0 && i < steps {
				assert.Greater(t, volume, last, "slope %g, step %d", slope, i)
			}
			last = volume
		}
		assert.InEpsilon(t, c.Volume(), last, 1e-12)
	}
}

// How the volume grows with the surface is its difference over a small step.
func TestVolumeBelowSlope(t *testing.T) {
	c := Cylinder{Diameter: 0.075, Height: 0.1}
	for _, slope := range []float64{0.01, 0.5, 2, 30} {
		rise := slope * c.Diameter / 2
		for _, share := range []float64{0.02, 0.2, 0.45, 0.7, 0.95} {
			highest := (c.Height + 2*rise) * share
			step := 1e-5 * highest * (1 - share)
			up, _ := c.below(highest+step-rise, highest+step, rise)
			down, _ := c.below(highest-step-rise, highest-step, rise)
			_, area := c.below(highest-rise, highest, rise)
			assert.InEpsilon(t, (up-down)/(2*step), area, 1e-7, "slope %g at %g", slope, share)
		}
	}
}

// SurfaceOf gives back the volume, as closely as the height of the surface can
// be said: its last digit moves the volume by the cross-section times it.
func TestSurfaceOfIsTheInverse(t *testing.T) {
	r := rand.New(rand.NewPCG(16, 17))
	for i := range 20000 {
		c := Cylinder{Diameter: 0.05 + 0.1*r.Float64(), Height: 0.05 + 0.2*r.Float64()}
		tilt := StandardGravity * math.Pow(10, -9+12*r.Float64())
		sin, cos := math.Sincos(2 * math.Pi * r.Float64())
		volume := c.Volume() * r.Float64()
		if i%2 == 0 {
			volume *= math.Pow(10, -12*r.Float64())
		}
		s := c.SurfaceOf(volume, Acceleration{X: tilt * cos, Y: tilt * sin})
		rise := s.slope() * c.Diameter / 2
		_, area := c.below(s.Height, s.Height+rise, rise)
		digit := 0x1p-51 * math.Max(rise, c.Height)
		rounding := 2e-15 * volume * math.Max(1, rise/c.Height) // of VolumeBelow itself
		if !assert.InDelta(t, volume, c.VolumeBelow(s), rounding+area*digit, "%+v %+v", c, s) {
			return
		}
	}
}

func TestSurfaceOfAtTheEnds(t *testing.T) {
	c, a := Cylinder{Diameter: 0.08, Height: 0.12}, Acceleration{X: StandardGravity}
	assert.Equal(t, Surface{Height: 0.06}, level(c.SurfaceOf(c.Area()*0.06, Acceleration{})))
	assert.Equal(t, -0.04, c.SurfaceOf(0, a).Height, "empty: at the edge of the floor")
	assert.Equal(t, -0.04, c.SurfaceOf(-1, a).Height, "less than empty")
	assert.Equal(t, 0.16, c.SurfaceOf(c.Volume(), a).Height, "full: at the edge of the lid")
	assert.Equal(t, 0.16, c.SurfaceOf(1, a).Height, "more than full")
	s := c.SurfaceOf(c.Area()*0.06, a)
	assert.InDelta(t, 0.06, s.Height, 1e-15, "moderate tilt turns about the axis")
	assert.InDelta(t, 0.10, s.At(-0.04, 0), 1e-15, "accelerating forward: oil goes back")
	lowest, highest := c.WettedHeights(s)
	assert.InDelta(t, 0.02, lowest, 1e-15)
	assert.InDelta(t, 0.10, highest, 1e-15)
	lowest, highest = c.WettedHeights(c.SurfaceOf(c.Volume()/2, Acceleration{Y: -10 * StandardGravity}))
	assert.Equal(t, [2]float64{0, 0.12}, [2]float64{lowest, highest}, "floor and lid")
}

// level returns a surface without the signs of its zeros.
func level(s Surface) Surface { return Surface{s.Height, s.SlopeX + 0, s.SlopeY + 0} }

func TestSurfaceThrough(t *testing.T) {
	p, a := Point{X: 0.02, Y: -0.01, Z: 0.05}, Acceleration{X: 3, Y: -8}
	s := SurfaceThrough(p, a)
	assert.InDelta(t, p.Z, s.At(p.X, p.Y), 1e-16, "through the point")
	assert.InDelta(t, PotentialHeight(p, a), PotentialHeight(Point{0.01, 0.03, s.At(0.01, 0.03)}, a), 1e-16, "of one potential height")
	// atan(|a|/g), exact; computed independently.
	assert.InDelta(t, 42.543990, SurfaceThrough(p, Acceleration{X: -9}).Tilt()*180/math.Pi, 5e-7)
	assert.InDelta(t, 35.793423, SurfaceThrough(p, Acceleration{X: 5, Y: 5}).Tilt()*180/math.Pi, 5e-7)
}
