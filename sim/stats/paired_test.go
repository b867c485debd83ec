package stats

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// t of 1, 4, 9 and 29 degrees of freedom at 97.5 %, of 4 at 99.5 % (any table): with
// r² = k/t² it takes k blocks.
func TestBlocksToTell(t *testing.T) {
	for _, row := range []struct{ blocks, level, student float64 }{
		{2, 0.95, 12.706205}, {5, 0.95, 2.776445}, {10, 0.95, 2.262157}, {30, 0.95, 2.045230}, {5, 0.99, 4.604095},
	} {
		assert.InEpsilon(t, row.blocks, blocksToTell(math.Sqrt(row.blocks)/row.student, row.level), 1.1e-3, "%v", row)
	}
	z := normalQuantile(0.95)
	assert.InEpsilon(t, 1e6*z*z, blocksToTell(1000, 0.95), 1e-3, "many blocks: the normal distribution")
	assert.InDelta(t, 1.5, blocksToTell(0, 0.95), 0.02, "no spread: the least that has one")
	assert.True(t, math.IsInf(blocksToTell(math.Inf(1), 0.95), 1))
	assert.True(t, math.IsInf(blocksToTell(math.NaN(), 0.95), 1))
}

func TestTrialsToTellIsRoundedUp(t *testing.T) {
	for _, row := range []struct {
		needed float64
		trials int64
		tells  bool
		want   float64
	}{
		{4812, 5000, true, 4900},
		{4812, 4850, true, 4850}, // told by then: no more than there are
		{4850.3, 4850, true, 4850},
		{13000, 5000, false, 13000},
		{13000.2, 5000, false, 14000},
		{123456, 5000, false, 130000},
		{99.5, 20, false, 100},
		{20.1, 20, false, 21},
		{1000, 1000, false, 1100}, // not told by then: more than there are
	} {
		assert.Equal(t, row.want, trialsToTell(row.needed, row.trials, row.tells), "%v", row)
	}
	assert.True(t, math.IsInf(trialsToTell(math.Inf(1), 10, false), 1))
	assert.True(t, math.IsInf(trialsToTell(math.NaN(), 0, false), 1))
}
