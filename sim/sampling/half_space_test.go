package sampling

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/mathext"
)

// halfSpaceGain returns how many times less the variance of a block's share of points in a
// half-space is than that of random points, over so many blocks; and checks that the share
// is not biased. The half-space is where a sum of normals, one of each input, all of the
// same weight, is above c standard deviations: of chance p = Φ(-c) whatever their number.
func halfSpaceGain(t *testing.T, d Design, inputs, blocks int, c float64) float64 {
	p := math.Erfc(c/math.Sqrt2) / 2
	bias, squares := 0.0, 0.0
	for b := range blocks {
		inside, u := 0.0, drawBlock(d, 77, listedKeys(inputs), b)
		for j := range BlockSize {
			sum := 0.0
			for i := range u {
				sum += mathext.NormalQuantile(u[i][j])
			}
			inside += happens(sum > c*math.Sqrt(float64(inputs)))
		}
		e := inside/BlockSize - p
		bias += e / float64(blocks)
		squares += e * e / float64(blocks)
	}
	assert.InDelta(t, 0, bias, 4*math.Sqrt(squares/float64(blocks)), "%s, %d inputs", d.Name(), inputs)
	return p * (1 - p) / BlockSize / squares
}

// A threshold that many inputs meet in leaves a Sobol' net little more than a Latin
// hypercube takes: all that each input does alone. Of many inputs that is the linear part,
// a share φ(c)²/p(1-p) of the variance, the square of the first Hermite coefficient
// (derived; for hypercubes: Stein 1987, "Large sample properties of simulations using
// Latin hypercube sampling", Technometrics 29(2) 143-151, from memory).
func TestGainFallsWithTheInputsOfAThreshold(t *testing.T) {
	const blocks, c = 500, 0.14
	error4 := 4 * math.Sqrt(2.0/blocks) // of a gain, as a share of it
	p := math.Erfc(c/math.Sqrt2) / 2
	linear := math.Exp(-c*c) / (2 * math.Pi) / (p * (1 - p))
	hypercube := halfSpaceGain(t, LatinHypercube{}, 17, blocks, c)
	gains := map[int]float64{}
	for _, inputs := range []int{1, 3, 17} {
		gains[inputs] = halfSpaceGain(t, Sobol{}, inputs, blocks, c)
	}
	t.Logf("Latin hypercube of 17 inputs %.2f (%.2f), Sobol' points by inputs %v", hypercube, 1/(1-linear), gains)
	assert.InEpsilon(t, 1/(1-linear), hypercube, error4)
	assert.Greater(t, gains[1], 100.0)
	assert.Greater(t, gains[3], 7.0)
	assert.Less(t, gains[3], gains[1]/10)
	assert.Less(t, gains[17], gains[3]/2)
	assert.Greater(t, gains[17], hypercube*(1-error4))
}
