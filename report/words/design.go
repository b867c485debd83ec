package words

import (
	"strings"

	"sumpward/sim/sampling"
)

// Design writes the name of a sampling design after a number of realizations: "20,000
// realizations, Sobol' points".
func Design(name string) string {
	switch name {
	case (sampling.Sobol{}).Name():
		return "Sobol' points"
	case (sampling.LatinHypercube{}).Name():
		return "Latin hypercube"
	case (sampling.Random{}).Name():
		return "at random"
	}
	return strings.ReplaceAll(name, "-", " ")
}
