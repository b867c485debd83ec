// Package uncertainty holds what is not known exactly: probability
// distributions of one quantity, the notation in which a scenario states
// them, and their cut at what physics allows.
//
// Draws are taken by inverse CDF: Quantile(u) with u from a stream of random
// numbers. All values are in SI.
package uncertainty

import (
	"fmt"
	"math"
	"sort"
	"strconv"

	"gonum.org/v1/gonum/mathext"

	"sumpward/scenarios/units"
)

// Kind is the law of a Distribution.
type Kind int

// The laws, with the meaning of the fields A, B and C.
const (
	ExactValue    Kind = iota // A
	NormalLaw                 // A mean, B standard deviation
	UniformLaw                // A low, B high
	TriangularLaw             // A low, B mode, C high
	LogNormalLaw              // A median, B geometric standard deviation
	BetaLaw                   // A alpha, B beta, between From and To
	TableLaw                  // Values with Weights
)

var kindNames = [...]string{"exact", "normal", "uniform", "triangular", "log-normal", "beta", "table"}

// String returns the name of the law, such as "log-normal".
func (k Kind) String() string {
	if k < 0 || int(k) >= len(kindNames) {
		return "unknown distribution"
	}
	return kindNames[k]
}

// Distribution is the probability distribution of one quantity in SI, cut to
// Low..High. Build it with the functions of this package; the fields are for
// reading. The zero value is exactly 0.
type Distribution struct {
	Kind     Kind
	A, B, C  float64   // parameters of the law, see Kind
	From, To float64   // ends of a beta law
	Values   []float64 // of a table, rising
	Weights  []float64 // of a table, adding to 1
	Low      float64   // lower bound of what can be drawn, -Inf if there is none
	High     float64   // upper bound of what can be drawn, +Inf if there is none

	atLeast, atMost float64   // bounds that the notation states, infinite where it states none
	logSD           float64   // ln of the geometric standard deviation
	logBeta         float64   // ln of the beta function of the shape
	below, above    float64   // share of the law below Low, above High
	mass            float64   // share of the law between them
	cumulative      []float64 // of Weights
}

// largestGSD bounds the geometric standard deviation, largestShape the
// parameters of a beta law; beyond them moments overflow or the inverse of
// the CDF loses digits.
const (
	largestGSD    = 1000
	smallestShape = 0.1
	largestShape  = 1e4
	// narrowest is the least width of a range relative to its ends; below it
	// rounding decides.
	narrowest = 1e-12
)

// Exact returns the distribution that is always v.
func Exact(v float64) Distribution {
	return Distribution{Kind: ExactValue, A: v, Low: v, High: v, mass: 1,
		atLeast: math.Inf(-1), atMost: math.Inf(1)}
}

// Normal returns the normal distribution with the given mean and standard
// deviation. A standard deviation of 0 gives the exact mean; a negative one
// is an error.
func Normal(mean, sd float64) (Distribution, error) {
	if err := finite(mean, sd); err != nil {
		return Distribution{}, err
	}
	if sd < 0 {
		return Distribution{}, &units.Error{What: "the standard deviation is negative", Got: number(sd),
			Wanted: "0 or more", Hint: "write " + number(-sd)}
	}
	if sd == 0 {
		return Exact(mean), nil
	}
	return law(Distribution{Kind: NormalLaw, A: mean, B: sd, Low: math.Inf(-1), High: math.Inf(1)}), nil
}

// Uniform returns the distribution that is equally dense from low to high.
// It is an error if low is not below high.
func Uniform(low, high float64) (Distribution, error) {
	if err := ordered(low, high); err != nil {
		return Distribution{}, err
	}
	return law(Distribution{Kind: UniformLaw, A: low, B: high, Low: low, High: high}), nil
}

// Triangular returns the distribution whose density rises linearly from low
// to mode and falls linearly to high. The mode may be at an end. It is an
// error if low is not below high, or the mode outside.
func Triangular(low, mode, high float64) (Distribution, error) {
	if err := ordered(low, high); err != nil {
		return Distribution{}, err
	}
	if !(low <= mode && mode <= high) {
		return Distribution{}, &units.Error{What: "the mode is outside the range", Got: number(mode),
			Wanted: number(low) + " to " + number(high)}
	}
	return law(Distribution{Kind: TriangularLaw, A: low, B: mode, C: high, Low: low, High: high}), nil
}

// LogNormal returns the distribution whose logarithm is normal with mean
// ln(median) and standard deviation ln(gsd). A geometric standard deviation
// of 1 gives the exact median. It is an error if the median is not positive
// or gsd is not within 1..1000.
func LogNormal(median, gsd float64) (Distribution, error) {
	if err := finite(median, gsd); err != nil {
		return Distribution{}, err
	}
	switch {
	case median <= 0:
		return Distribution{}, &units.Error{What: "the median of a log-normal distribution is not positive", Got: number(median), Wanted: "more than 0"}
	case gsd < 1 || gsd > largestGSD:
		return Distribution{}, &units.Error{What: "the geometric standard deviation is out of range", Got: number(gsd), Wanted: "1 to 1000"}
	case gsd == 1:
		return Exact(median), nil
	}
	return law(Distribution{Kind: LogNormalLaw, A: median, B: gsd, Low: 0, High: math.Inf(1), logSD: math.Log(gsd)}), nil
}

