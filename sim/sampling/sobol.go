package sampling

import (
	"math/bits"
	"sync"
)

// Sobol places the points of each block on a scrambled Sobol' sequence of its own. Such a
// sequence fills the unit cube more evenly than chance does: of its first 2^m points
// exactly 2^(m-k) lie in each of 2^k equal strata of every coordinate, and nearly as
// evenly in boxes of several coordinates. Blocks are scrambled independently, so the
// spread of their results tells the sampling error, as with a LatinHypercube. (Letting a
// few replicates grow from block to block was measured: see PERFORMANCE.md.)
//
// An input has its own dimension of the sequence (see dimensionPaths), whatever other
// inputs there are. One without a dimension is stratified, as in a LatinHypercube.
//
// Points come in the Gray-code order of Antonov and Saleev, so the first ones of a block
// that is cut short are even too; in return, those next to each other are not independent.
//
// Source: Sobol' 1967, "On the distribution of points in a cube and the approximate
// evaluation of integrals", USSR Comput. Math. Math. Phys. 7(4) 86-112; Antonov, Saleev
// 1979, "An economic method of computing LPτ-sequences", ibid. 19(1) 252-256 (both from
// memory); Owen 1997 (see owen) for the variance; direction numbers: see joeKuo.
type Sobol struct{}

// Name returns "sobol".
func (Sobol) Name() string { return "sobol" }

// Block fills a block of realizations; see Design.
func (Sobol) Block(seed uint64, keys []Key, block int, u [][]float64) {
	for i, k := range keys {
		if d, ok := dimensionOf(k); ok {
			sobolFill(d, newOwen(seed, k, uint64(block)), 0, u[i])
		} else {
			stratify(seed, k, block, u[i])
		}
	}
}

// Point fills the coordinates of one realization; see Design.
func (Sobol) Point(seed uint64, keys []Key, realization uint64, u []float64) {
	for i, k := range keys {
		if d, ok := dimensionOf(k); ok {
			o := newOwen(seed, k, realization/BlockSize)
			u[i] = cellCentre(o.scramble(sobolPoint(d, realization%BlockSize)))
		} else {
			u[i] = stratifiedPoint(seed, k, realization)
		}
	}
}

// sobolFill fills u with the scrambled points of one dimension from the first one on.
func sobolFill(dimension int, o owen, first uint64, u []float64) {
	v, p := &sobolDirections()[dimension], o.prepare()
	x := sobolPoint(dimension, first)
	for j := range u {
		u[j] = cellCentre(p.scramble(x))
		x ^= v[bits.TrailingZeros64(first+uint64(j)+1)]
	}
}

// sobolPoint returns one coordinate of a point of the unscrambled sequence, as a binary
// fraction whose first digit is the highest bit: the sum without carry of the direction
// numbers at the digits of the index's Gray code.
func sobolPoint(dimension int, index uint64) uint64 {
	v := &sobolDirections()[dimension]
	x := uint64(0)
	for gray := index ^ index>>1; gray != 0; gray &= gray - 1 {
		x ^= v[bits.TrailingZeros64(gray)]
	}
	return x
}

// sobolDigits is how many digits of a point's index count, and so how many digits a point
// has before scrambling; a block must not have more points than indices.
const sobolDigits = 12

const _ = uint(1<<sobolDigits - BlockSize)

// directions are the direction numbers of one dimension as binary fractions, v_1 first;
// 0 after sobolDigits, so that the sequence begins anew.
type directions [65]uint64

// sobolDirections returns the direction numbers of all dimensions,
//
//	v_j = m_j / 2^j,
//	m_j = 2 a_1 m_(j-1) ⊕ 2² a_2 m_(j-2) ⊕ ... ⊕ 2^s m_(j-s) ⊕ m_(j-s),
//
// with 1, a_1, a_2, ... 1 the coefficients of the dimension's polynomial of degree s; the
// first dimension has all m_j = 1.
//
// Source: Bratley, Fox 1988, "Algorithm 659: implementing Sobol's quasirandom sequence
// generator", ACM Trans. Math. Softw. 14(1) 88-100 (from memory).
var sobolDirections = sync.OnceValue(func() *[sobolDimensions]directions {
	var all [sobolDimensions]directions
	for j := range sobolDigits {
		all[0][j] = 1 << (63 - j)
	}
	for i, row := range joeKuo {
		v, polynomial, m := &all[i+1], row[0], row[1:]
		s := len(m)
		for j := range sobolDigits {
			if j < s {
				v[j] = m[j] << (63 - j)
				continue
			}
			v[j] = v[j-s] ^ v[j-s]>>s
			for k := 1; k < s; k++ {
				if polynomial>>(s-k)&1 == 1 {
					v[j] ^= v[j-k]
				}
			}
		}
	}
	return &all
})
