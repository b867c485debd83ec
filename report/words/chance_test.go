package words

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sumpward/sim/stats"
)

func TestChanceIsNeverABareZeroOrHundred(t *testing.T) {
	for _, x := range []struct {
		c              Chance
		text, interval string
	}{
		{Chance{stats.Estimate{Probability: 0.0742, Low: 0.0701, High: 0.0784}, 371, 5000, false}, "7.4 %", "7.0 .. 7.8 %"},
		{Chance{stats.Estimate{Probability: 0, Low: 0, High: 0.00074}, 0, 5000, false}, "none of 5,000", "up to 0.07 %"},
		{Chance{stats.Estimate{Probability: 1, Low: 0.99926, High: 1}, 5000, 5000, false}, "all of 5,000", "at least 99.93 %"},
		{Chance{stats.Estimate{Probability: 0.3, Low: 0.28, High: 0.32}, 600, 2000, false}, "30 %", "28 .. 32 %"},
		{Chance{stats.Estimate{Probability: 0.0005, Low: 0.0000127, High: 0.00278}, 1, 2000, false}, "0.05 %", "0.001 .. 0.28 %"},
		{Chance{stats.Estimate{Probability: 0.9995, Low: 0.99722, High: 0.9999873}, 1999, 2000, false}, "99.95 %", "99.72 .. 99.999 %"},
		{Chance{stats.Estimate{}, 0, 5000, true}, "cannot occur", ""},
	} {
		assert.Equal(t, x.text, x.c.Text())
		assert.Equal(t, x.interval, x.c.Interval())
	}
}

func TestGrouped(t *testing.T) {
	for n, want := range map[int64]string{0: "0", 999: "999", 1000: "1,000", 20000: "20,000", 1234567: "1,234,567", -4000: "-4,000"} {
		assert.Equal(t, want, Grouped(n))
	}
}

func TestChanceWithItsInterval(t *testing.T) {
	c := Chance{Estimate: stats.Estimate{Probability: 0.1, Low: 0.05, High: 0.15}, Events: 10, Of: 100}
	assert.Equal(t, "10 %\n5 .. 15 %", c.Cell())
	assert.Equal(t, "10 % (5 .. 15 %)", c.WithInterval())
	never := Chance{Impossible: true}
	assert.Equal(t, "cannot occur", never.Cell())
	assert.Equal(t, "cannot occur", never.WithInterval())
}

func TestEstimated(t *testing.T) {
	assert.Equal(t, "up to 0.4 %", Estimated(stats.Estimate{High: 0.004}))
	assert.Equal(t, "at least 98.0 %", Estimated(stats.Estimate{Probability: 1, Low: 0.98, High: 1}))
	assert.Equal(t, "10 %", Estimated(stats.Estimate{Probability: 0.1, Low: 0.05, High: 0.15}))
}
