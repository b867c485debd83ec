package observe

import (
	"math"

	"sumpward/scenarios"
)

// LogLikelihood returns the logarithm of the density of what was seen where so
// much was predicted (see [Predictor.Predict]), readings independent:
//
//	reading:   -½ ((seen - predicted)/error)² - ln(error √(2π))
//	yes or no: ln of the chance of what was seen, each seen wrongly with its error
func (p *Predictor) LogLikelihood(predicted []float64) float64 {
	total := 0.0
	for i := range p.seen {
		total += LogLikelihood(&p.seen[i], predicted[i])
	}
	return total
}

// LogLikelihood is that of one observation.
func LogLikelihood(o *scenarios.Observation, predicted float64) float64 {
	if o.Whether() {
		yes := o.Error + (1-2*o.Error)*predicted
		if o.Value < 0.5 {
			yes = 1 - yes
		}
		return math.Log(yes)
	}
	if math.IsInf(predicted, 0) {
		return math.Inf(-1)
	}
	z := (o.Value - predicted) / o.Error
	return -z*z/2 - math.Log(o.Error*math.Sqrt(2*math.Pi))
}
