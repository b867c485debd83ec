package uncertainty

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Mean returns the mean after the cut at Low and High.
func (d Distribution) Mean() float64 {
	var mean float64
	switch d.Kind {
	case ExactValue:
		return d.A
	case NormalLaw:
		mean = d.normalMean()
	case UniformLaw:
		mean = d.Low + (d.High-d.Low)/2
	case TriangularLaw:
		mean = d.triangularMean()
	case LogNormalLaw:
		mean = d.logNormalMean()
	case BetaLaw:
		mean = d.betaMean()
	case TableLaw:
		for i, v := range d.Values {
			mean += v * d.Weights[i]
		}
	}
	return math.Min(math.Max(mean, d.Low), d.High)
}

// normalMean is the mean of a truncated normal law,
//
//	μ + σ [φ(a) - φ(b)]/[Φ(b) - Φ(a)],  a = (Low-μ)/σ, b = (High-μ)/σ
//
// (Johnson, Kotz and Balakrishnan, Continuous Univariate Distributions 1,
// 2nd ed. 1994, section 10.1; from memory).
func (d Distribution) normalMean() float64 {
	a, b := (d.Low-d.A)/d.B, (d.High-d.A)/d.B
	return d.A + d.B*(normalDensity(a)-normalDensity(b))/d.mass
}

// logNormalMean is the mean of a truncated log-normal law,
//
//	median exp(s²/2) [Φ(b-s) - Φ(a-s)]/[Φ(b) - Φ(a)]
//
// s = ln gsd, a = ln(Low/median)/s, b = ln(High/median)/s (derived from the
// partial expectation of the law).
func (d Distribution) logNormalMean() float64 {
	s := d.logSD
	a, b := d.standardLog(d.Low), d.standardLog(d.High)
	return d.A * math.Exp(s*s/2) * normalShare(a-s, b-s) / d.mass
}

// triangularMean integrates x times the density over each side of the mode.
func (d Distribution) triangularMean() float64 {
	if d.Low == d.A && d.High == d.C {
		return d.A + ((d.B-d.A)+(d.C-d.A))/3
	}
	width := d.C - d.A
	sum := 0.0
	if rise := d.B - d.A; rise > 0 && d.Low < d.B {
		t0, t1 := d.Low-d.A, math.Min(d.High, d.B)-d.A
		sum += 2.0 / 3 * (cube(t1) - cube(t0)) / (width * rise)
	}
	if fall := d.C - d.B; fall > 0 && d.High > d.B {
		s0, s1 := d.C-d.High, d.C-math.Max(d.Low, d.B)
		sum += (width*(square(s1)-square(s0)) - 2.0/3*(cube(s1)-cube(s0))) / (width * fall)
	}
	return d.A + sum/d.mass
}

// betaMean is the mean of a truncated beta law, from
//
//	∫ t f(t; α, β) dt = α/(α+β) [I_b(α+1, β) - I_a(α+1, β)]
func (d Distribution) betaMean() float64 {
	width := d.To - d.From
	mean := d.A / (d.A + d.B)
	if d.mass < 1 {
		a, b := within01((d.Low-d.From)/width), within01((d.High-d.From)/width)
		mean *= (mathext.RegIncBeta(d.A+1, d.B, b) - mathext.RegIncBeta(d.A+1, d.B, a)) / d.mass
	}
	return d.From + width*mean
}

// Nominal returns the one value that stands for d: an exact value, the mean
// of a normal law, the middle of a uniform law, the mode of a triangular one,
// the median of the others; kept within Low..High.
func (d Distribution) Nominal() float64 {
	var v float64
	switch d.Kind {
	case ExactValue, NormalLaw, LogNormalLaw:
		v = d.A
	case UniformLaw:
		v = d.Low + (d.High-d.Low)/2
	case TriangularLaw:
		v = d.B
	default:
		v = d.Quantile(0.5)
	}
	return math.Min(math.Max(v, d.Low), d.High)
}

// Range returns the span that d is moved across to see what depends on it:
// the ends of a uniform, triangular or beta law, and the 2.5 % and 97.5 %
// quantiles of a normal or log-normal law or a table.
func (d Distribution) Range() (low, high float64) {
	switch d.Kind {
	case NormalLaw, LogNormalLaw, TableLaw:
		return d.Quantile(0.025), d.Quantile(0.975)
	}
	return d.Low, d.High
}

// normalDensity is the standard normal density; 0 at infinity.
func normalDensity(z float64) float64 {
	return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi)
}

// normalShare is Φ(b) - Φ(a), from the nearer tail.
func normalShare(a, b float64) float64 {
	if a > 0 {
		return normalCDF(-a) - normalCDF(-b)
	}
	return normalCDF(b) - normalCDF(a)
}

func cube(x float64) float64 { return x * x * x }
