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
	middle, half float64           // K
	volume       [fitNodes]float64 // m3/kg, by powers of x, of -1 to 1 over the range
	fluidity     [fitNodes]float64 // to the third
	fitted       bool

	lightest, heaviest float64 // kg/m3 within the range
	thin               bool    // the viscosity law ends within the range, see [thinnest]
}

// start fits the properties between two temperatures in K.
func (f *oilFit) start(oil *Oil, low, high float64) {
	f.oil, f.middle, f.half = oil, (low+high)/2, max((high-low)/2, 0.5)
	if f.fitted = high-low <= widestFit; f.fitted {
		f.fit()
	}
	var viscosity float64
	f.heaviest, _ = f.at(low)
	f.lightest, viscosity = f.at(high)
	f.thin = viscosity < thinnest*f.lightest
}

// fit makes the polynomials, if they will do.
func (f *oilFit) fit() {
	var volume, fluidity [fitNodes]float64
	for i := range fitNodes {
		density, viscosity := f.law(f.middle + f.half*chebyshev[i])
		volume[i], fluidity[i] = 1/density, 1/math.Cbrt(viscosity)
	}
	least := slices.Min(fluidity[:])
	volume, fluidity = throughNodes(volume), throughNodes(fluidity)
	f.fitted = left(&fluidity) <= mostLeft*least
	f.volume, f.fluidity = inPowers(volume), inPowers(fluidity)
}

// mostLeft is how large [left] may be, as a share of the least that is fitted: over
// random oils and ranges, what is fitted is then within 1e-4 of the law. An oil that
// stiffens far more than others do in the cold is left to the law.
const mostLeft = 1e-3

// left is what the differences beyond the last would come to if they went on to shrink
// as the last three do.
func left(differences *[fitNodes]float64) float64 {
	last := func(i int) float64 { return math.Abs(differences[fitNodes-i]) }
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

// inPowers turns divided differences into the coefficients of the powers of x.
func inPowers(c [fitNodes]float64) (p [fitNodes]float64) {
	p[0] = c[fitNodes-1]
	for i := fitNodes - 2; i >= 0; i-- {
		for j := fitNodes - 1 - i; j > 0; j-- {
			p[j] = p[j-1] - chebyshev[i]*p[j]
		}
		p[0] = c[i] - chebyshev[i]*p[0]
	}
	return p
}

// valueAt is the polynomial of coefficients c at x, by Estrin's scheme: its parts don't
// wait for each other.
func valueAt(c *[fitNodes]float64, x float64) float64 {
	x2 := x * x
	return (c[0] + c[1]*x + (c[2]+c[3]*x)*x2) + (c[4]+c[5]*x+(c[6]+c[7]*x)*x2)*(x2*x2)
}
