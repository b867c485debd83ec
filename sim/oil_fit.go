package sim

import (
	"math"

	"sumpward/physics"
)

// How the oil's properties are fitted: over how many kelvins at the most, and over how many
// fewer nodes do. Viscosity is then within 2e-6 of the law over 90 K, density within 3e-7.
const (
	widestFit = 110 // K
	narrowFit = 50  // K
)

// oilFit gives density and viscosity of a realization's oil at a temperature by
// polynomials through the nodes of Chebyshev's: of 1/ρ, and of ν^(-1/4), which bends little.
// Where the range of temperatures is too wide for them, or the oil bends too much over
// it, it asks the laws.
type oilFit struct {
	oil          *Oil
	middle, half float64    // K
	perHalf      float64    // 1/K
	volume       polynomial // m3/kg, of -1 to 1 over the range
	fluidity     polynomial // (m2/s)^(-1/4)
	fitted       bool

	lightest, heaviest float64 // kg/m3 within the range
	thin               bool    // the viscosity law ends within the range, see [thinnest]
}

// start fits the properties between two temperatures in K.
func (f *oilFit) start(oil *Oil, low, high float64) {
	f.oil, f.middle, f.half = oil, (low+high)/2, max((high-low)/2, 0.5)
	f.perHalf = 1 / f.half
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
	n := &eight
	if 2*f.half <= narrowFit {
		n = &six
	}
	var volume, fluidity polynomial
	for i, x := range four.at[:four.count] {
		volume[i] = 1 / physics.OilDensity(f.oil.Density15, f.middle+f.half*x)
	}
	least := math.Inf(1)
	for i, x := range n.at[:n.count] {
		fluidity[i] = 1 / math.Sqrt(math.Sqrt(f.oil.Viscosity.At(f.middle+f.half*x)))
		least = min(least, fluidity[i])
	}
	four.differences(&volume)
	n.differences(&fluidity)
	f.fitted = n.left(&fluidity) <= mostLeft*least
	f.volume, f.fluidity = four.inPowers(&volume), n.inPowers(&fluidity)
}

// mostLeft is how large [nodes.left] may be, as a share of the least that is fitted: over
// random oils and ranges, what is fitted is then within 1e-4 of the law. An oil that
// stiffens far more than others do in the cold is left to the law.
const mostLeft = 2.5e-4

// at returns density in kg/m3 and dynamic viscosity in Pa·s of oil without gas.
func (f *oilFit) at(temperature float64) (density, viscosity float64) {
	x := (temperature - f.middle) * f.perHalf
	if !f.fitted || math.Abs(x) > 1.0001 {
		return f.law(temperature)
	}
	w := f.fluidity.at(x)
	w *= w
	v := f.volume.cubicAt(x)
	return 1 / v, 1 / (w * w * v)
}

// densityAt is the density that at returns.
func (f *oilFit) densityAt(temperature float64) float64 {
	x := (temperature - f.middle) * f.perHalf
	if !f.fitted || math.Abs(x) > 1.0001 {
		return physics.OilDensity(f.oil.Density15, temperature)
	}
	return 1 / f.volume.cubicAt(x)
}

func (f *oilFit) law(temperature float64) (density, viscosity float64) {
	density = physics.OilDensity(f.oil.Density15, temperature)
	return density, f.oil.Viscosity.At(temperature) * density
}
