package scenarios

import (
	"fmt"
	"math"
	"strings"

	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

// Basis says where the value of an input comes from.
type Basis string

// The bases, from firm to loose.
const (
	Measured Basis = "measured" // the user measured it
	Stated   Basis = "stated"   // the user wrote it
	Assumed  Basis = "assumed"  // a default of ours, with its source
)

// Quantity is one number of a scenario, exact or uncertain, in SI units.
type Quantity struct {
	ID           int    // index in Scenario.Inputs; -1: it follows from inputs, and is none
	Path         string // "drain.fall", "breathers.block.bore", "duty.lap.3.load"
	Line         int    // of the file; 0 for a default
	Dimension    units.Dimension
	Distribution uncertainty.Distribution // cut to what physics allows
	Cut          float64                  // share of the stated distribution that was cut off
	Basis        Basis
	Source       string // of an assumed value
	Text         string // as written
	Per          string // "per L": what it is counted per, beside the dimension; mostly empty

	learned bool // drawn together with others, see Learned

	scale float64 // SI value over that of the written unit, where it is counted per something
}

// notKnown stands for a value that could not be read; the scenario is not
// returned then, and no comparison with it tells of a second problem.
var notKnown = uncertainty.Exact(math.NaN())

// Format writes a value of the quantity, SI, for people: "96 L/min".
func (q *Quantity) Format(si float64, s units.System) string {
	return q.with(units.Format(si/q.scale, q.Dimension, s))
}

// Notation writes the distribution for people: "96 +- 15 L/min"; of draws that
// were learned, and of a table of more than twelve values, the median and the
// middle nine tenths: "96 L/min (71 .. 121 L/min)".
func (q *Quantity) Notation(s units.System) string {
	if q.learned && !q.IsExact() || len(q.Distribution.Values) > mostWritten {
		return q.quantiles(s)
	}
	d, err := scaled(q.Distribution, 1/q.scale)
	if err != nil {
		return q.Text
	}
	return q.with(d.Text(q.Dimension, s))
}

// mostWritten is how many values of a table are written out.
const mostWritten = 12

// quantiles tells of a table of many values the median and the middle nine tenths.
func (q *Quantity) quantiles(s units.System) string {
	at := func(share float64) string {
		return units.Format(q.Distribution.Quantile(share)/q.scale, q.Dimension, s)
	}
	low, high := at(0.05), at(0.95)
	if number, unit, _ := strings.Cut(low, " "); strings.HasSuffix(high, " "+unit) {
		low = number
	}
	return q.with(fmt.Sprintf("%s (%s .. %s)", at(0.5), low, high))
}

func (q *Quantity) with(text string) string {
	if q.Per == "" {
		return text
	}
	return text + " " + q.Per
}

// Nominal returns the value that stands for the quantity where one is needed
// (see [uncertainty.Distribution.Nominal]). A nil quantity gives 0.
func (q *Quantity) Nominal() float64 {
	if q == nil {
		return 0
	}
	return q.Distribution.Nominal()
}

// IsExact reports whether the quantity is the same in every realization.
func (q *Quantity) IsExact() bool { return q == nil || q.Distribution.IsExact() }
