package physics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestSoudersBrown(t *testing.T) {
	// Computed independently; the first is what an open fluids library's tests
	// hold. 0.18 and 0.35 ft/s are 0.054864 and 0.106680 m/s.
	for _, c := range []struct{ k, oil, gas, velocity float64 }{
		{0.08, 985.4, 1.3, 2.2010906},
		{0.18 * 0.3048, 820, 1.0, 1.57011}, {0.18 * 0.3048, 850, 1.1, 1.52412},
		{0.35 * 0.3048, 820, 1.0, 3.05299}, {0.35 * 0.3048, 850, 1.1, 2.96357},
	} {
		assert.InDelta(t, c.velocity, SoudersBrown(c.k, c.oil, c.gas), 5.1e-6)
	}
	assert.InDelta(t, 2.2010906, SoudersBrown(0.08, 985.4, 1.3), 5e-8)
	assert.InDelta(t, 0.06263114, SoudersBrownOfDroplet(150e-6, 0.5), 5e-9, "the same library's tests")
	// A droplet hangs where K is its own: weight ρ - ρ_g against drag C_D.
	k := SoudersBrownOfDroplet(100e-6, 1.5)
	v := SoudersBrown(k, 820, 1.1)
	assert.InEpsilon(t, (820-1.1)*StandardGravity*100e-6*2/3, 1.5*1.1*v*v/2, 1e-12)
}

func TestLandahlHerrmann(t *testing.T) {
	// Worked by hand from Landahl & Herrmann 1949 (from memory).
	assert.InDelta(t, 1/1.99, LandahlHerrmann(1), 1e-12)
	assert.InDelta(t, 0.125/(0.125+0.1925+0.22), LandahlHerrmann(0.5), 1e-12)
	assert.InEpsilon(t, 1e-9/0.22, LandahlHerrmann(1e-3), 1e-4, "as Stk³ where small")
	assert.Zero(t, LandahlHerrmann(0))
	assert.Equal(t, 1.0, LandahlHerrmann(1e200), "catches all that comes")
}

func usualMesh() Mesh {
	return Mesh{
		Area: 20e-4, Wire: 0.25e-3, Thickness: 0.04, PackedShare: 0.02,
		SoudersBrown: 0.107, CarryExponent: 3, LossHeads: 20,
	}
}

func TestMeshGrade(t *testing.T) {
	// Where Stk = 1 (no slip) a wire catches 1/1.99. By hand for 2 % of 0.25 mm
	// wire, 40 mm thick: (2/3) · 4 · 0.02 · 0.04/(0.25e-3 π) = 2.716.
	m, c := usualMesh(), usual(110)
	c.MeanFreePath = 0
	inside := c.Flow / 20e-4 / 0.98
	d := math.Sqrt(18 * c.Gas.Viscosity * 0.25e-3 / (c.OilDensity * inside))
	assert.InDelta(t, 1-math.Exp(-2.716244/1.99), m.At(c).Grade(d), 1e-6)
	assert.InDelta(t, 1-math.Exp(-2.716244), m.At(c).Grade(1), 1e-6, "coarse droplets: as many as wires stand in the way")
	slip := usual(110)
	assert.Greater(t, m.At(slip).Grade(d), m.At(c).Grade(d), "slip helps")
	m.Thickness *= 2
	assert.InDelta(t, 1-math.Exp(-2*2.716244/1.99), m.At(c).Grade(d), 1e-6)
	assert.InEpsilon(t, 20*0.5*c.Gas.Density*math.Pow(c.Flow/20e-4, 2), m.Loss(c), 1e-12)
}

func TestMeshBeyondItsLimit(t *testing.T) {
	m := usualMesh()
	c := usual(110)
	limit := SoudersBrown(m.SoudersBrown, c.OilDensity, c.Gas.Density) * m.Area
	at := func(flow float64) float64 { c.Flow = flow; return m.At(c).Grade(1) }
	whole := at(limit)
	assert.InDelta(t, whole, at(limit*(1-1e-9)), 1e-8)
	assert.InDelta(t, whole, at(limit*(1+1e-9)), 1e-8, "no jump")
	assert.InEpsilon(t, whole/(1.05*1.05*1.05), at(1.05*limit), 1e-9)
	assert.InEpsilon(t, whole/8, at(2*limit), 1e-9, "(1/2)³")
	m.CarryExponent = 0
	assert.InEpsilon(t, whole, at(2*limit), 1e-9, "nothing is carried on")
	// What a separator catches rises with flow up to the limit, then falls.
	s := Separation{usualSizes(), []Stage{usualMesh()}}
	eta := func(flow float64) float64 { c.Flow = flow; return s.Efficiency(c) }
	assert.Less(t, eta(0.5*limit), eta(0.9*limit))
	assert.Less(t, eta(2*limit), eta(limit))
	assert.Less(t, eta(4*limit), eta(2*limit))
}
