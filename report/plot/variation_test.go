package plot

import (
	"context"
	"image/png"
	"io"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
	"sumpward/sim/stats"
)

// varied runs a ready-made scenario at every place of the axes, 200 realizations
// each.
func varied(t *testing.T, name string, axes ...decide.Axis) *decide.Variation {
	t.Helper()
	base, err := scenarios.Ready(name)
	require.NoError(t, err)
	v := &decide.Variation{Scenario: base, Seed: 1, Axes: axes}
	second := []float64{math.NaN()}
	if len(axes) == 2 {
		second = axes[1].Values
	}
	for _, x := range axes[0].Values {
		for _, y := range second {
			at := []float64{x, y}[:len(axes)]
			var changes []scenarios.Change
			for i, a := range axes {
				changes = append(changes, scenarios.Change{Path: a.Path, Value: at[i]})
			}
			v.Points = append(v.Points, pointAt(t, base, at, changes))
		}
	}
	return v
}

func pointAt(t *testing.T, base *scenarios.Scenario, at []float64, changes []scenarios.Change) decide.VariedPoint {
	t.Helper()
	p := decide.VariedPoint{At: at}
	s, err := base.With(changes...)
	if err != nil {
		p.Problem = err.Error()
		return p
	}
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	p.Result, err = m.Run(context.Background(), sim.Options{Realizations: 200})
	require.NoError(t, err)
	full, err := m.FullThrottle()
	require.NoError(t, err)
	p.Nominal = &full
	return p
}

func fallAxis(values ...float64) decide.Axis {
	return decide.Axis{Path: "drain.fall", Dimension: units.Length, Values: values}
}

func TestVariationOfASealedDrain(t *testing.T) {
	v := Variation{varied(t, "sealed-drain", fallAxis(0.02, 0.04, 0.06, 0.12)), units.Metric}
	d := svgOf(t, v.Write)
	for _, text := range []string{
		"Chance within 60 min, % (logarithmic)", "overflow or choked drain", "choked drain", "overflow", "limit of risk, 1 %",
		"Drain margin (oil column) at full throttle, nominal, mm", "nothing in hand", "drain.fall, mm", "drain held at full throttle",
		"Seed 1, 200 realizations at each point; bands are 95 % intervals",
	} {
		assert.Contains(t, d.texts, text)
	}
	f := v.figure()
	require.Len(t, f.panels, 2)
	for i, p := range v.Variation.Points {
		s := p.Result.Sessions[len(p.Result.Sessions)-1]
		got := f.panels[0].lines[0].points[i]
		assert.InDelta(t, 1000*p.At[0], got.x, 1e-9)
		if s.Events.Fails > 0 {
			assert.InDelta(t, 100*s.Fails.Probability, got.y, 1e-9)
		} else {
			assert.True(t, math.IsNaN(got.y), "never a bare 0 %%")
		}
		assert.InDelta(t, 1000*p.Nominal.Margin, f.panels[1].lines[0].points[i].y, 1e-9)
	}
	assert.Equal(t, []span{{f.panels[1].y.low, 0}}, f.panels[1].zones)

	v.Units = units.US
	d = svgOf(t, v.Write)
	assert.Contains(t, d.texts, "drain.fall, in")
	assert.Contains(t, d.texts, "Drain margin (oil column) at full throttle, nominal, in")
	require.NoError(t, v.Write(io.Discard, PNG))
}

func TestVariationOfAnUnsealedDrain(t *testing.T) {
	bore := decide.Axis{Path: "drain.bore", Dimension: units.Length, Values: []float64{0.006, 0.012, 0.019}}
	v := Variation{varied(t, "lost-circuit", bore), units.Metric}
	f := v.figure()
	require.Len(t, f.panels, 2)
	assert.Contains(t, f.panels[1].heading, "Gas up the drain at full throttle, nominal, % of what holds all oil up")
	assert.Equal(t, []span{{100, f.panels[1].y.high}}, f.panels[1].zones)
	for i, p := range v.Variation.Points {
		assert.InDelta(t, 100*p.Nominal.GasUp/p.Nominal.GasLimit, f.panels[1].lines[0].points[i].y, 1e-9)
	}
	assert.Contains(t, svgOf(t, v.Write).texts, "holds all oil up")
}

