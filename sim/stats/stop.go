package stats

import "math"

// PreciseEnough reports whether the interval of every chance is within the wanted
// sampling error: no half-width above it. Without chances it is true; a chance that
// is not known (NaN) is not precise.
//
// Looked at after every block, it stops a little early by luck: a rule that looks
// seldom (each time the number of blocks has grown by a fixed share) keeps the
// intervals' confidence level.
func PreciseEnough(samplingError float64, chances ...Estimate) bool {
	_, widest := Widest(chances...)
	return widest <= samplingError
}

// Widest returns the index and the half-width of the chance with the widest interval:
// -1 and 0 without chances, a half-width of +Inf where one is not known.
func Widest(chances ...Estimate) (index int, halfWidth float64) {
	index = -1
	for i, c := range chances {
		h := c.HalfWidth()
		if math.IsNaN(h) || math.IsNaN(c.Probability) {
			h = math.Inf(1)
		}
		if index < 0 || h > halfWidth {
			index, halfWidth = i, h
		}
	}
	return index, halfWidth
}
