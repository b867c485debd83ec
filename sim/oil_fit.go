package sim

import (
	"math"
	"slices"

	"sumpward/physics"
)

// fitNodes and widestFit say how the oil's properties are fitted: a polynomial through so
// many nodes, over so many kelvins at the most. Over 90 K it is within 2e-6 of the law.
const (
	fitNodes  = 8
	widestFit = 110 // K
)

// oilFit gives density and viscosity of a realization's oil at a temperature by
// polynomials through the nodes of Chebyshev's: of 1/ρ, and of μ^(-1/3), which bends little.
// Where the range of temperatures is too wide for them, or the oil bends too much over
// it, it asks the laws.
type oilFit struct {
	oil          *Oil
	middle, half float64 // K
	volume       [fitNodes]float64
	fluidity     [fitNodes]float64 // to the third
	fitted       bool
}

// start fits the properties between two temperatures in K.
func (f *oilFit) start(oil *Oil, low, high float64) {
	f.oil, f.middle, f.half = oil, (low+high)/2, max((high-low)/2, 0.5)
	if f.fitted = high-low <= widestFit; !f.fitted {
		return
	}
	var volume, fluidity [fitNodes]float64
	for i := range fitNodes {
		density, viscosity := f.law(f.middle + f.half*chebyshev[i])
		volume[i], fluidity[i] = 1/density, 1/math.Cbrt(viscosity)
	}
	f.volume, f.fluidity = throughNodes(volume), throughNodes(fluidity)
	f.fitted = f.left() <= mostLeft*slices.Min(fluidity[:])
}

// mostLeft is how large [oilFit.left] may be, as a share of the least that is fitted: over
// random oils and ranges, what is fitted is then within 1e-4 of the law. An oil that
// stiffens far more than others do in the cold is left to the law.
const mostLeft = 1e-3

// left is what the differences beyond the last would come to if they went on to shrink
// as the last three do.
func (f *oilFit) left() float64 {
	last := func(i int) float64 { return math.Abs(f.fluidity[fitNodes-i]) }
	rate := max(last(1)/last(2), last(2)/last(3))
	return max(last(1), rate*last(2)) * rate
}

// at returns density in kg/m3 and dynamic viscosity in Pa·s of oil without gas.
func (f *oilFit) at(temperature float64) (density, viscosity float64) {
	x := (temperature - f.middle) / f.half
	if !f.fitted || math.Abs(x) > 1.0001 {
		return f.law(temperature)
	}
	w := valueAt(&f.fluidity, x)
	return 1 / valueAt(&f.volume, x), 1 / (w * w * w)
}

func (f *oilFit) law(temperature float64) (density, viscosity float64) {
	density = physics.OilDensity(f.oil.Density15, temperature)
	return density, f.oil.Viscosity.At(temperature) * density
}

// chebyshev are the nodes, cos((2i+1)π/2n).
var chebyshev = func() (x [fitNodes]float64) {
	for i := range x {
		x[i] = math.Cos(math.Pi * (float64(i) + 0.5) / fitNodes)
	}
	return x
}()

// throughNodes returns Newton's divided differences of values at the nodes.
func throughNodes(c [fitNodes]float64) [fitNodes]float64 {
	for j := 1; j < fitNodes; j++ {
		for i := fitNodes - 1; i >= j; i-- {
			c[i] = (c[i] - c[i-1]) * perDifference[i][j]
		}
	}
	return c
}

// perDifference is 1/(x_i - x_(i-j)).
var perDifference = func() (d [fitNodes][fitNodes]float64) {
	for i := range d {
		for j := 1; j <= i; j++ {
			d[i][j] = 1 / (chebyshev[i] - chebyshev[i-j])
		}
	}
	return d
}()

func valueAt(c *[fitNodes]float64, x float64) float64 {
	v := c[fitNodes-1]
	for i := fitNodes - 2; i >= 0; i-- {
		v = v*(x-chebyshev[i]) + c[i]
	}
	return v
}
