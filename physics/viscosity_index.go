package physics

import (
	_ "embed"
	"math"
	"sort"
	"strconv"
	"strings"
	"sync"
)

// The limits of Y, the kinematic viscosity at 100 °C, mm2/s, between which
// ASTM D2270 gives L and H: by table up to tableEnd, above it by a formula.
const (
	indexLow  = 2.0
	tableEnd  = 70.0
	indexHigh = 500.0 // what a root is sought up to; the standard names no end
)

//go:embed viscosity_index_table.csv
var indexTableText string

// indexRow is a row of the table, mm2/s.
type indexRow struct{ y, l, h float64 }

var indexTable = sync.OnceValue(func() []indexRow {
	var rows []indexRow
	for line := range strings.Lines(indexTableText) {
		fields := strings.Split(strings.TrimSpace(line), ",")
		var row [3]float64
		for i := range min(len(fields), 3) {
			row[i], _ = strconv.ParseFloat(fields[i], 64)
		}
		if row[0] > 0 {
			rows = append(rows, indexRow{row[0], row[1], row[2]})
		}
	}
	return rows
})

// indexReference returns L and H, the viscosities at 40 °C of the reference
// oils of index 0 and 100 that have y at 100 °C; all in mm2/s.
func indexReference(y float64) (l, h float64) {
	if y > tableEnd {
		return 0.8353*y*y + 14.67*y - 216, 0.1684*y*y + 11.85*y - 97
	}
	rows := indexTable()
	i := sort.Search(len(rows)-1, func(i int) bool { return rows[i].y >= y })
	i = max(i, 1)
	a, b := rows[i-1], rows[i]
	s := (y - a.y) / (b.y - a.y)
	return a.l + s*(b.l-a.l), a.h + s*(b.h-a.h)
}

// ViscosityIndex returns the viscosity index of an oil.
//
//	U >= H: VI = 100 (L - U)/(L - H)
//	U <  H: VI = (10^N - 1)/0.00715 + 100,  N = log10(H/U)/log10(Y)
//
// nu40 is U and nu100 is Y, the kinematic viscosities at 40 and 100 °C, m2/s. L
// and H come from Table 1 up to 70 mm2/s, above by the standard's formulas. It
// returns a *RangeError for nu100 below 2 mm2/s (or above 500). Source: ASTM
// D2270, procedures A and B.
func ViscosityIndex(nu40, nu100 float64) (float64, error) {
	if err := indexRange(nu100); err != nil {
		return 0, err
	}
	u, y := nu40/centistokes, nu100/centistokes
	l, h := indexReference(y)
	if u >= h {
		return 100 * (l - u) / (l - h), nil
	}
	return (math.Pow(10, math.Log10(h/u)/math.Log10(y))-1)/0.00715 + 100, nil
}

func indexRange(nu100 float64) error {
	return RangeError{
		Quantity: "kinematic viscosity at 100 °C", Value: nu100, Low: indexLow * centistokes, High: indexHigh * centistokes, Unit: "m2/s",
		Source: "ASTM D2270",
	}.check()
}

// ViscosityAt40C returns the kinematic viscosity at 40 °C, m2/s, of an oil of
// kinematic viscosity nu100 at 100 °C, m2/s, and a viscosity index: the inverse
// of ViscosityIndex, with the same range and source.
func ViscosityAt40C(nu100, index float64) (float64, error) {
	if err := indexRange(nu100); err != nil {
		return 0, err
	}
	return centistokes * viscosityOfIndex(nu100/centistokes, index), nil
}

// viscosityOfIndex returns U for Y and an index, mm2/s.
func viscosityOfIndex(y, index float64) float64 {
	l, h := indexReference(y)
	if index <= 100 {
		return l - index/100*(l-h)
	}
	return h / math.Pow(y, math.Log10(1+0.00715*(index-100)))
}

// ViscosityAt100C returns the kinematic viscosity at 100 °C, m2/s, of an oil of
// kinematic viscosity nu40 at 40 °C, m2/s, and a viscosity index, by bisection.
// It returns a *RangeError if that would be outside the range of
// ViscosityIndex.
func ViscosityAt100C(nu40, index float64) (float64, error) {
	u := nu40 / centistokes
	low, high := indexLow, indexHigh
	err := RangeError{
		Quantity: "kinematic viscosity at 40 °C", Value: nu40, Unit: "m2/s",
		Low:    centistokes * viscosityOfIndex(low, index),
		High:   centistokes * viscosityOfIndex(high, index),
		Source: "ASTM D2270 at this viscosity index",
	}.check()
	if err != nil {
		return 0, err
	}
	for high-low > 1e-14*high {
		middle := 0.5 * (low + high)
		if middle == low || middle == high {
			break
		}
		if viscosityOfIndex(middle, index) < u {
			low = middle
		} else {
			high = middle
		}
	}
	return centistokes * 0.5 * (low + high), nil
}
