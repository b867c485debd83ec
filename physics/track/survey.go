package track

import "math"

// The range of λ that is searched, in the mean spacing of the points: from next
// to no smoothing to wavelengths of about 100 points.
const (
	leastLambda = 1e-6
	mostLambda  = 1e6
)

// choose fits the line with the λ that suits the survey error, m.
func (l *line) choose(points []Centre, surveyError float64) error {
	l.error = surveyError
	switch {
	case surveyError == 0:
		_, err := l.set(points, 0)
		return err
	case surveyError == ErrorUnknown:
		return l.crossValidate(points)
	}
	low, high := math.Log(leastLambda), math.Log(mostLambda)
	for range 25 {
		middle := (low + high) / 2
		variance, _, err := l.residual(points, middle)
		if err != nil {
			return err
		}
		if variance > surveyError*surveyError {
			high = middle
		} else {
			low = middle
		}
	}
	_, err := l.set(points, math.Exp(low))
	return err
}

// residual fits with one log λ and estimates the variance of a point in one
// direction, RSS/tr(I-S), m2, and gives the score of generalized
// cross-validation, N RSS/tr(I-S)². RSS is taken across the line in the plan, as
// a point that is off along the line only shifts its own t. S is the matrix that
// smooths; tr(I-S) is the slope of log det(R + λ Q'Q) by log λ.
func (l *line) residual(points []Centre, logLambda float64) (variance, score float64, err error) {
	const d = 1e-3
	above, err := l.spline.factor(math.Exp(logLambda + d))
	if err != nil {
		return 0, 0, err
	}
	below, err := l.spline.factor(math.Exp(logLambda - d))
	if err != nil {
		return 0, 0, err
	}
	free := (above.LogDet() - below.LogDet()) / (2 * d)
	if _, err := l.set(points, math.Exp(logLambda)); err != nil {
		return 0, 0, err
	}
	sum := 0.0
	for i, p := range points {
		x, y := &l.x[i], &l.y[i]
		sum += square((p.Y-y.value)*x.first-(p.X-x.value)*y.first) / (square(x.first) + square(y.first))
	}
	return sum / free, float64(len(points)) * sum / (free * free), nil
}

// crossValidate fits with the λ of the least score: a coarse net, then golden
// sections.
func (l *line) crossValidate(points []Centre) error {
	score := func(x float64) (float64, error) {
		_, s, err := l.residual(points, x)
		return s, err
	}
	least, most := math.Log(leastLambda), math.Log(mostLambda)
	const steps = 28
	best, bestScore := least, math.Inf(1)
	for i := range steps + 1 {
		x := least + (most-least)*float64(i)/steps
		s, err := score(x)
		if err != nil {
			return err
		}
		if s < bestScore {
			best, bestScore = x, s
		}
	}
	a, b := max(best-(most-least)/steps, least), min(best+(most-least)/steps, most)
	for range 12 {
		third := (b - a) / 3
		left, err := score(a + third)
		if err != nil {
			return err
		}
		right, err := score(b - third)
		if err != nil {
			return err
		}
		if left < right {
			b -= third
		} else {
			a += third
		}
	}
	variance, _, err := l.residual(points, (a+b)/2)
	l.error = math.Sqrt(variance)
	return err
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
	if _, err := again.set(fitted, l.lambda); err != nil {
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
