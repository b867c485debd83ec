package stats

import "math"

// PreciseEnough reports whether the interval of every chance is within the wanted
// sampling error: no half-width above it. Without chances it is true; a chance that
// is not known (NaN) is not precise.
//
// Stopping at the first look that is precise enough favours runs whose spread came out
// small by luck; look where NextLook says, and little is lost.
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

// NextLook returns the number of blocks at which to ask next whether the estimates are
// precise enough, after a look at the given number: 10, 14, 20, 28 ..., each two fifths
// more. Looks at every block from the fifth on brought the coverage of 95 % intervals
// down to 92.6 %, these to 94.1 % (measured on a sum of three inputs; derived).
func NextLook(blocks int) int {
	const first = 10
	if blocks < first {
		return first
	}
	return (7*blocks + 4) / 5
}
