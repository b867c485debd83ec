package plot

import (
	"math"
	"sort"
	"strconv"
)

// What changes faster than can be told apart is summed up over windows.
const (
	mostChanges = 160 // that are shown one by one, over the width of a frame
	windows     = 20  // widths of a window in the width of a frame
	leastWindow = 2   // min: a lap, mostly
	samples     = 240 // places over the width of a frame
)

// window returns a round time, min, to sum up over: about a twentieth of all.
func window(minutes float64) float64 { return max(leastWindow, step(minutes, windows)) }

// windowName writes a window for people.
func windowName(w float64) string { return strconv.FormatFloat(w, 'g', 3, 64) + " min" }

// running are the lowest, the mean and the highest value of a curve within a
// window around each of many places.
type running struct{ low, mean, high []point }

// runningOf sums up a curve, ascending in x and straight between its points,
// within half a window w to either side, as far as the curve goes.
func runningOf(points []point, w float64) running {
	var r running
	first, last := points[0].x, points[len(points)-1].x
	area := make([]float64, len(points)) // below the curve up to each point
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		area[i] = area[i-1] + (b.x-a.x)*(a.y+b.y)/2
	}
	for k := range samples + 1 {
		x := first + (last-first)*float64(k)/samples
		from, to := max(first, x-w/2), min(last, x+w/2)
		i := sort.Search(len(points), func(i int) bool { return points[i].x >= from })
		start, startArea := cut(points, area, from)
		end, endArea := cut(points, area, to)
		low, high := min(start, end), max(start, end)
		for ; i < len(points) && points[i].x <= to; i++ {
			low, high = min(low, points[i].y), max(high, points[i].y)
		}
		mean := start
		if to > from {
			mean = (endArea - startArea) / (to - from)
		}
		r.low, r.mean, r.high = append(r.low, point{x, low}), append(r.mean, point{x, mean}), append(r.high, point{x, high})
	}
	return r
}

// cut returns the value of a curve at x, and the area below it up to there.
func cut(points []point, area []float64, x float64) (y, upTo float64) {
	i := sort.Search(len(points), func(i int) bool { return points[i].x >= x })
	if i == len(points) {
		return math.NaN(), math.NaN() // beyond the curve
	}
	if i == 0 || points[i].x == x {
		return points[i].y, area[i]
	}
	a, b := points[i-1], points[i]
	y = a.y + (b.y-a.y)*(x-a.x)/(b.x-a.x)
	return y, area[i-1] + (x-a.x)*(a.y+y)/2
}
