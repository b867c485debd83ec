package report

import (
	"sumpward/scenarios"
	"sumpward/sim"
)

// References lists the published sources that a result rests on: those of the
// equations that the layout uses, then those of the inputs that were assumed.
func References(res *sim.Result) []string {
	list := []string{
		"Churchill 1977, Chem. Eng. 84(24) 91-92: friction in smooth hoses",
		"US Standard Atmosphere 1976: density and viscosity of air",
		"ASTM D341-20: viscosity of oil against temperature",
		"ASTM D1250: density of lubricating oils against temperature",
	}
	if res.Kind != sim.NoDrain {
		list = append(list, "Hooper 1981, Chem. Eng.: laminar loss of fittings (2-K)")
	}
	if res.Kind == sim.Unsealed {
		list = append(list, "Wallis 1961, AEEW-R123: flooding of counter-current flow")
	}
	if res.Sampling == "latin-hypercube" {
		list = append(list, "McKay, Beckman, Conover 1979, Technometrics 21(2) 239-245: Latin hypercube sampling")
	} else {
		list = append(list, "Wilson 1927, J. Am. Stat. Assoc. 22, 209-212: interval of a proportion")
	}
	seen := map[string]bool{}
	for _, q := range res.Scenario.Inputs {
		if q.Basis == scenarios.Assumed && q.Source != "" && !seen[q.Source] {
			seen[q.Source] = true
			list = append(list, "assumed inputs: "+q.Source)
		}
	}
	return list
}
