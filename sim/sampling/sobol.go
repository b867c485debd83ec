package sampling

import (
	"math/bits"
	"sync"
)

// SobolReplicates is how many independently scrambled Sobol' sequences share the blocks
// of a run.
const SobolReplicates = 16

// Sobol places points on scrambled Sobol' sequences, which fill the unit cube more
// evenly than chance does: of the first 2^m points of a sequence exactly 2^(m-k) lie in
// each of 2^k equal strata of every coordinate, and nearly as evenly in boxes of several
// coordinates. Block b belongs to the replicate
//
//	r = b mod SobolReplicates
//
// and holds its next BlockSize points, so that each replicate grows into larger nets as
// the run goes on. Replicates are scrambled independently, so the spread of their results
// tells the sampling error. Blocks of one replicate are not independent: they make up for
// each other, so the spread of blocks tells more than the error.
//
// An input has its own dimension of the sequence (see dimensions.go), whatever other
// inputs there are. One without a dimension is stratified block by block, as in a
// LatinHypercube.
//
// Every replicate of every input is scrambled by an [owen] of its own. The points are
// those of the Gray-code order of Antonov and Saleev. After 2^52 points a sequence begins
// anew.
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
	replicate, first := sobolPlace(uint64(block))
	for i, k := range keys {
		if d, ok := dimensionOf(k); ok {
			sobolFill(d, newOwen(seed, k, replicate), first, u[i])
		} else {
			stratify(seed, k, block, u[i])
		}
	}
}

// Point fills the coordinates of one realization; see Design.
func (Sobol) Point(seed uint64, keys []Key, realization uint64, u []float64) {
	replicate, first := sobolPlace(realization / BlockSize)
	index := first + realization%BlockSize
	for i, k := range keys {
		if d, ok := dimensionOf(k); ok {
			u[i] = cellCentre(newOwen(seed, k, replicate).scramble(sobolPoint(d, index)))
		} else {
			u[i] = stratifiedPoint(seed, k, realization)
		}
	}
}

// sobolPlace returns the replicate that a block belongs to and the first of its points
// there.
func sobolPlace(block uint64) (replicate, first uint64) {
	return block % SobolReplicates, block / SobolReplicates * BlockSize
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

// sobolDigits is how many digits of a point's index count.
const sobolDigits = 52

// directions are the direction numbers of one dimension as binary fractions, v_1 first;
// 0 from sobolDigits on.
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
