package learn

import (
	"fmt"
	"math"

	"sumpward/scenarios"
	"sumpward/sim/observe"
)

// mostOff is from how many errors on an observation counts as next to impossible.
const mostOff = 5

// UnfitError says that what was seen is next to impossible under the inputs of a
// scenario, and which observation fits least.
type UnfitError struct {
	Index       int // of the observation
	Observation *scenarios.Observation
	Low, High   float64 // what the inputs allow, without errors of reading: 1 % to 99 % of the first draws
	Off         float64 // errors that the best of the draws is off
	Together    bool    // each fits by itself: all together don't
}

// Error says it in SI.
func (e *UnfitError) Error() string {
	together := ""
	if e.Together {
		together = " together with the others"
	}
	return fmt.Sprintf("observation %d (%s) does not fit the inputs%s: %g was seen, they allow %g to %g", e.Index+1, e.Observation.Kind, together, e.Observation.Value, e.Low, e.High)
}

// chanceSeen is the chance of what was seen of a yes or no, where so much was predicted.
func chanceSeen(o *scenarios.Observation, predicted float64) float64 {
	return math.Exp(observe.LogLikelihood(o, predicted))
}

// off is by how many errors an observation differs from what was predicted.
func off(o *scenarios.Observation, predicted float64) float64 {
	if o.Whether() {
		return surprise(chanceSeen(o, predicted))
	}
	return math.Abs(o.Value-predicted) / o.Error
}

// unfitFirst reports the observation that no first draw comes near to; of several
// the one that is furthest off.
func unfitFirst(seen []scenarios.Observation, prior *Draws) error {
	var worst *UnfitError
	for k := range seen {
		best := math.Inf(1)
		for i := range prior.Notes {
			best = min(best, off(&seen[k], prior.Notes[i][k]))
		}
		if best > mostOff && (worst == nil || best > worst.Off) {
			worst = unfit(seen, k, prior, best)
		}
	}
	if worst != nil {
		return worst
	}
	return nil
}

// unfitAfter reports the observation that the best of the draws that came out misses.
func unfitAfter(seen []scenarios.Observation, post *Posterior) error {
	best, which := math.Inf(1), 0
	for i, w := range post.Weight {
		if w == 0 {
			continue
		}
		most, at := 0.0, 0
		for k := range seen {
			if x := off(&seen[k], post.Notes[i][k]); x > most {
				most, at = x, k
			}
		}
		if most < best {
			best, which = most, at
		}
	}
	if best <= mostOff {
		return nil
	}
	e := unfit(seen, which, post.Prior, best)
	e.Together = true
	return e
}

func unfit(seen []scenarios.Observation, k int, prior *Draws, best float64) *UnfitError {
	q := prior.Quantiles(func(i int) float64 { return prior.Notes[i][k] }, 0.01, 0.99)
	return &UnfitError{Index: k, Observation: &seen[k], Low: q[0], High: q[1], Off: best}
}
