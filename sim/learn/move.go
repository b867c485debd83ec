package learn

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"sumpward/sim/sampling"
)

// mover moves draws so that the tempered posterior stays as it is: proposals
// under which the prior is reversible, taken with the chance
//
//	min(1, (L'/L)^exponent)
//
// In standard normals z = Φ⁻¹(u), turned into the axes of the draws' covariance, a
// proposal is
//
//	z' = √(1 - s²) z + s ξ,  s = min(1, scale · √v)
//
// along each axis, v the variance of the draws along it and ξ standard normal: wide
// along what was not learned, narrow along what was. Every second move proposes
// another luck too. The scale is adapted to the share taken.
//
// Source: Neal 1998, "Regression and classification using Gaussian process priors",
// Bayesian Statistics 6, 475-501; Cotter, Roberts, Stuart, White 2013, "MCMC methods
// for functions: modifying old algorithms to make them faster", Stat. Sci. 28(3)
// 424-446 (both from memory). A step of its own along each axis: derived; the prior is
// the same in all axes.
type mover struct {
	pool    *pool
	seed    uint64
	inputs  int
	notes   int
	scale   float64
	lucks   uint64 // given out
	scratch []proposal
}

type proposal struct {
	u, notes []float64
}

// How long and how far draws are moved.
const (
	fewestMoves = 6
	mostMoves   = 40
	takenEnough = 3.0 // moves that the draws took in the mean
	wanted      = 0.3 // share of moves to be taken
	leastScale  = 1e-3
	mostScale   = 2.4
)

func newMover(p *pool, t *Target, o Options) *mover {
	m := &mover{pool: p, seed: o.Seed, inputs: len(t.Keys), notes: t.Notes, scale: 1, lucks: uint64(o.Draws) + 1}
	for range o.Draws {
		m.scratch = append(m.scratch, proposal{make([]float64, m.inputs), make([]float64, m.notes)})
	}
	return m
}

// move moves all draws until they have been moved enough.
func (m *mover) move(d *Draws, exponent float64, level int) (moves int, acceptance float64, err error) {
	a := axesOf(d)
	total := 0.0
	for moves < fewestMoves || total < takenEnough && moves < mostMoves {
		newLuck := moves%2 == 1
		taken, err := m.once(d, a, exponent, address{level, moves, newLuck})
		if err != nil {
			return moves, 0, err
		}
		total += taken
		moves++
		if !newLuck {
			m.scale = min(max(m.scale*math.Exp(2*(taken-wanted)), leastScale), mostScale)
		}
	}
	return moves, total / float64(moves), nil
}

// address is which move it is.
type address struct {
	level, move int
	newLuck     bool
}

// once proposes one move to each draw and returns the share taken.
func (m *mover) once(d *Draws, a *axes, exponent float64, at address) (float64, error) {
	n := d.Len()
	taken := make([]bool, n)
	lucks := m.lucks
	if at.newLuck {
		m.lucks += uint64(n)
	}
	err := m.pool.each(n, func(e Evaluate, i int) error {
		s := sampling.NewStream(m.seed, sampling.InputKey("learn: move"), uint64(i), uint64(at.level), uint64(at.move))
		p := &m.scratch[i]
		a.propose(p.u, d.U[i], m.scale, &s)
		luck := d.Luck[i]
		if at.newLuck {
			luck = lucks + uint64(i)
		}
		l, err := likelihood(e, p.u, luck, p.notes)
		if err != nil {
			return err
		}
		if math.Log(s.Float64()) < exponent*(l-d.LogLikelihood[i]) {
			copy(d.U[i], p.u)
			copy(d.Notes[i], p.notes)
			d.Luck[i], d.LogLikelihood[i], taken[i] = luck, l, true
		}
		return nil
	})
	count := 0
	for _, t := range taken {
		if t {
			count++
		}
	}
	return float64(count) / float64(n), err
}

// axes are those of the draws' covariance in standard normals.
type axes struct {
	direction [][]float64 // by axis: unit vector
	deviation []float64   // standard deviation along it, 1 at the most
}

// axesOf returns the axes of draws of equal weight.
func axesOf(d *Draws) *axes {
	n, inputs := d.Len(), len(d.U[0])
	mean, z := make([]float64, inputs), make([]float64, n*inputs)
	for i, u := range d.U {
		for k := range u {
			z[i*inputs+k] = normal(u[k])
			mean[k] += z[i*inputs+k] / float64(n)
		}
	}
	c := mat.NewSymDense(inputs, nil)
	for j := range inputs {
		for k := j; k < inputs; k++ {
			sum := 0.0
			for i := range n {
				sum += (z[i*inputs+j] - mean[j]) * (z[i*inputs+k] - mean[k])
			}
			c.SetSym(j, k, sum/float64(n))
		}
	}
	return axesOfCovariance(c)
}

func axesOfCovariance(c *mat.SymDense) *axes {
	n := c.SymmetricDim()
	a := &axes{direction: make([][]float64, n), deviation: make([]float64, n)}
	var e mat.EigenSym
	ok := e.Factorize(c, true)
	var v mat.Dense
	var variance []float64
	if ok {
		e.VectorsTo(&v)
		variance = e.Values(nil)
	}
	for k := range n {
		a.direction[k], a.deviation[k] = make([]float64, n), 1
		if !ok { // the axes of the inputs do as well
			a.direction[k][k], a.deviation[k] = 1, math.Sqrt(min(c.At(k, k), 1))
			continue
		}
		mat.Col(a.direction[k], k, &v)
		a.deviation[k] = math.Sqrt(min(max(variance[k], 0), 1))
	}
	return a
}

// propose writes a proposal from a place.
func (a *axes) propose(to, from []float64, scale float64, s *sampling.Stream) {
	n := len(from)
	z := make([]float64, 2*n)
	moved := z[n:]
	for k, u := range from {
		z[k] = normal(u)
	}
	for k, dir := range a.direction {
		y := 0.0
		for j := range n {
			y += dir[j] * z[j]
		}
		step := min(1, scale*a.deviation[k])
		y = math.Sqrt(1-step*step)*y + step*s.NormFloat64()
		for j := range n {
			moved[j] += y * dir[j]
		}
	}
	for k := range to {
		to[k] = uniform(moved[k])
	}
}
