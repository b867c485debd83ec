package sim

import "math"

// lambertDecay returns w with
//
//	ln(w/w0) + w - w0 = -x,   that is   w = W(w0 e^(w0-x)),
//
// on the principal branch for w0 > -1 (w keeps the sign of w0) and x ≥ 0, on the
// lower one for w0 < -1 (so does w) and x ≤ 0.
// W is Lambert's function (Corless et al. 1996, Adv. Comput. Math. 5, 329-359).
// The argument stays finite for large w0, where e^w0 does not.
func lambertDecay(w0, x float64) float64 {
	if w0 == 0 || x == 0 {
		return w0
	}
	if math.Abs(w0) < 1e-16 { // linear: the quadratic loss is nothing here
		return w0 * math.Exp(-x)
	}
	if w0 < -1 {
		return lambertLower(w0, x)
	}
	z := w0 * exp(min(max(w0-x, -700), 700))
	if math.Abs(z) <= 0.05 {
		return lambertNear(z)
	}
	w := lambertGuess(w0, z, x)
	for range 12 {
		// Halley's step on g(w) = ln(w/w0) + w - w0 + x
		g := math.Log(w/w0) + w - w0 + x
		d := (1 + w) / w
		next := w - g/(d+g/(2*w*w*d))
		if next/w0 <= 0 || math.IsNaN(next) {
			next = w / 4
		}
		// what is left after a step is the cube of the step, away from the branch point
		if left := math.Abs(next - w); left <= 4e-16*math.Abs(next) || w > -0.5 && left <= 1e-6*math.Abs(next) {
			return next
		}
		w = next
		if math.Abs(g) < 1e-15 {
			return w
		}
	}
	return w
}

// lambertLower is lambertDecay on the lower branch. Newton's method comes nearer from
// below with each step, as ln(w/w0) + w - w0 rises there and bends downwards.
func lambertLower(w0, x float64) float64 {
	w := w0
	for range 100 {
		next := w - (math.Log(w/w0)+w-w0+x)*w/(1+w)
		if !(next > w) || next >= -1 {
			break
		}
		w = next
	}
	return w
}

// lambertNear is W(z) about 0: the Padé approximant of order 5 of its series
// Σ (-n)^(n-1)/n! zⁿ, within 2e-16 of itself for |z| up to 0.05, 2e-8 up to 0.4 (derived).
func lambertNear(z float64) float64 {
	z2 := z * z
	z4 := z2 * z2
	return z * (1 + 6.016796199940226*z + (12.404131967085755+10.079877480876368*z)*z2 + (2.6513423181393287+0.06484718602885357*z)*z4) /
		(1 + 7.016796199940226*z + (17.92092816702598+20.142278014658675*z)*z2 + (9.415351282099637+1.3101096835210795*z)*z4)
}

// lambertGuess starts from the series about the branch point, from what holds about 0, or from the
// approximation of Iacono and Boyd 2017 (Adv. Comput. Math. 43, 1403-1436; cited from memory),
// within 1 %; for z too large to be written, from the logarithms. z is W e^W.
func lambertGuess(w0, z, x float64) float64 {
	switch {
	case z > -0.25 && z < 0.5:
		return lambertNear(z)
	case w0 < 0:
		p := math.Sqrt(2 * max(0, 1+math.E*z))
		return -1 + p*(1-p*(1./3-p*11./72))
	case w0-x < 690:
		l := math.Log1p(z)
		return l * (1 - math.Log1p(l)/(2+l))
	}
	l := math.Log(w0) + w0 - x
	return l - math.Log(l)
}
