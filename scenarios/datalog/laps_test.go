package datalog

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Which laps are kept, by the times at which the lap number changes.
func TestNumberedLaps(t *testing.T) {
	for _, c := range []struct {
		name     string
		from, to float64 // in laps of 40 s
		lap      func(t float64) int
		laps     int
		lapTime  float64
		note     string
		warn     string
	}{
		{name: "out lap and in lap", from: 0.5, to: 3.3, laps: 2, lapTime: 40,
			note: "lap 0 is left out: 20.0 s, against 40.0 s of the usual lap (in lap, out lap, or cut off)|" +
				"lap 3 is left out: 12.0 s, against 40.0 s of the usual lap (in lap, out lap, or cut off)"},
		{name: "last lap just cut off", to: 2.9, laps: 2, lapTime: 40,
			note: "lap 2 is left out: by its speed it is cut off by the end of the log"},
		{name: "whole laps only", to: 3, laps: 3, lapTime: 40},
		{name: "two parts", from: 0.5, to: 1.9, laps: 1, lapTime: 36,
			note: "lap 0 is left out: 20.0 s, against 36.0 s of the usual lap (in lap, out lap, or cut off)"},
		{name: "one lap number", to: 1.25, lap: func(float64) int { return 7 }, laps: 1, lapTime: 50,
			warn: "the lap number never changes: the whole log is taken as one lap"},
		{name: "one slow lap", to: 6, lap: func(t float64) int { // 40, 40, 40, 80, 40 s
			return []int{1, 2, 3, 4, 4, 5}[int(t/madeLapTime+1e-9)]
		}, laps: 4, lapTime: 40,
			note: "lap 4 is left out: 80.0 s, against 40.0 s of the usual lap (in lap, out lap, or cut off)"},
		{name: "numbers start again", to: 4, lap: func(t float64) int { return 1 + int(t/madeLapTime+1e-9)%2 }, laps: 4, lapTime: 40},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := plain()
			m.from, m.to = c.from*madeLapTime, c.to*madeLapTime
			m.lap = func(t float64) string { return fmt.Sprint(int(t/madeLapTime + 1e-9)) }
			if c.lap != nil {
				m.lap = func(t float64) string { return fmt.Sprint(c.lap(t)) }
			}
			l := readMade(t, m, forwardLeft())
			phases, r, err := l.Lap(Tolerance{Smoothing: -1})
			require.NoError(t, err)
			assert.Equal(t, c.laps, r.Laps)
			assert.Len(t, r.LapStarts, c.laps)
			assert.InDelta(t, c.lapTime, r.LapTime, 1e-9)
			assert.Equal(t, c.warn, strings.Join(r.Warnings, "|"))
			assert.Equal(t, c.note, strings.Join(r.Notes[:len(r.Notes)-1], "|"))
			total := 0.0
			for _, p := range phases {
				total += p.Duration
			}
			assert.InDelta(t, r.Duration, total, 1e-9)
			assert.InDelta(t, float64(c.laps)*c.lapTime, total, 1e-9)
		})
	}
}

// Two laps are never merged, so that a lap starts with a phase.
func TestLapsAreKeptApart(t *testing.T) {
	m := plain()
	m.to = 3 * madeLapTime
	l := readMade(t, m, forwardLeft())
	for i := range l.Samples {
		l.Samples[i].Load, l.Samples[i].Left, l.Samples[i].Forward = 0.5, 0, 0
	}
	phases, r, err := l.Lap(Tolerance{})
	require.NoError(t, err)
	assert.Len(t, phases, 3)
	assert.Equal(t, []int{0, 1, 2}, r.LapStarts)
	assert.Contains(t, r.Warnings, "the log holds no full throttle")
}

