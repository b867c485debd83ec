package stats

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The sum is that of math/big, whatever the order and however it is shared out.
func TestSumAgainstBigFloat(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		exact := new(big.Float).SetPrec(300)
		var forward Sum
		var numbers []float64
		for range 1 + random.IntN(300) {
			x := math.Ldexp(2*random.Float64()-1, random.IntN(60)-27)
			numbers = append(numbers, x)
			exact.Add(exact, new(big.Float).SetFloat64(x))
			forward.Add(x)
		}
		want, _ := exact.Float64()
		assert.InDelta(t, want, forward.Value(), 300*math.Ldexp(1, -81)+1e-16*math.Abs(want))
		var backward Sum
		parts := make([]Sum, 1+random.IntN(7))
		for i := range numbers {
			x := numbers[len(numbers)-1-i]
			backward.Add(x)
			parts[random.IntN(len(parts))].Add(x)
		}
		var merged Sum
		for _, p := range parts {
			merged.Merge(p)
		}
		assert.Equal(t, forward, backward)
		assert.Equal(t, forward, merged)
		text, err := forward.MarshalText()
		require.NoError(t, err)
		var read Sum
		require.NoError(t, read.UnmarshalText(text))
		assert.Equal(t, forward, read)
	}
}

func TestSumOfWholeNumbersIsExact(t *testing.T) {
	var s Sum
	for i := range 1000 {
		s.Add(float64(i))
		s.Add(-float64(i) / 2)
	}
	assert.Equal(t, 999*1000/4.0, s.Value())
	s.Add(math.Ldexp(1, -80))
	s.Add(-999 * 1000 / 4)
	assert.Equal(t, math.Ldexp(1, -80), s.Value())
	s.Add(math.Ldexp(1, -82))
	assert.Equal(t, math.Ldexp(1, -80), s.Value(), "a quarter of a unit rounds away")
	s.Add(-math.Ldexp(1, -150))
	s.Add(math.SmallestNonzeroFloat64)
	assert.Equal(t, math.Ldexp(1, -80), s.Value())
}

func TestSumRefuses(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1 << 40, -1e300} {
		var s, other Sum
		s.Add(1)
		s.Add(x)
		assert.True(t, math.IsNaN(s.Value()), x)
		other.Merge(s)
		assert.True(t, math.IsNaN(other.Value()), x)
	}
	var full Sum
	for range 200 {
		full.Add(math.Nextafter(1<<40, 0))
	}
	assert.True(t, math.IsNaN(full.Value()), "a sum that left its 128 bits is none")
	for _, text := range []string{"", "x", "1e5", "0x", "340282366920938463463374607431768211456"} {
		assert.Error(t, new(Sum).UnmarshalText([]byte(text)), text)
	}
}

func BenchmarkSum(b *testing.B) {
	var s Sum
	for b.Loop() {
		s.Add(1.2345e-4)
	}
}
