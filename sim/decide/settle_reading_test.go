package decide

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

func law(t *testing.T) func(uncertainty.Distribution, error) uncertainty.Distribution {
	return func(d uncertainty.Distribution, err error) uncertainty.Distribution {
		t.Helper()
		require.NoError(t, err)
		return d
	}
}

// A uniform input on a..b, a tipping value between low and high well inside, and a
// reading of standard error e: the reading decides in
//
//	[(low - 1.96 e - a) + (b - high - 1.96 e)]/(b - a)
//
// of all cases. Exact: the error's mean is zero.
func TestDecidesOfAUniformInput(t *testing.T) {
	uniform := law(t)(uncertainty.Uniform(200, 400))
	tip := TippingValue{Value: 300, Low: 290, High: 305, KeptBelow: true}
	e := ReadingError{SD: 8}
	assert.InDelta(t, (290-1.959964*8-200)/200, e.decides(uniform, tip, below), 2e-6)
	assert.InDelta(t, (400-305-1.959964*8)/200, e.decides(uniform, tip, above), 2e-6)
	assert.InDelta(t, (90+95-2*1.959964*8)/200, e.decides(uniform, tip, bothSides), 2e-6)
	assert.InDelta(t, 185.0/200, ReadingError{}.decides(uniform, tip, bothSides), 1.0/steps, "a reading without error, but for the interval of the tipping value")
	assert.Less(t, ReadingError{SD: 80}.decides(uniform, tip, bothSides), 0.1, "too coarse to decide")
}

// A log-normal input with a reading whose logarithm errs: the reading is log-normal
// with the sum of both variances. Exact.
func TestDecidesOfALogNormalInput(t *testing.T) {
	oil := law(t)(uncertainty.LogNormal(0.25, 1.6))
	tip := TippingValue{Value: 0.3, Low: 0.29, High: 0.32}
	l, s := math.Log(1.15), math.Log(1.6)
	both := math.Hypot(l, s)
	want := distuv.UnitNormal.CDF((math.Log(0.29/0.25)-1.959964*l)/both) + distuv.UnitNormal.CDF((math.Log(0.25/0.32)-1.959964*l)/both)
	assert.InDelta(t, want, ReadingError{GSD: 1.15}.decides(oil, tip, bothSides), 1e-4)
}

// Nothing is decided beyond a tipping value that has no firm edge.
func TestDecidesNothingBeyondAnOpenEdge(t *testing.T) {
	uniform := law(t)(uncertainty.Uniform(200, 400))
	tip := TippingValue{Value: 300, Low: math.Inf(-1), High: math.Inf(1)}
	assert.Zero(t, ReadingError{SD: 5}.decides(uniform, tip, bothSides))
	assert.Zero(t, ReadingError{GSD: 1.1}.decides(uniform, tip, bothSides))
}

// Of a chance that rises evenly from a to b a reading of standard error e leaves
// 2 * 1.96 e/(b-a), where it reaches over no end. Exact.
func TestLeftOfAStraightCurve(t *testing.T) {
	c := curve{at: []float64{0, 2, 5, 10}, chance: []float64{0, 0.2, 0.5, 1}}
	e := ReadingError{SD: 0.5}
	mean, worst := c.left(uncertainty.Exact(5), e)
	assert.InDelta(t, 2*1.959964*0.05, mean, 1e-9)
	assert.InDelta(t, 2*1.959964*0.05, worst, 1e-9)
	mean, worst = c.left(law(t)(uncertainty.Uniform(0, 10)), ReadingError{SD: 1e3})
	assert.InDelta(t, 0.95, mean, 1e-6, "one that tells nothing leaves all, but for the one in twenty that misses the range")
	assert.InDelta(t, 1, worst, 1e-9)
	mean, worst = c.left(law(t)(uncertainty.Uniform(0, 10)), ReadingError{})
	assert.Zero(t, mean)
	assert.Zero(t, worst)
	falling := curve{at: []float64{0, 10}, chance: []float64{1, 0}}
	_, worst = falling.left(uncertainty.Exact(5), e)
	assert.InDelta(t, 2*1.959964*0.05, worst, 1e-9)
}

// Of a chance that rises evenly over 0..1 a value spread evenly over it with w to
// either side leaves 2w - w² in the mean: it is cut at the ends.
// Derived: ∫ [min(x+w, 1) - max(x-w, 0)] dx.
func TestLeftIsCutAtTheEnds(t *testing.T) {
	c := curve{at: []float64{0, 1}, chance: []float64{0, 1}}
	for _, w := range []float64{0.05, 0.2} {
		got, n := 0.0, 2000
		for i := range n {
			x := (float64(i) + 0.5) / float64(n)
			got += c.across(x-w, x+w) / float64(n)
		}
		assert.InDelta(t, 2*w-w*w, got, 1e-6)
	}
}

func TestReadingErrors(t *testing.T) {
	for text, x := range map[string]struct {
		dim  units.Dimension
		want ReadingError
	}{
		"+- 1 mm":   {units.Length, ReadingError{SD: 1e-3}},
		"+- 3 C":    {units.Temperature, ReadingError{SD: 3}},
		"+- 5 %":    {units.Fraction, ReadingError{SD: 0.05}},
		"+- 0.03 g": {units.Acceleration, ReadingError{SD: 0.03 * 9.80665}},
		"x/ 1.05":   {units.Volume, ReadingError{GSD: 1.05}},
	} {
		got, err := ParseReadingError(text, x.dim)
		require.NoError(t, err, text)
		assert.InDelta(t, x.want.SD, got.SD, 1e-12, text)
		assert.InDelta(t, x.want.GSD, got.GSD, 1e-12, text)
	}
	for _, text := range []string{"x/ 0.9", "x/ one", "1 mm", "+- 1 kg"} {
		_, err := ParseReadingError(text, units.Length)
		assert.Error(t, err, text)
	}
	low, high := ReadingError{GSD: 1.1}.Leaves(2)
	assert.InDelta(t, 2/math.Pow(1.1, 1.959964), low, 1e-9)
	assert.InDelta(t, 2*math.Pow(1.1, 1.959964), high, 1e-9)
}
