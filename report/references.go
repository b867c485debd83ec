package report

import (
	"regexp"
	"strings"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/sampling"
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
	switch res.Sampling {
	case (sampling.Sobol{}).Name():
		list = append(list,
			"Joe, Kuo 2008, SIAM J. Sci. Comput. 30(5) 2635-2654: direction numbers of Sobol' points",
			"Owen 1995, Lect. Notes Stat. 106, 299-317; Owen 1998, J. Complexity 14(4) 466-489: their scrambling")
	case (sampling.LatinHypercube{}).Name():
		list = append(list, "McKay, Beckman, Conover 1979, Technometrics 21(2) 239-245: Latin hypercube sampling")
	default:
		list = append(list, "Wilson 1927, J. Am. Stat. Assoc. 22, 209-212: interval of a proportion")
	}
	seen := map[string]bool{}
	for _, q := range res.Scenario.Inputs {
		source := published(q.Source)
		if q.Basis == scenarios.Assumed && source != "" && !seen[source] {
			seen[source] = true
			list = append(list, "assumed inputs: "+source)
		}
	}
	return list
}

// publication is how a publication is known: its year, or the name of a
// standing technical paper.
var publication = regexp.MustCompile(`\b(1[89]|20)[0-9]{2}\b|\b(Crane|ASTM|SAE|ISO|DIN|VDI|NIST)\b`)

// published returns what of a source is published, "" of a prior, a choice, or
// a derivation of ours.
func published(source string) string {
	var list []string
	for part := range strings.SplitSeq(source, "; ") {
		if publication.MatchString(part) {
			list = append(list, part)
		}
	}
	return strings.Join(list, "; ")
}
