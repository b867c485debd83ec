package sim

import "math"

// lambertDecay returns w with
//
//	ln(w/w0) + w - w0 = -x,   that is   w = W(w0 e^(w0-x)),
//
// on the principal branch, for w0 > -1 (w keeps the sign of w0) and x ≥ 0.
// W is Lambert's function (Corless et al. 1996, Adv. Comput. Math. 5, 329-359).
// The argument stays finite for large w0, where e^w0 does not.
func lambertDecay(w0, x float64) float64 {
	if w0 == 0 || x == 0 {
		return w0
	}
	if math.Abs(w0) < 1e-8 { // linear: the quadratic loss is nothing here
		return w0 * math.Exp(-x)
	}
	w := lambertGuess(w0, x)
	for range 12 {
		// Halley's step on g(w) = ln(w/w0) + w - w0 + x
		g := math.Log(w/w0) + w - w0 + x
		d := (1 + w) / w
		next := w - g/(d+g/(2*w*w*d))
		if next/w0 <= 0 || math.IsNaN(next) {
			next = w / 4
		}
		if math.Abs(next-w) <= 4e-16*math.Abs(next) {
			return next
		}
		w = next
		if math.Abs(g) < 1e-15 {
			return w
		}
	}
	return w
}

// lambertGuess starts from the linear or the quadratic limit.
func lambertGuess(w0, x float64) float64 {
	z := w0 * math.Exp(math.Min(w0-x, 700))
	if w0 < 0 {
		return w0 * math.Exp(-x/(1+w0)) // decays at least as fast near 0
	}
	if z < 1 {
		return z / (1 + z)
	}
	l := math.Log(w0) + w0 - x // ln z
	if l > 1 {
		return l - math.Log(l)
	}
	return math.Log1p(z)
}