// Beta returns the beta distribution with density proportional to
//
//	t^(alpha-1) (1-t)^(beta-1),  t = (x - from)/(to - from)
//
// It is an error if alpha or beta is not within 0.1..1e4, or from is not
// below to.
func Beta(alpha, beta, from, to float64) (Distribution, error) {
	if err := ordered(from, to); err != nil {
		return Distribution{}, err
	}
	for _, s := range []float64{alpha, beta} {
		if !(s >= smallestShape && s <= largestShape) {
			return Distribution{}, &units.Error{What: "the shape of a beta distribution is out of range", Got: number(s), Wanted: "0.1 to 10000"}
		}
	}
	return law(Distribution{Kind: BetaLaw, A: alpha, B: beta, From: from, To: to, Low: from, High: to,
		logBeta: mathext.Lbeta(alpha, beta)}), nil
}

// Table returns the discrete distribution of values with weights, in any
// order; weights need not add to 1, and none (nil) are equal weights. It is
// an error if there is no value, a value is not finite, the numbers of values
// and weights differ, or a weight is negative or not finite, or all are 0.
func Table(values, weights []float64) (Distribution, error) {
	if len(values) == 0 {
		return Distribution{}, &units.Error{What: "the table has no values", Hint: "write at least one value"}
	}
	if weights != nil && len(weights) != len(values) {
		return Distribution{}, &units.Error{What: "each value of a table needs one weight",
			Got: fmt.Sprintf("%d values and %d weights", len(values), len(weights))}
	}
	t := table{values: append([]float64(nil), values...), weights: make([]float64, len(values))}
	total := 0.0
	for i, v := range values {
		t.weights[i] = 1
		if weights != nil {
			t.weights[i] = weights[i]
		}
		if err := finite(v, t.weights[i]); err != nil {
			return Distribution{}, err
		}
		if t.weights[i] < 0 {
			return Distribution{}, &units.Error{What: "a weight is negative", Got: number(t.weights[i]), Wanted: "0 or more"}
		}
		total += t.weights[i]
	}
	if !(total > 0) || math.IsInf(total, 0) {
		return Distribution{}, &units.Error{What: "the weights don't add to a positive number", Got: number(total)}
	}
	sort.Stable(t)
	return t.distribution(total), nil
}

// table sorts values and weights together.
type table struct{ values, weights []float64 }

func (t table) Len() int           { return len(t.values) }
func (t table) Less(i, j int) bool { return t.values[i] < t.values[j] }
func (t table) Swap(i, j int) {
	t.values[i], t.values[j] = t.values[j], t.values[i]
	t.weights[i], t.weights[j] = t.weights[j], t.weights[i]
}

// distribution makes the law of sorted values whose weights add to total;
// values without weight are left out.
func (t table) distribution(total float64) Distribution {
	d := Distribution{Kind: TableLaw, mass: 1, atLeast: math.Inf(-1), atMost: math.Inf(1)}
	sum := 0.0
	for i, v := range t.values {
		if t.weights[i] == 0 {
			continue
		}
		sum += t.weights[i]
		d.Values = append(d.Values, v)
		d.Weights = append(d.Weights, t.weights[i]/total)
		d.cumulative = append(d.cumulative, sum/total)
	}
	last := len(d.Values) - 1
	d.Low, d.High = d.Values[0], d.Values[last]
	return d
}

// law completes an uncut distribution.
func law(d Distribution) Distribution {
	d.mass = 1
	d.atLeast, d.atMost = math.Inf(-1), math.Inf(1)
	return d
}

// IsExact says whether only one value can be drawn.
func (d Distribution) IsExact() bool {
	return d.Kind == ExactValue || d.Kind == TableLaw && len(d.Values) == 1
}

func finite(vs ...float64) error {
	for _, v := range vs {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return &units.Error{What: "not a finite number", Got: number(v)}
		}
	}
	return nil
}

// ordered says whether low..high is a range with a width that rounding leaves.
func ordered(low, high float64) error {
	if err := finite(low, high); err != nil {
		return err
	}
	if err := finite(high - low); err != nil {
		return &units.Error{What: "the range is too wide for a computer's numbers", Got: number(low) + " .. " + number(high)}
	}
	switch {
	case low > high:
		return &units.Error{What: "the low end is above the high end", Got: number(low) + " .. " + number(high),
			Hint: "write " + number(high) + " .. " + number(low)}
	case noWidth(low, high):
		return &units.Error{What: "the range has no width", Got: number(low) + " .. " + number(high), Hint: "write " + number(low)}
	}
	return nil
}

func noWidth(low, high float64) bool {
	return high-low <= narrowest*math.Max(math.Abs(low), math.Abs(high))
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