func TestVariationOfACanEmptiedByHand(t *testing.T) {
	volume := decide.Axis{Path: "separator.usable_volume", Dimension: units.Volume, Values: []float64{0.4e-3, 0.8e-3}}
	v := Variation{varied(t, "sealed-can", volume), units.Metric}
	f := v.figure()
	require.Len(t, f.panels, 1, "no drain, no margin")
	require.Len(t, f.panels[0].lines, 1)
	assert.Equal(t, "overflow", f.panels[0].lines[0].name)
	assert.Equal(t, "separator.usable_volume, L", f.x.label)
}

// made is a variation with chances made up, at so many values of one or two axes.
func made(t *testing.T, events func(i, j int) int64, first, second int) Variation {
	t.Helper()
	base, err := scenarios.Ready("sealed-drain")
	require.NoError(t, err)
	v := &decide.Variation{Scenario: base, Seed: 1, Axes: []decide.Axis{fallAxis()}}
	for i := range first {
		v.Axes[0].Values = append(v.Axes[0].Values, 0.02*float64(i+1))
	}
	if second > 1 {
		v.Axes = append(v.Axes, decide.Axis{Path: "drain.valve_opens_at", Dimension: units.Pressure})
		for j := range second {
			v.Axes[1].Values = append(v.Axes[1].Values, 100*float64(j))
		}
	}
	for i := range first {
		for j := range second {
			k := events(i, j)
			if k < 0 {
				v.Points = append(v.Points, decide.VariedPoint{Problem: "the can has no room for it"})
				continue
			}
			s := sim.SessionResult{Length: 1500}
			p := float64(k) / 1000
			e := stats.Estimate{Probability: p, Low: p / 2, High: p*1.5 + 0.003}
			s.Fails, s.Overflow, s.DrainChoked = e, e, e
			s.Events = sim.Events{Fails: k, Overflow: k, DrainChoked: k}
			v.Points = append(v.Points, decide.VariedPoint{
				Result:  &sim.Result{Realizations: 1000, Kind: sim.Sealed, Sessions: []sim.SessionResult{{Length: 600}, s}},
				Nominal: &sim.PhaseCheck{Margin: 0.01*float64(i) - 0.02 - 0.005*float64(j), GasUp: math.NaN(), GasLimit: math.NaN()},
			})
		}
	}
	return Variation{v, units.Metric}
}

func TestAProblemLeavesAGap(t *testing.T) {
	v := made(t, func(i, _ int) int64 { return []int64{900, 500, -1, 200, 100}[i] }, 5, 1)
	f := v.figure()
	for _, p := range f.panels {
		for _, l := range p.lines {
			parts := runs(l.points)
			require.Len(t, parts, 2, l.name)
			assert.Len(t, parts[0], 2)
			assert.Len(t, parts[1], 2)
		}
	}
	d := svgOf(t, v.Write)
	assert.Contains(t, d.texts, "Seed 1, 1,000 realizations at each point; bands are 95 % intervals; no such layout at 1 of 5 points")

	none := made(t, func(int, int) int64 { return -1 }, 3, 1)
	assert.ErrorContains(t, none.Write(io.Discard, SVG), "the can has no room for it")
}

func TestNoneIsABoundNotAPoint(t *testing.T) {
	v := made(t, func(i, _ int) int64 { return []int64{900, 20, 0, 0}[i] }, 4, 1)
	f := v.figure()
	for _, l := range f.panels[0].lines {
		require.Len(t, l.bounds, 2, l.name)
		assert.InDelta(t, 0.3, l.bounds[0].y, 1e-9)
		require.Len(t, runs(l.points), 1)
	}
	assert.Len(t, runs(f.panels[0].bands[0].high), 2, "the band goes on to the first bound and no further")
	assert.Contains(t, svgOf(t, v.Write).texts, "in none of the realizations: no more than this")
}

func TestTheLimitIsSeen(t *testing.T) {
	small := made(t, func(i, _ int) int64 { return []int64{900, 20}[i] }, 2, 1).figure().panels[0]
	assert.True(t, small.y.log)
	assert.Greater(t, small.y.share(1), 0.1)
	large := made(t, func(i, _ int) int64 { return []int64{30, 10}[i] }, 2, 1).figure().panels[0]
	assert.False(t, large.y.log)
	assert.Greater(t, large.y.share(1), 0.1)
}

