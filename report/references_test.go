package report

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/sampling"
)

func TestOnlyPublicationsAreReferences(t *testing.T) {
	for source, want := range map[string]string{
		"":                             "",
		"prior, no published source":   "",
		"chosen, no published source":  "",
		"common practice, from memory": "",
		"air at 20 °C and 101.325 kPa, ideal gas":                        "",
		"derived: baffles and mesh to small cyclones, on mist of 1.2 µm": "",
		"derived from Sandu and Sova 2005; spread: prior":                "derived from Sandu and Sova 2005",
		"Avergard and Lindstrom 2003":                                    "Avergard and Lindstrom 2003",
		"entrance 0.5 and exit 1.0, Crane TP-410; straight: prior, no published source; elbow: standard elbow 30 f_T, Crane TP-410"://
		"entrance 0.5 and exit 1.0, Crane TP-410; elbow: standard elbow 30 f_T, Crane TP-410",
	} {
		assert.Equal(t, want, published(source), source)
	}
}

// A result names the sources of the design that placed it, and of no other.
func TestReferencesOfADesign(t *testing.T) {
	for design, want := range map[sampling.Design]string{
		sampling.Sobol{}: "Joe, Kuo 2008.*Owen 1995.*Owen 1998", sampling.LatinHypercube{}: "McKay, Beckman, Conover 1979", sampling.Random{}: "Wilson 1927",
	} {
		list := strings.Join(References(&sim.Result{Scenario: ready(t, "sealed-drain"), Sampling: design.Name()}), " ")
		assert.Regexp(t, want, list)
		for other, source := range map[sampling.Design]string{sampling.Sobol{}: "Joe, Kuo", sampling.LatinHypercube{}: "McKay", sampling.Random{}: "Wilson 1927"} {
			if other != design {
				assert.NotContains(t, list, source, design.Name())
			}
		}
	}
}

func TestReferencesOfAResult(t *testing.T) {
	for _, name := range scenarios.ReadyNames() {
		list := References(&sim.Result{Scenario: ready(t, name), Kind: sim.Sealed})
		assert.Contains(t, list, "ASTM D341-20: viscosity of oil against temperature")
		for _, r := range list {
			assert.NotRegexp(t, "prior|chosen|from memory|no published source", r)
			assert.Regexp(t, publication, r)
		}
	}
}
