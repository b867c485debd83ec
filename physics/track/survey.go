package track

import "math"

// The range of log λ that is searched, in the mean spacing of the points: from
// next to no smoothing to wavelengths of about 200 points.
var leastLambda, mostLambda = math.Log(1e-6), math.Log(1e9)

// penalty weighs the degrees of freedom that a fit uses up, against fits that
// follow the noise. Source: Kim & Gu 2004, Journal of the Royal Statistical
// Society B 66, 337-356, who find 1.2 to 1.4 (from memory).
const penalty = 1.4

// choose fits the line with the λ that suits the survey error, m: the one of the
// least expected error. With tr S the degrees of freedom used up, it has the least
//
//	RSS + 2 · 1.4 σ² tr S        with a survey error σ (Mallows' C_p)
//	N RSS/(N - 1.4 tr S)²        without (generalized cross-validation)
//
// where RSS is taken across the line in the plan, as a point that is off along
// the line only shifts its own t. Sources: Craven & Wahba 1979, Numerische
// Mathematik 31, 377-403; Mallows 1973, Technometrics 15, 661-675 (from memory).
// (To let the residuals just match σ would be simpler, but by chance it fails: on
// a wide range of λ they hardly move.)
func (l *line) choose(points []Centre, surveyError float64) error {
	if l.error = surveyError; surveyError == 0 {
		return l.set(points, 0)
	}
	n := float64(len(points))
	var residuals float64
	score := func(logLambda float64) (float64, error) {
		free, err := l.spline.free(logLambda)
		if err != nil {
			return 0, err
		}
		if err := l.set(points, math.Exp(logLambda)); err != nil {
			return 0, err
		}
		rss := l.residuals(points)
		residuals = rss / free
		if surveyError != ErrorUnknown {
			return rss - 2*penalty*square(surveyError)*free, nil
		}
		if left := n - penalty*(n-free); left > 0 {
			return n * rss / square(left), nil
		}
		return math.Inf(1), nil
	}
	middle, reach := l.logLambda, 1.5
	if math.IsNaN(middle) {
		reach = (mostLambda - leastLambda) / searchSteps
		var err error
		if middle, err = coarse(score); err != nil {
			return err
		}
	}
	var err error
	if l.logLambda, err = golden(score, middle-reach, middle+reach); err != nil {
		return err
	}
	if surveyError == ErrorUnknown {
		l.error = math.Sqrt(residuals)
	}
	return nil
}

// searchSteps is how many steps the coarse search for λ takes.
const searchSteps = 20

// coarse returns the log λ of the least score on a coarse net.
func coarse(score func(float64) (float64, error)) (float64, error) {
	best, bestScore := leastLambda, math.Inf(1)
	for i := range searchSteps + 1 {
		x := leastLambda + (mostLambda-leastLambda)*float64(i)/searchSteps
		s, err := score(x)
		if err != nil {
			return 0, err
		}
		if s < bestScore {
			best, bestScore = x, s
		}
	}
	return best, nil
}

// golden returns the log λ of the least score between two, by golden sections;
// it is the last one that was scored.
func golden(score func(float64) (float64, error), low, high float64) (float64, error) {
	ratio := (math.Sqrt(5) - 1) / 2
	a, b := high-ratio*(high-low), low+ratio*(high-low)
	left, err := score(a)
	if err != nil {
		return 0, err
	}
	right, err := score(b)
	for range 7 {
		if err != nil {
			return 0, err
		}
		if left < right {
			high, b, right = b, a, left
			a = high - ratio*(high-low)
			left, err = score(a)
		} else {
			low, a, left = a, b, right
			b = low + ratio*(high-low)
			right, err = score(b)
		}
	}
	if err != nil {
		return 0, err
	}
	middle := (low + high) / 2
	_, err = score(middle)
	return middle, err
}

// residuals is the sum of the squares of how far points are off across the line,
// m2.
func (l *line) residuals(points []Centre) float64 {
	sum := 0.0
	for i, p := range points {
		x, y := &l.x[i], &l.y[i]
		sum += square((p.Y-y.value)*x.first-(p.X-x.value)*y.first) / (square(x.first) + square(y.first))
	}
	return sum
}

// free is tr(I-S), the degrees of freedom that are left, S being the matrix that
// smooths: the slope of log det(R + λ Q'Q) by log λ.
func (s *periodicSpline) free(logLambda float64) (float64, error) {
	const d = 1e-3
	above, err := s.factor(math.Exp(logLambda + d))
	if err != nil {
		return 0, err
	}
	below, err := s.factor(math.Exp(logLambda - d))
	if err != nil {
		return 0, err
	}
	return (above.logDet() - below.logDet()) / (2 * d), nil
}

// curvatureError estimates the standard error of the curvature, root mean square
// over the points, 1/m, from three parts:
//
//   - what the survey error does: the variance that it gives the second
//     derivative, from unit errors in single points;
//   - what smoothing rounds off: how much smoothing once more changes;
//   - what lies between the points: how far the curvature is from that of the
//     circles through three points of the line.
//
// Derived; on known shapes it is of the size of the true error, mostly above it.
func (l *line) curvatureError() (float64, error) {
	n := len(l.x)
	fitted := make([]Centre, n)
	for i := range fitted {
		fitted[i] = Centre{l.x[i].value, l.y[i].value, l.z[i].value}
	}
	again := &line{spline: l.spline}
	if err := again.set(fitted, l.lambda); err != nil {
		return 0, err
	}
	bias, between := 0.0, 0.0
	for i := range n {
		k := l.curvature(i, 0)
		bias += square(k - again.curvature(i, 0))
		between += square(k - circleThrough(fitted[(i+n-1)%n], fitted[i], fitted[(i+1)%n]))
	}
	noise, err := l.noiseGain()
	return math.Sqrt((bias+between)/float64(n) + square(l.error)*noise), err
}

// mostImpulses is how many points are tried for the noise gain.
const mostImpulses = 100

// noiseGain is the variance of the second derivative by arc length for errors of
// variance 1 in the points, mean along the line, 1/m4.
func (l *line) noiseGain() (float64, error) {
	if l.error == 0 {
		return 0, nil
	}
	n := len(l.x)
	c, err := l.spline.factor(l.lambda)
	if err != nil {
		return 0, err
	}
	y := make([]float64, n)
	stride := (n + mostImpulses - 1) / mostImpulses
	sum, tried := 0.0, 0
	for j := 0; j < n; j += stride {
		y[j] = 1
		for _, p := range l.spline.fit(c, l.lambda, y) {
			sum += square(p.second)
		}
		y[j] = 0
		tried++
	}
	return sum / float64(tried) / square(square(l.spline.unit)), nil
}

// circleThrough is the curvature of the circle through three points in the plan,
// 1/m.
func circleThrough(a, b, c Centre) float64 {
	ux, uy, vx, vy := b.X-a.X, b.Y-a.Y, c.X-b.X, c.Y-b.Y
	return 2 * (ux*vy - uy*vx) / (math.Hypot(ux, uy) * math.Hypot(vx, vy) * math.Hypot(ux+vx, uy+vy))
}
