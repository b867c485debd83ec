package sampling

// What studies of other layouts and other dimensions need.

// SobolFillAt fills u with points of one dimension, in a replicate of their own.
func SobolFillAt(dimension int, seed uint64, k Key, replicate, first uint64, u []float64) {
	sobolFill(dimension, newOwen(seed, k, replicate), first, u)
}

// DimensionOf is the dimension of a key, -1 where it has none.
func DimensionOf(k Key) int {
	if d, ok := dimensionOf(k); ok {
		return d
	}
	return -1
}

// StratifyAt fills u with a Latin hypercube's coordinate of one block.
func StratifyAt(seed uint64, k Key, block int, u []float64) { stratify(seed, k, block, u) }
