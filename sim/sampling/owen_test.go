package sampling

import (
	"math"
	"math/bits"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// point returns a random point of twelve digits.
func point(s *Stream) uint64 { return s.Uint64() << 52 }

// flip returns whether the digit at a level of a path changes, by the scrambled point
// itself.
func flip(o owen, path uint64, level int) float64 {
	x := path &^ (math.MaxUint64 >> level) // the digits above
	return float64((o.scramble(x) ^ x) >> (63 - level) & 1)
}

// Points whose first different digit is the k-th come out with the k-th as their first
// different digit. So any 2^k points with different first k digits still have these.
func TestScramblingIsNested(t *testing.T) {
	s := NewStream(1, 2, 3)
	for range 200_000 {
		o, x, k := owen(s.Uint64()), point(&s), s.below(12)
		z := x ^ 1<<(63-k) ^ point(&s)&(1<<(63-k)-1)
		require.Equal(t, int(k), bits.LeadingZeros64(o.scramble(x)^o.scramble(z)), "%x and %x", x, z)
	}
}

// Whether a digit changes is told by the digits above, and by nothing else.
func TestScramblingLooksUpOnly(t *testing.T) {
	s := NewStream(4, 5, 6)
	for range 20_000 {
		o, x, level := owen(s.Uint64()), point(&s), int(s.below(12))
		z := x&^(math.MaxUint64>>level) | point(&s)&(math.MaxUint64>>level)
		above := ^uint64(math.MaxUint64 >> 1 >> level) // the level itself as well
		require.Equal(t, (o.scramble(x)^x)&above, (o.scramble(z)^z)&above)
	}
}

// Prepared or not, it is the same.
func TestPreparedScrambling(t *testing.T) {
	s := NewStream(7, 8, 9)
	for range 20 {
		o := owen(s.Uint64())
		p := o.prepare()
		for x := range uint64(4096) {
			require.Equal(t, o.scramble(x<<52), p.scramble(x<<52))
		}
	}
}

// pieces are pieces of the interval, of which no two may have bits that go together:
// neighbours, parents and children, first and last ones, within a hash and in different
// ones.
func pieces() (paths []uint64, levels []int) {
	add := func(path uint64, level int) { paths, levels = append(paths, path), append(levels, level) }
	for level := range 5 { // all of the first five levels
		for p := range uint64(1) << level {
			add(p<<1<<(63-level), level)
		}
	}
	for _, path := range []uint64{0, 1 << 63, 0xfff << 52, 0xabc << 52, 0xab8 << 52} {
		for _, level := range []int{5, 6, 7, 8, 9, 10, 11, 12, 13, 20, 33, 51} {
			if path == 0xab8<<52 && level < 11 {
				continue // a piece that is there already
			}
			add(path, level)
		}
	}
	return paths, levels
}

// Every piece changes in half of the scramblings, and each two in half of them alike:
// chi-square over the pieces and over all pairs, at a level of 1e-5 to each side, and none
// beyond five standard errors.
func TestScramblingBitsAreIndependent(t *testing.T) {
	const n = 4096
	paths, levels := pieces()
	for name, draw := range map[string]func(i uint64) owen{
		"replicates": func(i uint64) owen { return newOwen(1, 2, i) },
		"keys":       func(i uint64) owen { return newOwen(1, Key(i), 2) },
		"seeds":      func(i uint64) owen { return newOwen(i, 1, 2) },
	} {
		t.Run(name, func(t *testing.T) {
			changes := make([][]float64, len(paths)) // ±1
			for p := range paths {
				for i := range uint64(n) {
					changes[p] = append(changes[p], 2*flip(draw(i), paths[p], levels[p])-1)
				}
			}
			check := func(what string, squares, worst float64, terms int) {
				law := distuv.ChiSquared{K: float64(terms)}
				assert.Greater(t, squares, law.Quantile(1e-5), what)
				assert.Less(t, squares, law.Quantile(1-1e-5), what)
				assert.Less(t, worst, 5.0, what)
			}
			var one, two, worstOne, worstTwo float64
			for p := range paths {
				sum := 0.0
				for _, c := range changes[p] {
					sum += c
				}
				z := sum / math.Sqrt(n)
				one, worstOne = one+z*z, max(worstOne, math.Abs(z))
				for q := range p {
					product := 0.0
					for i, c := range changes[p] {
						product += c * changes[q][i]
					}
					z := product / math.Sqrt(n)
					two, worstTwo = two+z*z, max(worstTwo, math.Abs(z))
				}
			}
			check("pieces", one, worstOne, len(paths))
			check("pairs", two, worstTwo, len(paths)*(len(paths)-1)/2)
		})
	}
}

// A scrambled point is uniform, wherever it was, and two are independent but for the
// digits they share.
func TestScrambledPointIsUniform(t *testing.T) {
	for _, x := range []uint64{0, 1 << 63, 0xabc << 52} {
		u := make([]float64, 20_000)
		cells, pairs := make([]float64, 256), make([]float64, 256)
		for i := range u {
			o := newOwen(3, 4, uint64(i))
			u[i] = cellCentre(o.scramble(x))
			cells[o.scramble(x)>>20&0xff]++
			// the four digits after the fifth, where two points part
			pairs[o.scramble(x)>>55&0xf<<4|o.scramble(x^1<<59)>>55&0xf]++
		}
		assertLaw(t, u, func(v float64) float64 { return v }, "uniform")
		assertUniform(t, cells)
		assertUniform(t, pairs)
	}
}
