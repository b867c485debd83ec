package track

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// periodicSpline is the quintic smoothing spline through values at the knots of
// a closed line: of all periodic functions the one that minimizes
//
//	Σ (y_i - f(t_i))² + λ ∫ f'''(t)² dt
//
// f”' is a quadratic spline, f”' = Σ γ_j N_j(t). With the third differences
// Q' f = ∫ N_j f”' and the Gram matrix R of the N_j,
//
//	(R + λ Q'Q) γ = Q' y,  f = y - λ Q γ
//
// λ = 0 interpolates. Source: the scheme of Reinsch 1967, Numerische Mathematik
// 10, 177-183 (second derivative, from memory), carried over to the third
// derivative and to a period by our own derivation. The mean spacing of the
// knots is taken as the unit of t and of λ.
type periodicSpline struct {
	knots  []float64    // t, one more than points: the last is the period
	unit   float64      // mean spacing of the knots, m
	gram   [][3]float64 // R: diagonal, first and second beside it
	third  [][4]float64 // rows of Q'
	square [][4]float64 // Q'Q: diagonal and three beside it
}

// fewestPoints is how many points a closed line needs.
const fewestPoints = 8

// newPeriodicSpline sets a spline up for n knots at rising positions in metres,
// of which there are n+1: the last one closes the line.
func newPeriodicSpline(positions []float64) *periodicSpline {
	n := len(positions) - 1
	s := &periodicSpline{
		knots: make([]float64, n+1), unit: positions[n] / float64(n),
		gram: make([][3]float64, n), third: make([][4]float64, n), square: make([][4]float64, n),
	}
	for i, x := range positions {
		s.knots[i] = x / s.unit
	}
	for j := range n {
		s.setThird(j)
		s.addGram(j)
	}
	for i := range n {
		for d := range 4 {
			j := (i + d) % n
			for k := d; k < 4; k++ { // point i+k is in both rows
				s.square[i][d] += s.third[i][k] * s.third[j][k-d]
			}
		}
	}
	return s
}

// knot returns t of any knot, counted round and round.
func (s *periodicSpline) knot(i int) float64 {
	n := len(s.knots) - 1
	turns := 0
	for ; i < 0; i += n {
		turns--
	}
	for ; i >= n; i -= n {
		turns++
	}
	return s.knots[i] + float64(turns)*s.knots[n]
}

// setThird works out row j of Q': 2 (t_j+3 - t_j) times the third divided
// difference over points j to j+3.
func (s *periodicSpline) setThird(j int) {
	var t [4]float64
	for k := range t {
		t[k] = s.knot(j + k)
	}
	for k := range t {
		w := 2 * (t[3] - t[0])
		for l := range t {
			if l != k {
				w /= t[k] - t[l]
			}
		}
		s.third[j][k] = w
	}
}

// quadratics returns N_k-2, N_k-1 and N_k at t between knots k and k+1; N_j
// begins at knot j.
func (s *periodicSpline) quadratics(k int, t float64) [3]float64 {
	a, b, c, d := s.knot(k-1), s.knot(k), s.knot(k+1), s.knot(k+2)
	left, right := (c-t)/(c-b), (t-b)/(c-b)
	return [3]float64{
		(c - t) / (c - a) * left,
		(t-a)/(c-a)*left + (d-t)/(d-b)*right,
		(t - b) / (d - b) * right,
	}
}

// gauss3 are the nodes and weights of Gauss's rule of three points on 0..1.
var gauss3 = [3]struct{ at, weight float64 }{
	{0.5 - math.Sqrt(0.15), 5.0 / 18}, {0.5, 8.0 / 18}, {0.5 + math.Sqrt(0.15), 5.0 / 18},
}

// addGram adds what the stretch from knot k contributes to R.
func (s *periodicSpline) addGram(k int) {
	n := len(s.gram)
	h := s.knots[k+1] - s.knots[k]
	for _, g := range gauss3 {
		v := s.quadratics(k, s.knots[k]+g.at*h)
		for i := range v {
			row := (k - 2 + i + n) % n
			for d := 0; i+d < 3; d++ {
				s.gram[row][d] += h * g.weight * v[i] * v[i+d]
			}
		}
	}
}

