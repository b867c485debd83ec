package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// lambertDecay solves its own equation, over its whole range.
func TestLambertDecaySolvesItsEquation(t *testing.T) {
	for _, w0 := range []float64{-0.999, -0.9, -0.5, -1e-3, -1e-7, 1e-9, 1e-6, 1e-3, 0.1, 1, 10, 300, 800, 1e5} {
		for _, x := range []float64{1e-12, 1e-6, 1e-3, 0.1, 1, 5, 30, 200, 690} {
			w := lambertDecay(w0, x)
			assert.Equal(t, w0 > 0, w > 0, "sign, w0 %g x %g", w0, x)
			left := math.Log(w/w0) + w - w0
			assert.InDelta(t, -x, left, 1e-12*(x+math.Abs(w0)+1)/min(1, 1+w0), "w0 %g x %g", w0, x)
		}
	}
	assert.Zero(t, lambertDecay(0, 3))
	assert.Equal(t, 2.5, lambertDecay(2.5, 0))
}

// W(1) is the omega constant, W(e) is 1 (exact mathematics).
func TestLambertDecayKnownValues(t *testing.T) {
	assert.InDelta(t, 1, lambertDecay(2, math.Log(2)+2-1), 1e-14, "W(e)")
	w0 := 3.0
	assert.InDelta(t, 0.5671432904097838, lambertDecay(w0, math.Log(w0)+w0), 1e-14, "W(1)")
}

// A stretch that starts at its equilibrium stays there, whichever way rounding
// sends it.
func TestStretchAtItsEquilibrium(t *testing.T) {
	st := stretch{kind: quadratic, in: 1e-3, a: 5e6, b: 7e10, density: 800, n1: 7e4}
	q := st.in / st.density
	st.mass = (st.a*q + st.b*q*q) / st.n1
	st.startQuadratic()
	st.y0 = 0
	assert.Equal(t, math.Inf(1), st.timeTo(0))
	assert.Equal(t, math.Inf(1), st.timeTo(2*st.mass))
	mass, drained := st.at(10)
	assert.InDelta(t, st.mass, mass, 1e-15)
	assert.InDelta(t, 10*st.in, drained, 1e-15)
}

// About 0 the approximant is the series Σ (-n)^(n-1)/n! zⁿ (Corless et al. 1996, eq. 3.1)
// to the last digits.
func TestLambertNearIsTheSeries(t *testing.T) {
	for _, z := range []float64{-0.05, -0.02, -1e-9, 1e-300, 1e-4, 0.01, 0.05} {
		series := 0.0
		for n := 30.0; n >= 1; n-- {
			logFactorial, _ := math.Lgamma(n + 1)
			series += math.Pow(-1, n-1) * math.Exp((n-1)*math.Log(n)-logFactorial) * math.Pow(z, n)
		}
		assert.InEpsilon(t, series, lambertNear(z), 4e-16*4, "z %g", z)
	}
}