// Without a lap column the lap time is found from the repeat. 40 s is known.
func TestLapsFromTheRepeat(t *testing.T) {
	for _, c := range []struct {
		name     string
		from, to float64
		noise    float64
		laps     int
	}{
		{"two laps", 0, 80, 0, 2},
		{"three and a half", 7, 147, 0, 3},
		{"five with noise", 13, 220, 0.1, 5},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(1, 2))
			m := plain()
			m.from, m.to, m.lap = c.from, c.to, nil
			m.header = "time [s]|throttle [%]|lateral [g]|longitudinal [g]|speed [km/h]"
			m.cell = func(row int, column, text string) string {
				if column != Lateral && column != Longitudinal {
					return text
				}
				v, _ := strconv.ParseFloat(text, 64)
				return decimals(v + c.noise*r.NormFloat64())
			}
			_, report, err := readMade(t, m, forwardLeft()).Lap(Tolerance{})
			require.NoError(t, err)
			assert.Equal(t, c.laps, report.Laps)
			assert.InDelta(t, 40, report.LapTime, 0.05)
			assert.Greater(t, report.LapMatch, 0.95)
			assert.Empty(t, report.Warnings)
			assert.InDelta(t, 0.45, report.FullThrottleShare, 1e-6, "any whole lap holds the same")
		})
	}
}

// A stretch that isn't like the others, before the laps that repeat, is left
// out though it is as long as a lap.
func TestRepeatLeavesOutTheStart(t *testing.T) {
	m := plain()
	m.to, m.lap = 160, nil
	m.header = "time [s]|throttle [%]|lateral [g]|longitudinal [g]|speed [km/h]"
	m.cell = func(row int, column, text string) string {
		if row < 800 && column != Time {
			return "0"
		}
		return text
	}
	_, r, err := readMade(t, m, forwardLeft()).Lap(Tolerance{})
	require.NoError(t, err)
	assert.Equal(t, 3, r.Laps)
	assert.InDelta(t, 40, r.LapTime, 1e-9)
	assert.InDelta(t, 0.45, r.FullThrottleShare, 1e-9)
	assert.Contains(t, r.Notes[0], "3 laps of 40.0 s from 40.0 s on")
}

// Two laps that are alike in a log of five times their length prove nothing.
func TestRepeatOfLessThanHalf(t *testing.T) {
	m := plain()
	m.to, m.lap = 200, nil
	m.header = "time [s]|throttle [%]|lateral [g]|longitudinal [g]|speed [km/h]"
	m.cell = func(row int, column, text string) string {
		if row >= 1600 && column != Time {
			return "0"
		}
		return text
	}
	_, r, err := readMade(t, m, forwardLeft()).Lap(Tolerance{})
	require.NoError(t, err)
	assert.Equal(t, 1, r.Laps)
	assert.Equal(t, []string{"there is no lap column and the whole log is taken as one lap: no repeat was found (best correlation 1.00 at 40.0 s, wanted 0.70 over half the log or more)"}, r.Warnings)
}

// The Larkmoor log without its lap column gives the same laps within 1 s; its
// out-lap and in-lap are left out.
func TestLarkmoorFromTheRepeat(t *testing.T) {
	_, want, err := larkmoor(t, nil).Lap(Tolerance{})
	require.NoError(t, err)
	_, got, err := larkmoor(t, map[string]string{Lap: NotUsed}).Lap(Tolerance{})
	require.NoError(t, err)
	assert.Equal(t, want.Laps, got.Laps)
	assert.InDelta(t, want.LapTime, got.LapTime, 1)
	assert.InDelta(t, want.FullThrottleShare, got.FullThrottleShare, 0.01)
	assert.Greater(t, got.LapMatch, 0.85)
	t.Log(got.Notes)
}

// Without a repeat the whole log is one lap, and that is said.
func TestNoRepeat(t *testing.T) {
	m := plain()
	m.to, m.lap = 60, nil // one lap and a half
	m.header = "time [s]|throttle [%]|lateral [g]|longitudinal [g]|speed [km/h]"
	_, r, err := readMade(t, m, forwardLeft()).Lap(Tolerance{})
	require.NoError(t, err)
	assert.Equal(t, 1, r.Laps)
	assert.InDelta(t, 60, r.LapTime, 1e-9)
	require.Len(t, r.Warnings, 1)
	assert.Regexp(t, `^there is no lap column and the whole log is taken as one lap: no repeat was found \(best correlation 0\.\d\d at \d+\.\d s, wanted 0\.70 over half the log or more\)$`, r.Warnings[0])

	m.to = 20
	_, r, err = readMade(t, m, forwardLeft()).Lap(Tolerance{})
	require.NoError(t, err)
	assert.Equal(t, []string{"there is no lap column and the whole log is taken as one lap: it is shorter than two laps, or no two of its laps are alike"}, r.Warnings)
}

