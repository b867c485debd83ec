package uncertainty

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Quantile returns the inverse CDF between the bounds,
//
//	x = F^-1( F(Low) + u [F(High) - F(Low)] )
//
// computed from the nearer tail, so that it stays exact far out. u is a share
// in 0..1; at or below 0 it returns Low, at or above 1 High, which are
// infinite for an unbounded law. NaN gives NaN. It does not allocate.
func (d Distribution) Quantile(u float64) float64 {
	switch {
	case d.Kind == ExactValue:
		return d.A
	case u <= 0:
		return d.Low
	case u >= 1:
		return d.High
	case math.IsNaN(u):
		return u
	case d.Kind == UniformLaw:
		return d.Low + u*(d.High-d.Low)
	case d.Kind == TableLaw:
		return d.Values[d.firstAtLeast(u)]
	}
	var x float64
	if p := d.below + u*d.mass; p <= 0.5 {
		x = d.fromBelow(p)
	} else {
		x = d.fromAbove(d.above + (1-u)*d.mass)
	}
	return math.Min(math.Max(x, d.Low), d.High)
}

// CDF returns the chance of a value up to x, after the cut at Low and High.
func (d Distribution) CDF(x float64) float64 {
	switch {
	case math.IsNaN(x):
		return x
	case x < d.Low:
		return 0
	case x >= d.High:
		return 1
	case d.Kind == TableLaw:
		return d.shareUpTo(x)
	}
	p := d.shareBelow(x)
	if p <= 0.5 {
		p = (p - d.below) / d.mass
	} else {
		p = 1 - (d.shareAbove(x)-d.above)/d.mass
	}
	return math.Min(math.Max(p, 0), 1)
}

// shareBelow is the CDF of the uncut law; exact in the lower tail.
func (d Distribution) shareBelow(x float64) float64 {
	switch d.Kind {
	case NormalLaw:
		return normalCDF((x - d.A) / d.B)
	case LogNormalLaw:
		return normalCDF(d.standardLog(x))
	case UniformLaw:
		return within01((x - d.A) / (d.B - d.A))
	case TriangularLaw:
		switch {
		case x <= d.A:
			return 0
		case x > d.B:
			return 1 - d.shareAbove(x)
		}
		return square(x-d.A) / ((d.C - d.A) * (d.B - d.A))
	case BetaLaw:
		return mathext.RegIncBeta(d.A, d.B, within01((x-d.From)/(d.To-d.From)))
	}
	return 0
}

// shareAbove is the complement of shareBelow; exact in the upper tail.
func (d Distribution) shareAbove(x float64) float64 {
	switch d.Kind {
	case NormalLaw:
		return normalCDF((d.A - x) / d.B)
	case LogNormalLaw:
		return normalCDF(-d.standardLog(x))
	case UniformLaw:
		return within01((d.B - x) / (d.B - d.A))
	case TriangularLaw:
		switch {
		case x >= d.C:
			return 0
		case x < d.B:
			return 1 - d.shareBelow(x)
		}
		return square(d.C-x) / ((d.C - d.A) * (d.C - d.B))
	case BetaLaw:
		return mathext.RegIncBeta(d.B, d.A, within01((d.To-x)/(d.To-d.From)))
	}
	return 0
}

// fromBelow is the inverse of shareBelow.
func (d Distribution) fromBelow(p float64) float64 {
	switch d.Kind {
	case NormalLaw:
		return d.A + d.B*mathext.NormalQuantile(p)
	case LogNormalLaw:
		return d.A * math.Exp(d.logSD*mathext.NormalQuantile(p))
	case TriangularLaw:
		if p*(d.C-d.A) > d.B-d.A {
			return d.C - math.Sqrt((1-p)*(d.C-d.A))*math.Sqrt(d.C-d.B)
		}
		return d.A + math.Sqrt(p*(d.C-d.A))*math.Sqrt(d.B-d.A)
	case BetaLaw:
		return d.From + (d.To-d.From)*betaInverse(d.A, d.B, d.logBeta, p)
	}
	return math.NaN()
}

// fromAbove is the inverse of shareAbove.
func (d Distribution) fromAbove(q float64) float64 {
	switch d.Kind {
	case NormalLaw:
		return d.A - d.B*mathext.NormalQuantile(q)
	case LogNormalLaw:
		return d.A * math.Exp(-d.logSD*mathext.NormalQuantile(q))
	case TriangularLaw:
		if q*(d.C-d.A) > d.C-d.B {
			return d.A + math.Sqrt((1-q)*(d.C-d.A))*math.Sqrt(d.B-d.A)
		}
		return d.C - math.Sqrt(q*(d.C-d.A))*math.Sqrt(d.C-d.B)
	case BetaLaw:
		return d.To - (d.To-d.From)*betaInverse(d.B, d.A, d.logBeta, q)
	}
	return math.NaN()
}

// standardLog is the standard normal variate of x under a log-normal law.
func (d Distribution) standardLog(x float64) float64 {
	return math.Log(math.Max(x, 0)/d.A) / d.logSD
}

// firstAtLeast is the first row of a table whose cumulative weight reaches u.
func (d Distribution) firstAtLeast(u float64) int {
	low, high := 0, len(d.cumulative)-1
	for low < high {
		if middle := (low + high) / 2; d.cumulative[middle] < u {
			low = middle + 1
		} else {
			high = middle
		}
	}
	return low
}

// shareUpTo is the weight of the rows of a table up to x.
func (d Distribution) shareUpTo(x float64) float64 {
	low, high := 0, len(d.Values)
	for low < high {
		if middle := (low + high) / 2; d.Values[middle] <= x {
			low = middle + 1
		} else {
			high = middle
		}
	}
	if low == 0 {
		return 0
	}
	return d.cumulative[low-1]
}

// normalCDF is the standard normal CDF; exact in the lower tail.
func normalCDF(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

func within01(t float64) float64 { return math.Min(math.Max(t, 0), 1) }

func square(x float64) float64 { return x * x }
