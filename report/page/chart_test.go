package page

import (
	"encoding/xml"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/sim"
)

func square() *chart {
	return &chart{width: 220, height: 140, left: 10, right: 10, top: 20, bottom: 20, x: scale{low: 0, high: 100}, y: scale{low: -1, high: 1}}
}

// corners reads the corners of a path.
func corners(t *testing.T, d string) (x, y []float64) {
	t.Helper()
	for _, m := range regexp.MustCompile(`[ML](-?[0-9.]+) (-?[0-9.]+)`).FindAllStringSubmatch(d, -1) {
		a, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		b, err := strconv.ParseFloat(m[2], 64)
		require.NoError(t, err)
		x, y = append(x, a), append(y, b)
	}
	return x, y
}

// 200 wide and 100 high between the margins: x = 10 + 2 v, y = 70 - 50 v.
func TestBandLiesWhereTheNumbersAre(t *testing.T) {
	c := square()
	c.band("c1", []float64{0, 50, 100}, []float64{-1, -0.5, 0}, []float64{0, 0.5, 1})
	d := regexp.MustCompile(` d="([^"]*)Z"`).FindStringSubmatch(c.b.String())
	require.Len(t, d, 2)
	x, y := corners(t, d[1])
	assert.Equal(t, []float64{10, 110, 210, 210, 110, 10}, x)
	assert.Equal(t, []float64{70, 45, 20, 70, 95, 120}, y, "the upper edge there, the lower one back")
}

func TestWhatLiesBeyondStaysAtTheEdge(t *testing.T) {
	c := square()
	assert.Equal(t, 10.0, c.across(-5))
	assert.Equal(t, 210.0, c.across(1e9))
	assert.Equal(t, 20.0, c.up(3))
	assert.Equal(t, 120.0, c.up(-3))
	assert.Equal(t, "0", coordinate(-0.001))
	assert.Equal(t, "12.35", coordinate(12.3456))
}

func TestTicksAreRound(t *testing.T) {
	texts := func(s scale) (list []string) {
		for _, x := range s.ticks {
			list = append(list, x.text)
		}
		return list
	}
	assert.Equal(t, []string{"-3", "-2", "-1", "0", "1", "2"}, texts(roundScale(-2.9, 1.4, "")))
	assert.Equal(t, []string{"0", "0.02", "0.04", "0.06", "0.08"}, texts(roundScale(0, 0.071, "")))
	assert.Equal(t, []string{"0", "20", "40", "60"}, texts(percentScale(0.53, "")))
	assert.Equal(t, []string{"0", "20", "40", "60", "80", "100"}, texts(percentScale(7, "")), "no chance is above 100 %")
	assert.InDelta(t, 0.6, percentScale(0.53, "").high, 1e-12)
	for length, want := range map[float64]string{
		3600: "0 10 20 30 40 50 60", 89: "0 20 40 60 80", 1500: "0 5 10 15 20 25", 4 * 3600: "0 1 2 3 4", 24 * 3600: "0 4 8 12 16 20 24", 3: "0 1 2 3",
	} {
		s := timeScale(length, "")
		assert.Equal(t, want, strings.Join(texts(s), " "))
		assert.Equal(t, length, s.high)
	}
	assert.Equal(t, "time, min", timeScale(3600, "time").title)
	assert.Equal(t, "time, h", timeScale(4*3600, "time").title)
	assert.NotPanics(t, func() { roundScale(0, 0, "") })
}

func TestNamesAtTheEndDoNotTouch(t *testing.T) {
	for _, at := range [][]float64{{50, 50, 50}, {0, 1, 2, 200}, {300, 299, 5}, {100}, {198, 199, 200, 200}} {
		moved := apart(at, 15, 10, 200)
		order := ordered(at)
		for i := range order {
			assert.GreaterOrEqual(t, moved[order[i]], 10.0-1e-6)
			assert.LessOrEqual(t, moved[order[i]], 200.0+1e-6)
			if i > 0 {
				assert.GreaterOrEqual(t, moved[order[i]]-moved[order[i-1]], 15-1e-3, "%v", moved)
			}
		}
	}
	assert.Equal(t, []float64{20, 60}, apart([]float64{20, 60}, 15, 0, 100), "what stands apart stays")
}