// A wrong sign or unit of the longitudinal axis is made visible.
func TestSignOfLongitudinal(t *testing.T) {
	slower := plain()
	slower.header = "time [s]|throttle [%]|lateral [g]|longitudinal [g]"
	slower.lap = nil
	tenth := plain()
	tenth.longitudinal = 0.2 / g0
	random := plain()
	r := rand.New(rand.NewPCG(3, 4))
	random.cell = func(row int, column, text string) string {
		if column == Longitudinal {
			return decimals(math.Sin(float64(row)/57) + 0.2*r.NormFloat64())
		}
		return text
	}
	reversed := Spec{Positive: map[string]string{Longitudinal: "backward", Lateral: "left"}}
	for _, c := range []struct {
		name string
		m    made
		s    Spec
		want string
	}{
		{"right", plain(), forwardLeft(), ""},
		{"reversed", plain(), reversed, `longitudinal: the stated sign looks reversed: it falls when speed rises \(correlation -(1.00|0.9\d) with the slope of speed\)`},
		{"right, no speed", slower, forwardLeft(), ""},
		{"reversed, no speed", slower, reversed, `longitudinal: the stated sign looks reversed: it falls when the throttle opens \(correlation -0.\d\d\)`},
		{"too small", tenth, forwardLeft(), `longitudinal: reads 0.2 times the slope of speed: check the units of both`},
		{"another column", random, forwardLeft(), `longitudinal: hardly follows the slope of speed \(correlation -?0.\d\d\): is it the right column\?`},
		{"another column, the other way", random, reversed, `longitudinal: hardly follows the slope of speed \(correlation -?0.\d\d\): is it the right column\?`},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := readMade(t, c.m, c.s)
			if c.want == "" {
				assert.Empty(t, l.Warnings)
				return
			}
			require.Len(t, l.Warnings, 1)
			assert.Regexp(t, "^(?:"+c.want+")$", l.Warnings[0])
		})
	}
	m := plain()
	m.lateral, m.longitudinal = 0.1/g0, 1/g0
	assert.Equal(t, []string{"lateral: below 0.1 g in 99 % of the rows: check its unit, such as units: {lateral: g}"}, readMade(t, m, forwardLeft()).Warnings)
}

// A correlation says of the sign what its mirror image says.
func TestSlopeOfSpeedIsJudgedAlikeBothWays(t *testing.T) {
	const hardly, reversed = "hardly follows the slope of speed", "the stated sign looks reversed"
	for _, c := range []struct {
		r    float64
		want string
	}{
		{0.95, ""}, {0.51, ""}, {0.49, hardly}, {0.07, hardly}, {0, hardly},
		{-0.07, hardly}, {-0.49, hardly}, {-0.51, reversed}, {-0.95, reversed},
	} {
		l := &Log{}
		l.judgeSlope(c.r, 1)
		if c.want == "" {
			assert.Empty(t, l.Warnings, "%g", c.r)
			continue
		}
		require.Len(t, l.Warnings, 1, "%g", c.r)
		assert.Contains(t, l.Warnings[0], c.want, "%g", c.r)
	}
}

// Against the throttle, a weak correlation is no evidence of a reversed sign:
// here it is made to be -0.25 and -0.35.
func TestThrottleSaysLittleOfTheSign(t *testing.T) {
	for r, want := range map[float64]int{-0.25: 0, -0.35: 1, 0.25: 0} {
		l := &Log{Header: map[string]string{Longitudinal: "longitudinal"}}
		for i := range 400 {
			a, b := float64(i%2*2-1), float64(i/2%2*2-1) // not correlated, of variance 1
			l.Samples = append(l.Samples, Sample{Load: a, Forward: r*a + math.Sqrt(1-r*r)*b})
		}
		l.checkSigns()
		assert.Len(t, l.Warnings, want, "%g", r)
	}
}

// A stated sign that is wrong across turns left into right in the report.
func TestSignOfLateralIsVisible(t *testing.T) {
	s := forwardLeft()
	s.Positive[Lateral] = "right"
	_, r, err := readMade(t, plain(), s).Lap(Tolerance{})
	require.NoError(t, err)
	assert.InDelta(t, 12, r.TimeLeft, 1e-9)
	assert.InDelta(t, 14, r.TimeRight, 1e-9)
}
