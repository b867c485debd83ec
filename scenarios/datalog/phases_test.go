package datalog

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func readMade(t *testing.T, m made, s Spec) *Log {
	t.Helper()
	l, err := Read(strings.NewReader(m.String()), "laps.csv", s)
	require.NoError(t, err)
	return l
}

// noisy gives a log of smooth random curves with noise and an uneven step, as
// one lap.
func noisy(seed uint64, n int) *Log {
	r := rand.New(rand.NewPCG(seed, 1))
	l := &Log{Name: "noisy", Rate: 20, Header: map[string]string{Lap: "lap", Lateral: "", Longitudinal: ""}}
	var a, b, c, time float64
	for range n {
		a, b, c = a+0.3*r.NormFloat64(), 0.9*b+2*r.NormFloat64(), 0.95*c+2*r.NormFloat64()
		load := 0.5 + 0.8*math.Sin(a)
		if load = min(max(load, 0), 1); load > snapOpen {
			load = 1
		}
		l.Samples = append(l.Samples, Sample{Time: time, Load: load, Forward: b, Left: c, Lap: 1})
		time += 0.05 * (0.5 + r.Float64())
	}
	return l
}

// The report of the made log is what follows from madeLap by hand.
func TestReportOfMadeLaps(t *testing.T) {
	l := readMade(t, plain(), forwardLeft())
	_, r, err := l.Lap(Tolerance{Smoothing: -1})
	require.NoError(t, err)
	assert.Equal(t, 1600, r.Samples)
	assert.Equal(t, 14, r.Phases)
	assert.Equal(t, 2, r.Laps)
	assert.Equal(t, []int{0, 7}, r.LapStarts)
	assert.InDelta(t, 40, r.LapTime, 1e-9)
	assert.InDelta(t, 80, r.Duration, 1e-9)
	assert.InDelta(t, 20, r.Rate, 1e-6)
	for _, share := range []float64{r.FullThrottleShare, r.FullThrottleShareOfLog} {
		assert.InDelta(t, 0.45, share, 1e-12)
	}
	for _, mean := range []float64{r.MeanLoad, r.MeanLoadOfLog} {
		assert.InDelta(t, 23.0/40, mean, 1e-12)
	}
	for _, above := range []float64{r.TimeAbove08g, r.TimeAbove08gOfLog, r.LongCorners, r.LongCornersOfLog} {
		assert.InDelta(t, 26, above, 1e-9)
	}
	assert.InDelta(t, 14, r.TimeLeft, 1e-9)
	assert.InDelta(t, 12, r.TimeRight, 1e-9)
	assert.Equal(t, []string{"turns left for 14.0 s and right for 12.0 s (above 0.3 g): if the track goes the other way round, the sign of lateral is reversed"}, r.Notes)
	assert.Empty(t, r.Warnings)
}

// Time integrals are those of the samples, whatever the tolerance: total time,
// load, both accelerations, and full throttle without any error.
func TestPhasesKeepTimeIntegrals(t *testing.T) {
	for seed := range uint64(20) {
		l := noisy(seed, 3000)
		for _, tol := range []Tolerance{{}, {Load: 0.2, Acceleration: 3}, {Load: 1e-9, Acceleration: 1e-9, Smoothing: -1}, {Load: 1, Acceleration: 40, Smoothing: 5}} {
			phases, r, err := l.Lap(tol)
			require.NoError(t, err)
			var time, load, fwd, left, full float64
			for _, p := range phases {
				require.Positive(t, p.Duration)
				time, load = time+p.Duration, load+p.Load*p.Duration
				fwd, left = fwd+p.Forward*p.Duration, left+p.Left*p.Duration
				if p.Load >= FullThrottleLoad {
					full += p.Duration
					require.Equal(t, 1.0, p.Load)
				}
			}
			var wantLoad, wantFwd, wantLeft, wantFull float64
			for i, s := range l.Samples {
				dt := l.timeAt(i+1) - s.Time
				wantLoad, wantFwd, wantLeft = wantLoad+s.Load*dt, wantFwd+s.Forward*dt, wantLeft+s.Left*dt
				if s.Load == 1 {
					wantFull += dt
				}
			}
			assert.InDelta(t, l.timeAt(len(l.Samples)), time, 1e-9)
			assert.InDelta(t, wantLoad, load, 1e-9)
			assert.InDelta(t, wantFwd, fwd, 1e-9)
			assert.InDelta(t, wantLeft, left, 1e-9)
			assert.InDelta(t, wantFull, full, 1e-9)
			assert.InDelta(t, r.FullThrottleShareOfLog, r.FullThrottleShare, 1e-12)
			assert.InDelta(t, r.MeanLoadOfLog, r.MeanLoad, 1e-12)
		}
	}
}

