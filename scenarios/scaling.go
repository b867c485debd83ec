package scenarios

import (
	"math"

	"sumpward/scenarios/uncertainty"
)

// scaled returns the distribution of k times the value, k other than 0. A
// log-normal value can't change its sign: a negative k is an error then.
func scaled(d uncertainty.Distribution, k float64) (uncertainty.Distribution, error) {
	if k == 1 {
		return d, nil
	}
	var s uncertainty.Distribution
	var err error
	switch d.Kind {
	case uncertainty.ExactValue:
		return uncertainty.Exact(d.A * k), nil
	case uncertainty.NormalLaw:
		s, err = uncertainty.Normal(d.A*k, d.B*math.Abs(k))
	case uncertainty.UniformLaw:
		s, err = uncertainty.Uniform(min(d.A*k, d.B*k), max(d.A*k, d.B*k))
	case uncertainty.TriangularLaw:
		s, err = uncertainty.Triangular(min(d.A*k, d.C*k), d.B*k, max(d.A*k, d.C*k))
	case uncertainty.LogNormalLaw:
		s, err = uncertainty.LogNormal(d.A*k, d.B)
	case uncertainty.BetaLaw:
		if k < 0 {
			s, err = uncertainty.Beta(d.B, d.A, d.To*k, d.From*k)
		} else {
			s, err = uncertainty.Beta(d.A, d.B, d.From*k, d.To*k)
		}
	case uncertainty.TableLaw:
		values := make([]float64, len(d.Values))
		for i, v := range d.Values {
			values[i] = v * k
		}
		s, err = uncertainty.Table(values, d.Weights)
	}
	if err != nil {
		return d, err
	}
	if low, high := min(d.Low*k, d.High*k), max(d.Low*k, d.High*k); low > s.Low || high < s.High {
		s, _, err = s.Truncate(max(low, s.Low), min(high, s.High))
	}
	return s, err
}
