package sampling

import (
	"fmt"
	"math"
)

// BlockSize is the number of realizations in a block. Each block is placed on its own,
// whatever the design, so that a longer run keeps every complete block, and the spread
// of the blocks' results tells the sampling error.
const BlockSize = 500

// Design places the points of realizations in the unit hypercube, one coordinate
// per key. Its coordinates lie in the open interval (0, 1), each is uniform, and
// each depends on (seed, its key, realization) only.
type Design interface {
	// Name returns the design's name, as DesignByName takes it.
	Name() string
	// Block fills u[i][j] with the coordinate of key i for realization
	// block·BlockSize + j. Each u[i] has up to BlockSize elements; a shorter one is a
	// block cut short.
	Block(seed uint64, keys []Key, block int, u [][]float64)
	// Point fills u[i] with the coordinate of key i for one realization, the same
	// number as in its block.
	Point(seed uint64, keys []Key, realization uint64, u []float64)
}

// DesignByName returns the design with the given name: sobol, latin-hypercube or random.
func DesignByName(name string) (Design, error) {
	for _, d := range []Design{Sobol{}, LatinHypercube{}, Random{}} {
		if d.Name() == name {
			return d, nil
		}
	}
	return nil, fmt.Errorf("unknown sampling %q: use %s, %s or %s", name, Sobol{}.Name(), LatinHypercube{}.Name(), Random{}.Name())
}

// Random is plain random sampling: independent uniform coordinates.
type Random struct{}

// Name returns "random".
func (Random) Name() string { return "random" }

// Block fills a block of realizations; see Design.
func (Random) Block(seed uint64, keys []Key, block int, u [][]float64) {
	first := uint64(block) * BlockSize
	for i, k := range keys {
		for j := range u[i] {
			u[i][j] = Uniform(seed, k, first+uint64(j))
		}
	}
}

// Point fills the coordinates of one realization; see Design.
func (Random) Point(seed uint64, keys []Key, realization uint64, u []float64) {
	for i, k := range keys {
		u[i] = Uniform(seed, k, realization)
	}
}

// LatinHypercube is stratified sampling: in each block and for each key, exactly one
// of the BlockSize realizations falls into each of BlockSize equal strata,
//
//	u = (π(j) + v) / BlockSize
//
// with π a permutation drawn for (seed, key, block) and v a uniform draw for (seed,
// key, realization).
//
// Source: McKay, Beckman, Conover 1979, "A comparison of three methods for selecting
// values of input variables in the analysis of output from a computer code",
// Technometrics 21(2) 239-245.
type LatinHypercube struct{}

// Name returns "latin-hypercube".
func (LatinHypercube) Name() string { return "latin-hypercube" }

// Block fills a block of realizations; see Design.
func (LatinHypercube) Block(seed uint64, keys []Key, block int, u [][]float64) {
	for i, k := range keys {
		stratify(seed, k, block, u[i])
	}
}

// Point fills the coordinates of one realization; see Design.
func (LatinHypercube) Point(seed uint64, keys []Key, realization uint64, u []float64) {
	for i, k := range keys {
		u[i] = stratifiedPoint(seed, k, realization)
	}
}

// stratify fills one coordinate of a block of realizations.
func stratify(seed uint64, k Key, block int, u []float64) {
	first := uint64(block) * BlockSize
	strata := permutation(seed, k, uint64(block))
	for j := range u {
		u[j] = place(strata[j], Uniform(seed, k, first+uint64(j)))
	}
}

// stratifiedPoint returns one coordinate of one realization.
func stratifiedPoint(seed uint64, k Key, realization uint64) float64 {
	strata := permutation(seed, k, realization/BlockSize)
	return place(strata[realization%BlockSize], Uniform(seed, k, realization))
}

// place returns the point at v, in (0, 1), of a stratum, kept below the stratum's
// upper bound where rounding would reach it.
func place(stratum uint16, v float64) float64 {
	u := (float64(stratum) + v) / BlockSize
	if upper := float64(stratum+1) / BlockSize; u >= upper {
		return math.Nextafter(upper, 0)
	}
	return u
}

// permutation returns the permutation of the strata for (seed, k, block), by
// Fisher and Yates' shuffle.
func permutation(seed uint64, k Key, block uint64) [BlockSize]uint16 {
	s := startStream(address(purposePermutation, seed, uint64(k), block))
	var p [BlockSize]uint16
	for i := range p {
		j := s.below(uint64(i + 1))
		p[i] = p[j]
		p[j] = uint16(i)
	}
	return p
}
