package sampling

import (
	"encoding/csv"
	"math"
	"math/big"
	"math/bits"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Source: scipy 1.10.1, whose direction numbers are Joe and Kuo's too; see the head of the
// file.
func TestSobolPointsAgainstAnotherLibrary(t *testing.T) {
	f, err := os.Open("testdata/sobol_points.csv")
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.NotEmpty(t, rows)
	for _, row := range rows {
		require.Len(t, row, 1+sobolDimensions)
		index, err := strconv.ParseUint(row[0], 10, 64)
		require.NoError(t, err)
		for d, text := range row[1:] {
			want, err := strconv.ParseUint(text, 10, 64)
			require.NoError(t, err)
			require.Equal(t, want<<34, sobolPoint(d, index), "point %d, dimension %d", index, d)
		}
	}
}

// The polynomials are the primitive ones modulo 2 in ascending order, none left out;
// initial direction numbers are odd, as many as the degree, m_j below 2^j. That makes each
// coordinate, whatever the numbers, a (0,1)-sequence: Sobol' 1967 (see Sobol).
func TestDirectionNumbersAreRight(t *testing.T) {
	var primitives []uint64
	for p := uint64(3); len(primitives) < len(joeKuo); p += 2 {
		if primitive(p) {
			primitives = append(primitives, p)
		}
	}
	for i, row := range joeKuo {
		assert.Equal(t, primitives[i], row[0], "dimension %d", i+1)
		assert.Len(t, row[1:], bits.Len64(row[0])-1)
		for j, m := range row[1:] {
			assert.True(t, m%2 == 1 && m < 2<<j, "dimension %d, m_%d = %d", i+1, j+1, m)
		}
	}
}

// primitive reports whether x generates all non-zero residues modulo a polynomial over
// the integers modulo 2.
func primitive(p uint64) bool {
	degree := bits.Len64(p) - 1
	x := uint64(1)
	for order := 1; ; order++ {
		if x <<= 1; x>>degree == 1 {
			x ^= p
		}
		switch {
		case x == 0:
			return false
		case x == 1:
			return order == 1<<degree-1
		}
	}
}

// The first digits of the direction numbers of the first 12 dimensions are linearly
// independent (Sobol's property A, which Joe and Kuo's numbers are made to have): of 2^12
// points there is one in each of the 2^12 boxes of half a side.
func TestFirstDigitsAreIndependent(t *testing.T) {
	const n = sobolDigits
	rank, rows := 0, make([]*big.Int, n)
	for d := range rows {
		rows[d] = new(big.Int)
		for j := range n {
			rows[d].SetBit(rows[d], j, uint(sobolDirections()[d][j]>>63))
		}
	}
	for column := range n {
		for i := rank; i < n; i++ {
			if rows[i].Bit(column) == 0 {
				continue
			}
			rows[rank], rows[i] = rows[i], rows[rank]
			for k := rank + 1; k < n; k++ {
				if rows[k].Bit(column) == 1 {
					rows[k].Xor(rows[k], rows[rank])
				}
			}
			rank++
			break
		}
	}
	assert.Equal(t, n, rank)
}

// No two inputs share a dimension, none is listed twice, and there is one for each.
func TestDimensionsOfInputs(t *testing.T) {
	require.Len(t, dimensions(), len(dimensionPaths))
	var taken [sobolDimensions]string
	for _, path := range dimensionPaths {
		d, ok := dimensionOf(InputKey(path))
		require.True(t, ok)
		assert.Empty(t, taken[d], "taken before %s", path)
		taken[d] = path
	}
	_, ok := dimensionOf(InputKey("breathers.block.loss_coefficient"))
	assert.False(t, ok)
}

// regression: an input whose dimension changes changes results that were printed.
func TestDimensionsStay(t *testing.T) {
	for path, want := range map[string]int{
		"drain.fall": 0, "carry_over.oil_used": 3, "oil.aeration": 34, "engine.intake_depression": 8,
		"separator.droplets.coarse.spread": 53, "duty.schedule.6.stop": 90,
	} {
		d, _ := dimensionOf(InputKey(path))
		assert.Equal(t, want, d, path)
	}
}

// unevenness returns how uneven points are in exactly these dimensions together, 1 being
// what random points are on average,
//
//	Σ_i Π_k φ(x_ik),  φ(x) = 1 - 3·2^⌊log₂ x⌋,  φ(0) = 1,
//
// over all points: the share that these dimensions have of the mean square error of the
// points under random digital shifts, over smooth integrands.
//
// Source: Dick, Pillichshammer 2005, "Multivariate integration in weighted Hilbert spaces
// based on Walsh functions and weighted Sobolev spaces", J. Complexity 21(2) 149-195 (from
// memory).
func unevenness(n uint64, dimensions ...int) float64 {
	sum := 0.0
	for i := range n {
		product := 1.0
		for _, d := range dimensions {
			if x := sobolPoint(d, i); x != 0 {
				product *= 1 - 3*math.Ldexp(1, -1-bits.LeadingZeros64(x))
			}
		}
		sum += product
	}
	return sum
}

// No two and no three of the eight inputs that come first are in a block twice as uneven as
// random points are. Of the first sixteen, pairs are more even than in the sequence's own
// order and triples much more so, by the sums of squares that the order was chosen by.
func TestFirstInputsAreEvenTogether(t *testing.T) {
	var inputs, inOrder []int
	for i, path := range dimensionPaths[:16] {
		d, _ := dimensionOf(InputKey(path))
		inputs, inOrder = append(inputs, d), append(inOrder, i)
	}
	_, _, worst := unevenTogether(inputs[:8])
	assert.Less(t, worst, 2.0)
	_, _, worst = unevenTogether(inOrder[:9])
	assert.Greater(t, worst, 4.0)
	pairs, triples, _ := unevenTogether(inputs)
	pairsInOrder, triplesInOrder, _ := unevenTogether(inOrder)
	t.Logf("in order: pairs %.0f, triples %.0f; as chosen: %.0f, %.0f", pairsInOrder, triplesInOrder, pairs, triples)
	assert.Less(t, pairs, pairsInOrder)
	assert.Less(t, triples, triplesInOrder/3)
}

// unevenTogether sums the squares of the unevenness of 512 points over all pairs and over
// all triples of dimensions, below 0 as 0, and returns the worst of all.
func unevenTogether(dimensions []int) (pairs, triples, worst float64) {
	const n = 512
	for i, a := range dimensions {
		for j, b := range dimensions[:i] {
			e := max(unevenness(n, a, b), 0)
			pairs, worst = pairs+e*e, max(worst, e)
			for _, c := range dimensions[:j] {
				e := max(unevenness(n, a, b, c), 0)
				triples, worst = triples+e*e, max(worst, e)
			}
		}
	}
	return pairs, triples, worst
}

// Each block begins the sequence anew, under scramblings of its own.
func TestSobolBlocksAreReplicates(t *testing.T) {
	keys := []Key{InputKey("carry_over.oil_used"), InputKey("drain.fall")}
	for _, block := range []int{0, 1, 15, 1 << 30} {
		u := drawBlock(Sobol{}, 9, keys, block)
		for i, k := range keys {
			d, _ := dimensionOf(k)
			for j := range uint64(BlockSize) {
				require.Equal(t, cellCentre(newOwen(9, k, uint64(block)).scramble(sobolPoint(d, j))), u[i][j])
			}
		}
	}
}

// The last realizations are like any others, and after the last index the sequence begins
// anew.
func TestSobolAtTheEnds(t *testing.T) {
	keys := someKeys(4)
	point := make([]float64, len(keys))
	for _, realization := range []uint64{0, 1<<40 - 1, 1<<64 - 1} {
		Sobol{}.Point(1, keys, realization, point)
		for _, u := range point {
			assert.True(t, u > 0 && u < 1)
		}
	}
	column := make([]float64, 8)
	sobolFill(3, newOwen(1, 2, 3), 1<<sobolDigits-4, column)
	for j, u := range column {
		x := sobolPoint(3, 1<<sobolDigits-4+uint64(j))
		assert.Equal(t, cellCentre(newOwen(1, 2, 3).scramble(x)), u)
	}
}
