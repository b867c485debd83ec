package plot

import "math"

// point is a place in the units of the axes.
type point struct{ x, y float64 }

// runs parts points where a coordinate is not finite: nothing is drawn across.
func runs(points []point) [][]point {
	var list [][]point
	var run []point
	for _, p := range points {
		if finite(p.x) && finite(p.y) {
			run = append(run, p)
			continue
		}
		if len(run) > 0 {
			list = append(list, run)
		}
		run = nil
	}
	if len(run) > 0 {
		list = append(list, run)
	}
	return list
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// thinned keeps of points, ascending in x, what can be seen when x is parted in
// columns between low and high: in each the first, the lowest, the highest
// and the last one, in their order.
func thinned(points []point, low, high float64, columns int) []point {
	column := func(p point) int { return int((p.x - low) / (high - low) * float64(columns)) }
	var kept []point
	for i := 0; i < len(points); {
		j, lowest, highest := i, i, i
		for ; j < len(points) && column(points[j]) == column(points[i]); j++ {
			if points[j].y < points[lowest].y {
				lowest = j
			}
			if points[j].y > points[highest].y {
				highest = j
			}
		}
		last := -1
		for _, k := range []int{i, min(lowest, highest), max(lowest, highest), j - 1} {
			if k > last {
				kept = append(kept, points[k])
				last = k
			}
		}
		i = j
	}
	return kept
}
