package stats

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Counts written, read and put together are those of all numbers in one.
func TestCountsComeBack(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for range 50 {
		var all, put Quantiles
		var allFractions, putFractions FractionQuantiles
		var allChance, putChance Chance
		for range 1 + random.IntN(4) {
			var q Quantiles
			var f FractionQuantiles
			var c Chance
			for range random.IntN(200) {
				x := math.Exp(40*random.NormFloat64()) * float64(random.IntN(3)-1)
				if random.IntN(20) == 0 {
					x = math.Inf(1 - 2*random.IntN(2))
				}
				q.Add(x)
				all.Add(x)
				u := min(1, 1.2*random.Float64())
				f.Add(u)
				allFractions.Add(u)
				n := random.IntN(500)
				k := random.IntN(n + 1)
				c.AddBlock(k, n)
				allChance.AddBlock(k, n)
			}
			through(t, &q)
			through(t, &f)
			through(t, &c)
			put.Merge(&q)
			putFractions.Merge(&f)
			putChance.Merge(c)
		}
		assert.Equal(t, allChance, putChance)
		assert.Equal(t, allFractions, putFractions)
		for _, p := range []float64{0, 0.01, 0.3, 0.5, 0.9, 1} {
			assert.Equal(t, all.Quantile(p), put.Quantile(p))
		}
		assert.Equal(t, all.Count(), put.Count())
	}
}

// through writes a value and reads it again in its place.
func through[T any](t *testing.T, value *T) {
	t.Helper()
	text, err := json.Marshal(value)
	require.NoError(t, err)
	var read T
	require.NoError(t, json.Unmarshal(text, &read), string(text))
	again, err := json.Marshal(read)
	require.NoError(t, err)
	assert.Equal(t, string(text), string(again))
	*value = read
}

func TestCountsThatCanNotBe(t *testing.T) {
	for _, text := range []string{
		`[1,2]`, `[3,2,1,9,6,4]`, `[-1,2,1,1,2,4]`, `[0,0,0,0,0,5]`, `[1,9223372036854775807,1,1,1,1]`, `[1,2,3,1,2,4]`, `"x"`, `[1.5,2,1,1,2,4]`,
	} {
		assert.Error(t, json.Unmarshal([]byte(text), new(Chance)), text)
	}
	for _, text := range []string{
		`{"positive":[1]}`, `{"positive":[1,0]}`, `{"positive":[1,-4]}`, `{"positive":[2,1,1,1]}`, `{"positive":[900000000,1]}`, `{"negative":[-9000,1]}`, `{"zeros":-1}`, `{"low":2,"high":1}`, `{"never":9223372036854775807}`,
	} {
		assert.Error(t, json.Unmarshal([]byte(text), new(Quantiles)), text)
	}
	for _, text := range []string{`{"bins":[1000,1]}`, `{"bins":[-1,1]}`, `{"bins":[5,1,5,1]}`, `{"high":1.5}`, `{"low":-1}`, `{"ones":-3}`} {
		assert.Error(t, json.Unmarshal([]byte(text), new(FractionQuantiles)), text)
	}
}
