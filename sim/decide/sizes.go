package decide

import (
	"math"
	"slices"

	"sumpward/scenarios/units"
)

// What is searched: from a can that holds next to nothing to the largest catch tank
// that series rules ask for, and from no fall to speak of to a can on top of the
// engine. A larger can or a longer fall that a scenario has widens the range.
// Chosen, no published source.
const (
	smallestCan = 0.02e-3 // m3
	largestCan  = 3e-3    // m3
	leastFall   = 0       // m
	longestFall = 0.6     // m
)

// sizes are the round sizes of a system of units: what is bought or made comes in
// them. Common practice, no source.
type sizes struct {
	litre, length float64 // m3, m: what steps are counted in
	volumeSteps   []step
	fallStep      float64   // of length
	bores         []float64 // m, inside diameters of hose that is sold
}

// step is how finely volumes come below a size, both in litre.
type step struct{ below, by float64 }

var (
	metricSizes = sizes{
		litre: 1e-3, length: 1e-3, fallStep: 5,
		volumeSteps: []step{{0.2, 0.02}, {1, 0.05}, {2, 0.1}, {math.Inf(1), 0.25}},
		bores:       []float64{6e-3, 8e-3, 10e-3, 12.7e-3, 16e-3, 19e-3, 25e-3, 32e-3},
	}
	usSizes = sizes{
		litre: 0.946352946e-3, length: 25.4e-3, fallStep: 0.25,
		volumeSteps: []step{{0.2, 0.02}, {1, 0.05}, {2, 0.1}, {math.Inf(1), 0.25}},
		bores:       []float64{6.35e-3, 7.9375e-3, 9.525e-3, 12.7e-3, 15.875e-3, 19.05e-3, 25.4e-3, 31.75e-3},
	}
)

func sizesIn(u units.System) sizes {
	if u == units.US {
		return usSizes
	}
	return metricSizes
}

// volume rounds a volume in m3 up to one that can be bought or made.
func (z sizes) volume(v float64) float64 {
	v /= z.litre
	for _, s := range z.volumeSteps {
		if up := upTo(v, s.by); up <= s.below {
			return up * z.litre
		}
	}
	return v * z.litre
}

// fall rounds a fall in m up to one that can be made and taped.
func (z sizes) fall(f float64) float64 { return upTo(f/z.length, z.fallStep) * z.length }

// upTo rounds up to a multiple, but for rounding errors.
func upTo(v, by float64) float64 { return math.Ceil(v/by-1e-9) * by }

// volumesAround chooses volumes around one, in m3: that one and round ones from
// half of it to four times as much.
func (z sizes) volumesAround(v float64) []float64 {
	list := []float64{v}
	for _, f := range []float64{0.5, 0.75, 1.5, 2, 3, 4} {
		if r := z.volume(f * v); !slices.ContainsFunc(list, func(o float64) bool { return math.Abs(r-o) < 0.1*o }) {
			list = append(list, r)
		}
	}
	slices.Sort(list)
	return list
}

// fallsAround chooses six falls in equal round steps that reach well beyond one, m.
func (z sizes) fallsAround(fall float64) []float64 {
	const count = 6
	least := max(2.5*fall, 0.15) / count / z.length
	by := z.fallStep
	for _, s := range []float64{2, 4, 5, 10, 20, 40, 60, 100, 200, 400} { // times the finest step
		if by = s * z.fallStep; by >= least-1e-9 {
			break
		}
	}
	var list []float64
	for i := 1; i <= count; i++ {
		list = append(list, float64(i)*by*z.length)
	}
	return list
}

// boresAround chooses a bore, one size below it and two above, m.
func (z sizes) boresAround(bore float64) []float64 {
	list := []float64{bore}
	below := math.NaN()
	for _, b := range z.bores {
		switch {
		case math.Abs(b-bore) < 0.02*bore:
		case b < bore:
			below = b
		case len(list) < 3:
			list = append(list, b)
		}
	}
	if !math.IsNaN(below) {
		list = append([]float64{below}, list...)
	}
	return list
}
