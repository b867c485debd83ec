package exact

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"sumpward/sim/sampling"
)

// Closed form evaluated once more elsewhere (scipy), and by 1e7 trials there: 0.355233
// and 0.175594 with standard errors of 0.00015 and 0.00012.
func TestConstantRate(t *testing.T) {
	sealed := ConstantRate{Median: 0.10, LogSD: 0.6, Volume: 150}
	drained := ConstantRate{Median: 0.10, LogSD: 0.6, Drain: 0.05, Volume: 150}
	assert.InDelta(t, 0.35498145, sealed.OverflowBy(1200), 6e-9)
	assert.InDelta(t, 0.17548926, drained.OverflowBy(1200), 6e-9)
	assert.InDelta(t, 0.5, sealed.OverflowBy(1500), 1e-15, "volume over median")
	assert.InDelta(t, drained.OverflowBy(math.Inf(1)), sealed.OverflowBy(150/0.05), 1e-15, "for ever")
	assert.Zero(t, sealed.OverflowBy(0))
}

// Tails of the standard normal distribution, any table.
func TestNormalAbove(t *testing.T) {
	assert.InEpsilon(t, 1.3498980316e-3, NormalAbove(0, 1, 3), 1e-10)
	assert.InEpsilon(t, 2.8665157188e-7, NormalAbove(0, 1, 5), 1e-10)
	assert.InEpsilon(t, 7.61985302416e-24, NormalAbove(0, 1, 10), 1e-10)
	assert.InEpsilon(t, 2.3262907904e-4, NormalAbove(500, 100, 850), 1e-10)
}

var brownian = []struct {
	BrownianPassage
	time, p float64
}{
	{BrownianPassage{0.10, 1.0, 5}, 20, 0.41090033}, // also scipy's invgauss to 1e-10
	{BrownianPassage{0.10, 2.0, 10}, 60, 0.64683597},
	{BrownianPassage{-0.05, 1.0, 4}, 50, 0.45783983},
	{BrownianPassage{0, 1.0, 3}, 9, 0.31731051},
	{BrownianPassage{0.25, 1.5, 30}, 100, 0.46598631},
}

func TestBrownianPassage(t *testing.T) {
	for _, row := range brownian {
		assert.InDelta(t, row.p, row.ReachedBy(row.time), 6e-9, "%+v", row)
	}
	assert.InDelta(t, 0.67032005, BrownianPassage{-0.05, 1.0, 4}.ReachedBy(1e9), 6e-9, "ever")
}

// The same chances by steps of normal draws, with the chance that the path touched the
// level between two steps: a test of the streams as sequences.
func TestBrownianPassageBySteps(t *testing.T) {
	const n, steps = 20_000, 8
	for i, row := range brownian {
		dt := row.time / steps
		reached := 0.0
		for r := range uint64(n) {
			s := sampling.NewStream(11, sampling.InputKey("path"), r, uint64(i))
			x, missed := 0.0, 1.0
			for range steps {
				next := x + row.Drift*dt + row.SD*math.Sqrt(dt)*s.NormFloat64()
				if next >= row.Level {
					missed = 0
					break
				}
				missed *= -math.Expm1(-2 * (row.Level - x) * (row.Level - next) / (row.SD * row.SD * dt))
				x = next
			}
			reached += 1 - missed
		}
		assert.InDelta(t, row.p, reached/n, 4*math.Sqrt(row.p*(1-row.p)/n), "%+v", row)
	}
}