// folded is where knot i stands when the ring is folded flat, so that its
// neighbours stay near: 0, n-1, 1, n-2 …
func (s *periodicSpline) folded(i int) int {
	n := len(s.gram)
	if i %= n; 2*i < n {
		return 2 * i
	}
	return 2*(n-1-i) + 1
}

// factored is the Cholesky factor of R + λ Q'Q, as a band.
type factored struct{ triangle blas64.TriangularBand }

// factor factors R + λ Q'Q.
func (s *periodicSpline) factor(lambda float64) (factored, error) {
	n := len(s.gram)
	band := min(7, n-1)
	m := blas64.SymmetricBand{
		Uplo: blas.Upper, N: n, K: band, Stride: band + 1, Data: make([]float64, n*(band+1)),
	}
	for i := range n {
		for d := range 4 {
			value := lambda * s.square[i][d]
			if d < 3 {
				value += s.gram[i][d]
			}
			a, b := s.folded(i), s.folded(i+d)
			a, b = min(a, b), max(a, b)
			m.Data[a*m.Stride+b-a] += value
		}
	}
	triangle, ok := lapack64.Pbtrf(m)
	if !ok {
		return factored{}, fmt.Errorf("the centre line can't be smoothed: its points are too uneven")
	}
	return factored{triangle}, nil
}

// logDet is log det(R + λ Q'Q).
func (f factored) logDet() float64 {
	sum := 0.0
	for i := range f.triangle.N {
		sum += math.Log(f.triangle.Data[i*f.triangle.Stride])
	}
	return 2 * sum
}

// solve overwrites a right-hand side, folded, with the solution.
func (f factored) solve(x []float64) {
	lapack64.Pbtrs(f.triangle, blas64.General{Rows: len(x), Cols: 1, Stride: 1, Data: x})
}

// curve is one coordinate of a line as a periodic quintic spline, by pieces
// between knots: value and derivatives by t, at the knot before.
type curve []struct{ value, first, second, third, fourth, fifth float64 }

// fit fits one coordinate.
func (s *periodicSpline) fit(c factored, lambda float64, y []float64) curve {
	n := len(y)
	gamma := make([]float64, n)
	for j := range n {
		sum := 0.0
		for k, w := range s.third[j] {
			sum += w * y[(j+k)%n]
		}
		gamma[s.folded(j)] = sum
	}
	c.solve(gamma)
	f := make(curve, n)
	for i := range n {
		f[i].value = y[i]
	}
	for j := range n {
		for k, w := range s.third[j] {
			f[(j+k)%n].value -= lambda * w * gamma[s.folded(j)]
		}
	}
	s.integrate(f, func(j int) float64 { return gamma[s.folded(j+n)] })
	return f
}

// integrate finds the derivatives at the knots from values and f”'.
func (s *periodicSpline) integrate(f curve, gamma func(j int) float64) {
	n := len(f)
	second, mean := 0.0, 0.0
	for k := range n {
		h := s.knots[k+1] - s.knots[k]
		at := func(t float64) float64 {
			v := s.quadratics(k, s.knots[k]+t)
			return v[0]*gamma(k-2) + v[1]*gamma(k-1) + v[2]*gamma(k)
		}
		a, b, c := at(0), at(h/2), at(h)
		p := &f[k]
		p.third, p.fourth, p.fifth = a, (-3*a+4*b-c)/h, 4*(a-2*b+c)/(h*h)
		p.second = second
		mean += h * (second + h*(p.third/2+h*(p.fourth/6+h*p.fifth/24)))
		second += h * (p.third + h*(p.fourth/2+h*p.fifth/6))
	}
	mean /= s.knots[n]
	for k := range n {
		h := s.knots[k+1] - s.knots[k]
		p := &f[k]
		p.second -= mean
		p.first = (f[(k+1)%n].value-p.value)/h -
			h*(p.second/2+h*(p.third/6+h*(p.fourth/24+h*p.fifth/120)))
	}
}

// at returns value, first and second derivative a distance t beyond knot k.
func (c curve) at(k int, t float64) (value, first, second float64) {
	p := &c[k]
	value = p.value + t*(p.first+t*(p.second/2+t*(p.third/6+t*(p.fourth/24+t*p.fifth/120))))
	first = p.first + t*(p.second+t*(p.third/2+t*(p.fourth/6+t*p.fifth/24)))
	second = p.second + t*(p.third+t*(p.fourth/2+t*p.fifth/6))
	return value, first, second
}