// Without smoothing every sample lies within the tolerance of its phase's
// mean, and one more sample would break that or the rule of full throttle.
func TestPhasesKeepTheTolerance(t *testing.T) {
	for seed := range uint64(20) {
		l := noisy(seed, 3000)
		tol := Tolerance{Load: 0.1, Acceleration: 2, Smoothing: -1}
		phases, _, err := l.Lap(tol)
		require.NoError(t, err)
		within := func(p Phase, s Sample) bool {
			const rounding = 1e-9
			return math.Abs(s.Load-p.Load) <= tol.Load+rounding && math.Abs(s.Forward-p.Forward) <= tol.Acceleration+rounding &&
				math.Abs(s.Left-p.Left) <= tol.Acceleration+rounding && (s.Load >= FullThrottleLoad) == (p.Load >= FullThrottleLoad)
		}
		i, end := 0, 0.0
		for _, p := range phases {
			first := i
			end += p.Duration
			for ; i < len(l.Samples) && l.Samples[i].Time < end-1e-7; i++ {
				require.True(t, within(p, l.Samples[i]), "sample %d", i)
			}
			// The samples of one phase cut again give one phase.
			own := &Log{Name: "own", Rate: 1 / (l.timeAt(i) - l.Samples[i-1].Time), Header: l.Header, Samples: append([]Sample(nil), l.Samples[first:i]...)}
			again, _, err := own.Lap(tol)
			require.NoError(t, err)
			require.Len(t, again, 1)
			if i == len(l.Samples) {
				break
			}
			longer := own
			longer.Samples = append(longer.Samples, l.Samples[i])
			longer.Rate = 1 / (l.timeAt(i+1) - l.Samples[i].Time)
			again, _, err = longer.Lap(tol)
			require.NoError(t, err)
			require.Len(t, again, 2, "the next sample belongs to another phase")
		}
		require.Equal(t, len(l.Samples), i)
	}
}

// A tighter tolerance gives more phases, and a smaller error of the time above
// 0.8 g; the tightest keeps every sample that differs from its neighbour.
func TestTighterToleranceGivesMorePhases(t *testing.T) {
	l := larkmoor(t, nil)
	previous := 0
	for _, tol := range []float64{0.4, 0.2, 0.1, 0.05, 0.02} {
		phases, _, err := l.Lap(Tolerance{Load: tol / 2, Acceleration: tol * g0})
		require.NoError(t, err)
		assert.Greater(t, len(phases), previous)
		previous = len(phases)
	}
	_, fine, err := l.Lap(Tolerance{Load: 1e-9, Acceleration: 1e-9, Smoothing: -1})
	require.NoError(t, err)
	assert.InDelta(t, fine.TimeAbove08gOfLog, fine.TimeAbove08g, 1e-9)
	assert.InDelta(t, fine.LongCornersOfLog, fine.LongCorners, 1e-9)
	assert.Greater(t, fine.Phases, 5000)
}

// Smoothing keeps vibration from cutting phases: with noise of three times the
// tolerance on the made lap, phases stay within a few of those without.
func TestSmoothing(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	m := plain()
	m.rate = 100
	m.cell = func(row int, column, text string) string {
		if column != Lateral && column != Longitudinal {
			return text
		}
		v, _ := strconv.ParseFloat(text, 64)
		return decimals(v + 0.15*r.NormFloat64())
	}
	l := readMade(t, m, forwardLeft())
	count := func(smoothing float64) int {
		phases, r, err := l.Lap(Tolerance{Smoothing: smoothing})
		require.NoError(t, err)
		if smoothing > 0 {
			assert.Empty(t, r.Warnings)
		} else if assert.Len(t, r.Warnings, 1) {
			assert.Equal(t, fmt.Sprintf("phases last %.2g s on average, which makes the simulation slow: the signals are noisy for this tolerance, raise it or the smoothing", 80/float64(len(phases))), r.Warnings[0])
		}
		return len(phases)
	}
	assert.Greater(t, count(-1), 2000)
	assert.Less(t, count(1), 150)
}

func TestMovingMean(t *testing.T) {
	assert.Equal(t, []float64{1, 2, 3, 4, 5}, movingMean([]float64{1, 2, 3, 4, 5}, 2), "a ramp stays a ramp up to its ends")
	assert.Equal(t, []float64{0, 1, 1, 1, 0}, movingMean([]float64{0, 0, 3, 0, 0}, 1))
}

// Only stretches above 0.8 g of 1.5 s and more count as long corners; all of
// them counts, and left after right without a break is one stretch.
func TestLongCorners(t *testing.T) {
	var s stretch
	for _, p := range []struct{ left, dt float64 }{{9, 1}, {1, 5}, {9, 1}, {-9, 0.5}, {7.8, 3}, {-8, 1.49}, {0, 1}, {8, 2}} {
		s.add(p.left, p.dt)
	}
	s.end()
	assert.InDelta(t, 1+1.5+1.49+2, s.above, 1e-12)
	assert.InDelta(t, 1.5+2, s.long, 1e-12)
}

// larkmoor reads the log of the ready-made scenarios.
func larkmoor(t *testing.T, columns map[string]string) *Log {
	t.Helper()
	f, err := os.Open("../ready/larkmoor-laps.csv")
	require.NoError(t, err)
	defer f.Close()
	s := forwardLeft()
	s.Columns = columns
	l, err := Read(f, "larkmoor-laps.csv", s)
	require.NoError(t, err)
	return l
}

// With the default tolerance the Larkmoor log keeps its figures: the time
// above 0.8 g within 1 % (bound of ours), the rest exactly.
func TestLarkmoorReport(t *testing.T) {
	_, r, err := larkmoor(t, nil).Lap(Tolerance{})
	require.NoError(t, err)
	assert.Equal(t, 3, r.Laps)
	assert.InDelta(t, r.FullThrottleShareOfLog, r.FullThrottleShare, 1e-12)
	assert.InDelta(t, r.MeanLoadOfLog, r.MeanLoad, 1e-12)
	assert.InEpsilon(t, r.TimeAbove08gOfLog, r.TimeAbove08g, 0.01)
	assert.InEpsilon(t, r.LongCornersOfLog, r.LongCorners, 0.01)
	assert.Less(t, r.Phases, 3*250)
	t.Logf("%d samples in %d phases; above 0.8 g %.2f s of %.2f s", r.Samples, r.Phases, r.TimeAbove08g, r.TimeAbove08gOfLog)
}
