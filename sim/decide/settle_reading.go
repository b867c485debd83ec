package decide

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

// ReadingError is the standard error of a reading: of the value, or of its
// logarithm. One of the two is set, or none for a reading without error.
type ReadingError struct {
	SD  float64 // SI
	GSD float64 // geometric standard deviation; 0: see SD
}

// ParseReadingError reads an error as a scenario writes it, "+- 1 mm" or "x/ 1.1".
func ParseReadingError(text string, d units.Dimension) (ReadingError, error) {
	if factor, found := strings.CutPrefix(text, "x/ "); found {
		gsd, err := strconv.ParseFloat(factor, 64)
		if err == nil && gsd <= 1 {
			err = fmt.Errorf("a factor above 1 is wanted (got %s)", factor)
		}
		return ReadingError{GSD: gsd}, err
	}
	unit := ""
	if parts := strings.SplitN(text, " ", 3); len(parts) == 3 {
		unit = parts[2]
	}
	law, err := uncertainty.Parse("0 "+unit+" "+text, d)
	if err == nil && law.Kind != uncertainty.NormalLaw {
		err = fmt.Errorf("write an error as +- 1 mm or x/ 1.1 (got %q)", text)
	}
	return ReadingError{SD: law.B}, err
}

// within95 is how many standard errors 95 % of readings stay within.
const within95 = 1.959964

// scale turns a value into what the error is normal in, and its standard deviation.
func (e ReadingError) scale(x float64) (scaled, sd float64) {
	if e.GSD > 0 {
		return math.Log(max(x, 0)), math.Log(e.GSD)
	}
	return x, e.SD
}

// reading is the reading of a value at a quantile of the error.
func (e ReadingError) reading(x, quantile float64) float64 {
	z := distuv.UnitNormal.Quantile(quantile)
	if e.GSD > 0 {
		return x * math.Pow(e.GSD, z)
	}
	return x + z*e.SD
}

// Leaves returns the interval that a reading leaves, 95 %.
func (e ReadingError) Leaves(reading float64) (low, high float64) {
	if e.GSD > 0 {
		f := math.Pow(e.GSD, within95)
		return reading / f, reading * f
	}
	return reading - within95*e.SD, reading + within95*e.SD
}

// sides say on which side of a tipping value a reading decides.
type sides int

const (
	bothSides sides = iota
	below
	above
)

// steps is how many equally likely values stand for a distribution.
const steps = 2000

// decides returns the chance that a reading lies so far beyond a tipping value that
// its error doesn't matter: see Settle.
func (e ReadingError) decides(law uncertainty.Distribution, t TippingValue, on sides) float64 {
	low, _ := e.scale(t.Low)
	high, _ := e.scale(t.High)
	sum := 0.0
	for i := range steps {
		x, sd := e.scale(law.Quantile((float64(i) + 0.5) / steps))
		if on != above {
			sum += beyond(low-x, sd)
		}
		if on != below {
			sum += beyond(x-high, sd)
		}
	}
	return sum / steps
}

// beyond is the chance that a reading lies its 95 % error beyond a value that is a
// distance away on that side.
func beyond(distance, sd float64) float64 {
	switch {
	case math.IsNaN(distance):
		return 0
	case sd > 0:
		return distuv.UnitNormal.CDF(distance/sd - within95)
	case distance > 0:
		return 1
	}
	return 0
}

// curve is the chance along a reading: at points in ascending order, straight in
// between, level beyond.
type curve struct{ at, chance []float64 }

func (c curve) value(x float64) float64 {
	for i := 1; i < len(c.at); i++ {
		if x <= c.at[i] {
			x = max(x, c.at[i-1])
			return c.chance[i-1] + (c.chance[i]-c.chance[i-1])*(x-c.at[i-1])/(c.at[i]-c.at[i-1])
		}
	}
	return c.chance[len(c.chance)-1]
}

// across is how far the chance moves between two values.
func (c curve) across(from, to float64) float64 { return math.Abs(c.value(to) - c.value(from)) }

// left returns how far the chance moves across what a reading leaves: the mean over
// readings, and the most over those between the ends of the curve.
func (c curve) left(law uncertainty.Distribution, e ReadingError) (mean, worst float64) {
	const values, errors = 200, 20
	across := func(reading float64) float64 {
		low, high := e.Leaves(reading)
		return c.across(low, high)
	}
	for i := range values {
		x := law.Quantile((float64(i) + 0.5) / values)
		for j := range errors {
			mean += across(e.reading(x, (float64(j)+0.5)/errors)) / (values * errors)
		}
	}
	first, last := c.at[0], c.at[len(c.at)-1]
	for i := range values + 1 {
		worst = max(worst, across(first+(last-first)*float64(i)/values))
	}
	return mean, worst
}
