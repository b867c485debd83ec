package physics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// colebrook is Colebrook 1939, solved by fixed-point iteration.
func colebrook(re, roughness float64) float64 {
	x := 7.0 // 1/√f
	for range 100 {
		x = -2 * math.Log10(roughness/3.7+2.51*x/re)
	}
	return 1 / (x * x)
}

func TestChurchillFriction(t *testing.T) {
	for _, c := range []struct {
		re, roughness, want, tolerance float64
		source                         string
	}{
		// The first row is a test value of the open library fluids as well.
		{1e5, 1e-4, 0.01846262, 5e-9, "Churchill 1977, computed independently"},
		{4e3, 0, 0.04058973, 5e-9, "Churchill 1977, computed independently"},
		{1e4, 0, 0.03100213, 5e-9, "Churchill 1977, computed independently"},
		{1e5, 0, 0.01787482, 5e-9, "Churchill 1977, computed independently"},
		{1e4, 1e-3, 0.03269020, 5e-9, "Churchill 1977, computed independently"},
		{1e5, 1e-3, 0.02234324, 5e-9, "Churchill 1977, computed independently"},
		{1e6, 1e-3, 0.02002196, 5e-9, "Churchill 1977, computed independently"},
		{1e5, 1e-2, 0.03873356, 5e-9, "Churchill 1977, computed independently"},
		// through transition, smooth
		{1000, 0, 0.06400000, 5e-9, "Churchill 1977, computed independently"},
		{2000, 0, 0.03204332, 5e-9, "Churchill 1977, computed independently"},
		{2100, 0, 0.03070630, 5e-9, "Churchill 1977, computed independently"},
		{2300, 0, 0.03084010, 5e-9, "Churchill 1977, computed independently"},
		{2500, 0, 0.03514509, 5e-9, "Churchill 1977, computed independently"},
		{3000, 0, 0.04297466, 5e-9, "Churchill 1977, computed independently"},
		{3500, 0, 0.04226232, 5e-9, "Churchill 1977, computed independently"},
		{5000, 0, 0.03788724, 5e-9, "Churchill 1977, computed independently"},
		// fully rough: the limit of Colebrook; Churchill rounds 1/3.7 to 0.27 and 2/ln 10 · √8 to 2.457
		{1e12, 1e-3, 0.01963547, 2e-5, "Colebrook 1939, rough limit"},
		{1e12, 1e-2, 0.03790371, 4e-5, "Colebrook 1939, rough limit"},
		{1e12, 5e-2, 0.07155067, 1e-4, "Colebrook 1939, rough limit"},
		// worked examples: f printed to three digits or read off a chart (2 %:
		// Colebrook is 1 % above White's reading, Churchill 0.8 % above Colebrook)
		{127324, 0.26 / 200, 0.0225, 4.5e-4, "White, Fluid Mechanics, example 6.7"},
		{68001, 0.04572 / 52.50, 0.0230, 5e-4, "Crane TP-410 (2009), example 7.13"},
		{1675.7, 0, 0.038193, 2e-5, "Crane TP-410, example 7.9, laminar: Churchill is 0.03 % above 64/Re"},
		{100600, 0, 0.0179, 1e-4, "Crane TP-410, example 7.1"},
	} {
		assert.InDelta(t, c.want, ChurchillFriction(c.re, c.roughness), c.tolerance, "Re %g, ε/D %g: %s", c.re, c.roughness, c.source)
	}
}

func TestChurchillAgreesWithColebrookWhenTurbulent(t *testing.T) {
	// The check itself against values of Colebrook 1939 (fluids test suite).
	assert.InDelta(t, 0.01851387, colebrook(1e5, 1e-4), 5e-9)
	assert.InDelta(t, 0.01798977, colebrook(1e5, 0), 5e-9)
	for _, roughness := range []float64{0, 1e-4, 1e-3, 1e-2} {
		for re := 5e3; re < 1e8; re *= 1.3 {
			want := colebrook(re, roughness)
			assert.InEpsilon(t, want, ChurchillFriction(re, roughness), 0.035, "Re %g, ε/D %g", re, roughness)
		}
	}
}

func TestChurchillLimits(t *testing.T) {
	assert.Equal(t, 64/50.0, ChurchillFriction(50, 0))
	assert.Equal(t, 64/50.0, ChurchillFriction(50, 0.01), "laminar flow doesn't see roughness")
	assert.Equal(t, ChurchillFriction(5000, 0), ChurchillFriction(-5000, 0))
	assert.True(t, math.IsInf(ChurchillFriction(0, 0), 1))
	below := ChurchillFriction(math.Nextafter(laminarReynolds, 0), 0)
	assert.InEpsilon(t, below, ChurchillFriction(laminarReynolds, 0), 1e-14, "no step where the shortcut ends")
	assert.InEpsilon(t, ChurchillFriction(2e4, 0), ChurchillFriction(2e4, 1e-12), 1e-8, "smooth is the limit of rough")
}

func BenchmarkChurchillFriction(b *testing.B) {
	for b.Loop() {
		ChurchillFriction(5000, 0)
	}
}