func TestDrawingsAreSoundAndNamed(t *testing.T) {
	v := viewed(t, sealedDrain(t))
	for name, drawing := range map[string]string{"chances": string(v.Chances), "fill": string(v.Fill), "pressure": string(v.Pressure)} {
		require.NotEmpty(t, drawing, name)
		d := xml.NewDecoder(strings.NewReader(drawing))
		for {
			if _, err := d.Token(); err != nil {
				require.Equal(t, "EOF", err.Error(), name)
				break
			}
		}
		assert.Contains(t, drawing, `role="img"`)
		assert.Regexp(t, `<title id="`+name+`-title">[^<]+</title><desc id="`+name+`-desc">[^<]{40,}</desc>`, drawing)
		assert.NotContains(t, drawing, "NaN")
		assert.NotContains(t, drawing, "Inf")
		assert.NotRegexp(t, `#[0-9a-f]{3}`, drawing, "a colour of its own would not follow light and dark")
	}
}

// The fan's bands hold what the numbers say at every stretch of time.
func TestFanIsDrawnAsItIs(t *testing.T) {
	p := sealedDrain(t)
	p.Fan = &sim.Fan{Times: []float64{1800, 3600}, P05: []float64{0, 0.1}, P25: []float64{0.1, 0.2}, P50: []float64{0.2, 0.4}, P75: []float64{0.3, 0.6}, P95: []float64{0.5, 1},
		Realizations: 100, Length: 3600}
	v := viewed(t, p)
	c := &chart{width: 440, height: 300, left: 40, right: 66, top: 30, bottom: 40, x: scale{high: 3600}, y: scale{high: 1.08}}
	for class, band := range map[string][2][]float64{"oil wide": {p.Fan.P05, p.Fan.P95}, "oil half": {p.Fan.P25, p.Fan.P75}} {
		d := regexp.MustCompile(`class="band ` + class + `" d="([^"]*)Z"`).FindStringSubmatch(string(v.Fill))
		require.Len(t, d, 2, class)
		_, y := corners(t, d[1])
		require.Len(t, y, 4)
		for i, want := range []float64{band[1][0], band[1][1], band[0][1], band[0][0]} {
			assert.InDelta(t, c.up(want), y[i], 0.01, class)
		}
	}
	assert.Contains(t, string(v.Fill), "the can is filled to 40 % (median), 20 % to 60 % in half")
}

func TestChancesAreDrawnAsTheyAre(t *testing.T) {
	v := viewed(t, sealedDrain(t))
	require.Len(t, v.Curves, 4)
	most := 0.02
	for _, k := range v.Curves {
		for _, s := range k.sessions {
			most = math.Max(most, s.Fails.High)
		}
	}
	c := &chart{width: 440, height: 300, left: 40, right: 76, top: 30, bottom: 40, x: scale{high: 3600}, y: percentScale(most, "")}
	for _, k := range v.Curves {
		d := regexp.MustCompile(`<path class="line ` + k.Class + `" d="([^"]*)"`).FindStringSubmatch(string(v.Chances))
		require.Len(t, d, 2, k.Name)
		x, y := corners(t, d[1])
		require.Len(t, x, len(k.sessions)+1)
		assert.InDelta(t, c.up(0), y[0], 0.01, "nothing has failed at the start")
		for i, s := range k.sessions {
			assert.InDelta(t, c.across(s.Length), x[i+1], 0.01)
			assert.InDelta(t, c.up(s.Fails.Probability), y[i+1], 0.01)
		}
	}
	assert.Equal(t, 4*4, strings.Count(string(v.Chances), "<circle"), "a dot at each length that was asked about")
	assert.Contains(t, string(v.Chances), ">limit 1 %<")
}

// A phase of a lap lasts from its start to its end, at its own pressure.
func TestPressureIsAStepLine(t *testing.T) {
	list := []sim.PhasePressure{
		{Phase: sim.Phase{Duration: 10, Load: 1}, Crankcase: sim.Spread{P05: -3, P50: -2, P95: -1}},
		{Phase: sim.Phase{Duration: 5}, Crankcase: sim.Spread{P05: 0, P50: 1, P95: 2}},
	}
	x, median, p05, p95, load := steps(list, func(v float64) float64 { return 10 * v })
	assert.Equal(t, []float64{0, 10, 10, 15}, x)
	assert.Equal(t, []float64{-20, -20, 10, 10}, median)
	assert.Equal(t, []float64{-30, -30, 0, 0}, p05)
	assert.Equal(t, []float64{-10, -10, 20, 20}, p95)
	assert.Equal(t, []float64{1, 1, 0, 0}, load)
}
