package plot

import (
	"math"
	"strconv"
)

// axis is a scale from low to high, in the unit shown.
type axis struct {
	label     string
	low, high float64
	log       bool
	ticks     []tick
}

// tick is a mark on an axis; a small one has no text.
type tick struct {
	at   float64
	text string
}

// share returns where a value lies on the axis, 0 at its low end and 1 at its
// high one; beyond them it stays there.
func (a *axis) share(v float64) float64 {
	low, high := a.low, a.high
	if a.log {
		low, high, v = math.Log10(low), math.Log10(high), math.Log10(max(v, a.low))
	}
	return min(max((v-low)/(high-low), 0), 1)
}

// step returns a step of 1, 2, 2.5 or 5 times a power of ten that parts a range
// in no more than so many.
func step(span float64, most int) float64 {
	raw := span / float64(most)
	power := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, m := range []float64{1, 2, 2.5, 5} {
		if m*power >= raw*(1-1e-9) {
			return m * power
		}
	}
	return 10 * power
}

// exact is an axis from low to high itself, with ticks at round values between.
func exact(label string, low, high float64, most int) axis {
	low, high = apart(low, high)
	a := axis{label: label, low: low, high: high}
	a.mark(step(high-low, most))
	return a
}

// rounded is an axis whose ends are round values around low and high.
func rounded(label string, low, high float64, most int) axis {
	low, high = apart(low, high)
	s := step(high-low, most)
	a := axis{label: label, low: s * math.Floor(low/s+1e-9), high: s * math.Ceil(high/s-1e-9)}
	a.mark(s)
	return a
}

// apart widens a range that has no width.
func apart(low, high float64) (float64, float64) {
	if high > low {
		return low, high
	}
	d := math.Abs(low) / 10
	if d == 0 {
		d = 1
	}
	return low - d, low + d
}

// mark sets the ticks at multiples of s.
func (a *axis) mark(s float64) {
	decimals := 0
	for v := s; decimals < 9 && math.Abs(v-math.Round(v)) > 1e-6*v; v *= 10 {
		decimals++
	}
	for k := math.Ceil(a.low/s - 1e-9); k*s <= a.high+1e-9*s; k++ {
		at := k * s
		if k == 0 {
			at = 0 // no minus zero
		}
		a.ticks = append(a.ticks, tick{at, strconv.FormatFloat(at, 'f', decimals, 64)})
	}
}

// decades is a logarithmic axis that holds low and high, both above 0, between
// 1, 2 or 5 times powers of ten.
func decades(label string, low, high float64) axis {
	from, to := math.Floor(math.Log10(low)+1e-9), math.Ceil(math.Log10(high)-1e-9)
	a := axis{label: label, low: math.Pow(10, from), high: math.Pow(10, to), log: true}
	for _, m := range []float64{2, 5} {
		if start := m * math.Pow(10, from); start <= low*(1+1e-9) {
			a.low = start
		}
		if end := math.Pow(10, to) / m; end >= high*(1-1e-9) {
			a.high = end
		}
	}
	for e := from; e <= to; e++ {
		at := math.Pow(10, e)
		a.add(tick{at, strconv.FormatFloat(at, 'f', max(0, -int(e)), 64)})
		for m := 2.0; m < 10; m++ {
			a.add(tick{at: m * at})
		}
	}
	return a
}

// add adds a tick that lies on the axis.
func (a *axis) add(t tick) {
	if t.at >= a.low*(1-1e-9) && t.at <= a.high*(1+1e-9) {
		a.ticks = append(a.ticks, t)
	}
}
