package words

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sumpward/sim/stats"
)

// seen is a chance that so many of 20,000 realizations have.
func seen(events int64) Chance {
	return Chance{Estimate: stats.Estimate{Probability: float64(events) / 20_000}, Events: events, Of: 20_000}
}

func TestCountOfSessions(t *testing.T) {
	for _, x := range []struct {
		c    Chance
		of   float64
		want string
	}{
		{seen(1400), 100, "about 7 of 100"},
		{seen(1400), 10_000, "about 700 of 10,000"},
		{seen(20_000 * 3 / 4), 10_000, "about 7,500 of 10,000"},
		{seen(99), 100, "fewer than 1 of 100"},
		{seen(99), 1000, "about 5 of 1,000"},
		{seen(19_950), 100, "nearly all of 100"},
		{seen(0), 100, "none of 20,000"},
		{seen(20_000), 100, "all of 20,000"},
		{Chance{Impossible: true, Events: 5, Of: 20_000}, 100, "none of 20,000"},
	} {
		assert.Equal(t, x.want, x.c.Count(x.of))
	}
}

func TestDenominatorTellsFromTheLimit(t *testing.T) {
	assert.Equal(t, 100.0, Denominator(0.01, seen(9560)))
	assert.Equal(t, 1000.0, Denominator(0.01, seen(240)), "1 of 100 would read as the limit itself")
	assert.Equal(t, 1000.0, Denominator(0.01, seen(9560), seen(240)), "each of them")
	assert.Equal(t, 10_000.0, Denominator(0.01, seen(201)))
	assert.Equal(t, 1000.0, Denominator(0.002, seen(9560)), "the limit is 2 of 1,000")
	assert.Equal(t, 100.0, Denominator(0.01, seen(0), seen(20_000)))
	assert.Equal(t, 100.0, Denominator(1, seen(20_000)))
	assert.Equal(t, 100.0, Denominator(0), "a limit of none")
}

func TestCounted(t *testing.T) {
	for k, want := range map[float64]string{0: "0", 1: "1", 7.5: "7.5", 0.75: "0.75", 12.4: "12", 1234: "1,234"} {
		assert.Equal(t, want, Counted(k))
	}
}

func TestJoined(t *testing.T) {
	assert.Empty(t, Joined(nil, "and"))
	assert.Equal(t, "a", Joined([]string{"a"}, "and"))
	assert.Equal(t, "a or b", Joined([]string{"a", "b"}, "or"))
	assert.Equal(t, "a, b and c", Joined([]string{"a", "b", "c"}, "and"))
}