func TestTwoInputs(t *testing.T) {
	v := made(t, func(i, j int) int64 { return int64(900/(i+1) - 20*j) }, 4, 9)
	f := v.figure()
	require.Len(t, f.panels, 2)
	for _, p := range f.panels {
		require.Len(t, p.lines, mostCurves)
		var names []string
		for _, l := range p.lines {
			names = append(names, l.name)
		}
		assert.Equal(t, []string{"0 kPa", "0.2 kPa", "0.3 kPa", "0.5 kPa", "0.6 kPa", "0.8 kPa"}, names)
	}
	assert.InDelta(t, 100*float64(900/2-20*5)/1000, f.panels[0].lines[3].points[1].y, 1e-9, "second fall, sixth opening pressure")
	assert.InDelta(t, 10*1-20-5*5, f.panels[1].lines[3].points[1].y, 1e-9)
	d := svgOf(t, v.Write)
	for _, text := range []string{"0 kPa", "0.8 kPa", "Chance of overflow or choked drain within 25 min, %, by drain.valve_opens_at (logarithmic)"} {
		assert.Contains(t, d.texts, text)
	}
	assert.True(t, strings.Contains(d.source, "6 of 9 values of drain.valve_opens_at shown"))

	alike := made(t, func(i, _ int) int64 { return int64(900 / (i + 1)) }, 4, 3).figure()
	require.Len(t, alike.panels[0].lines, 1)
	assert.Equal(t, "at every drain.valve_opens_at", alike.panels[0].lines[0].name)
	assert.Len(t, alike.panels[1].lines, 3)
}

// TestCurvesAreToldApartWithoutColour holds every two styles apart by dash or marker.
func TestCurvesAreToldApartWithoutColour(t *testing.T) {
	require.GreaterOrEqual(t, len(curveStyles), mostCurves)
	for i, a := range curveStyles {
		for _, b := range curveStyles[:i] {
			assert.NotEqual(t, a.marker, b.marker)
		}
	}
}

func TestAVariationThatCannotBeDrawn(t *testing.T) {
	v := made(t, func(int, int) int64 { return 5 }, 3, 1)
	v.Variation.Points = v.Variation.Points[:2]
	assert.Error(t, v.Write(io.Discard, SVG))
	v.Variation.Axes = nil
	assert.Error(t, v.Write(io.Discard, SVG))
}

// TestOneValue draws an axis without width.
func TestOneValue(t *testing.T) {
	svgOf(t, made(t, func(int, int) int64 { return 5 }, 1, 1).Write)
}

// TestPictures writes pictures to look at, where the environment names a folder.
func TestPictures(t *testing.T) {
	folder := os.Getenv("PICTURES")
	if folder == "" {
		t.Skip("PICTURES names no folder")
	}
	pictures := map[string]interface {
		Write(io.Writer, Format) error
	}{}
	for system, suffix := range map[units.System]string{units.Metric: "", units.US: "-us"} {
		for name, realization := range map[string]uint64{"sealed-drain": 8912, "lost-circuit": 5147, "sealed-can": 13056} {
			r := replayed(t, name, realization, 1)
			r.Units = system
			pictures[name+suffix] = r
			r = replayed(t, name, realization, 1, scenarios.Change{Path: "sessions", Value: "[12 min]"})
			r.Units = system
			pictures[name+"-short"+suffix] = r
		}
		fall := fallAxis(0.02, 0.04, 0.06, 0.08, 0.1, 0.12, 0.14, 0.16)
		opens := decide.Axis{Path: "drain.valve_opens_at", Dimension: units.Pressure, Values: []float64{0, 200, 400, 600}}
		pictures["fall"+suffix] = Variation{varied(t, "sealed-drain", fall), system}
		pictures["fall-valve"+suffix] = Variation{varied(t, "sealed-drain", fall, opens), system}
	}
	for name, p := range pictures {
		for _, format := range []Format{SVG, PNG} {
			file, err := os.Create(folder + "/" + name + "." + string(format))
			require.NoError(t, err)
			require.NoError(t, p.Write(file, format))
			require.NoError(t, file.Close())
		}
		file, err := os.Open(folder + "/" + name + ".png")
		require.NoError(t, err)
		_, err = png.Decode(file)
		require.NoError(t, err)
		require.NoError(t, file.Close())
	}
}
