package decide_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"sumpward/scenarios"
	"sumpward/scenarios/uncertainty"
	"sumpward/sim"
	"sumpward/sim/decide"
	"sumpward/sim/internal/still"
)

func settle(t *testing.T, s *scenarios.Scenario) *decide.Settlement {
	t.Helper()
	d := dependence(t, s)
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	st, err := decide.Settle(context.Background(), m, d, sim.Options{}, decide.Tests()...)
	require.NoError(t, err)
	for _, x := range st.Tests {
		t.Logf("%s %s %s: tips %v at %.5g (%.5g .. %.5g), decides %.4f; now %.3f, left %.3f, at worst %.3f",
			x.Test.Name, x.Reading.Of, x.Inputs[0].Path, x.Tips, x.Tipping.Value, x.Tipping.Low, x.Tipping.High, x.Decides, x.Now, x.Left, x.AtWorst)
		assert.LessOrEqual(t, x.Left, x.AtWorst+1e-9)
		assert.LessOrEqual(t, x.AtWorst, x.Now+1e-9)
		assert.GreaterOrEqual(t, x.Decides, 0.0)
		assert.LessOrEqual(t, x.Decides, 1.0)
	}
	return st
}

func testOf(t *testing.T, st *decide.Settlement, name string) decide.Settling {
	t.Helper()
	for _, x := range st.Tests {
		if x.Test.Name == name {
			return x
		}
	}
	t.Fatalf("no test %s", name)
	return decide.Settling{}
}

// gasAlone is what the drain must beat at full throttle but for valve and port, Pa.
func gasAlone(t *testing.T, s *scenarios.Scenario) float64 {
	t.Helper()
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	full, err := m.FullThrottle()
	require.NoError(t, err)
	return full.Crankcase - full.Can
}

// chokeHead is the pressure, Pa, of the fall and of oil at the choke level over it.
func chokeHead(fall float64) float64 { return density * 9.80665 * (fall + 0.1*0.15e-3/44e-4) }

// The valve tips where the column is as tall as the fall; a syringe reads it to 10 Pa.
// The share of readings that decide is that of a uniform law, less what lies within
// 1.96 errors of the tipping value: (200 - 2 * 19.6)/200, less its interval of 2 Pa.
func TestAReadingOfTheValve(t *testing.T) {
	s := held(t, "0.2 .. 0.4 kPa", "100 mm")
	st := settle(t, s)
	x := testOf(t, st, "valve")
	assert.True(t, x.Tips)
	assert.InDelta(t, chokeHead(0.1)-gasAlone(t, s), x.Tipping.Value, 1.5)
	assert.InDelta(t, (200-2*19.6)/200, x.Decides, 0.015)
	assert.InDelta(t, 1, x.Now, 1e-9, "none below, all above")
	assert.Equal(t, st.Tests[0].Test.Name, "valve")
	assert.Empty(t, st.Without)
	assert.Nil(t, st.Strongest)
}

// A loss that tips: the U-tube at full throttle tips at the head of the fall less the
// valve, whatever the pressure comes from, and decides but for 1.96 * 30 Pa to either
// side. Derived.
func TestAUTubeReadsThePressureItself(t *testing.T) {
	s := held(t, "0.3 kPa", "100 mm",
		scenarios.Change{Path: "separator.pressure_loss.loss", Value: "0.5 .. 1.1 kPa"},
		scenarios.Change{Path: "engine.pulsation", Value: "0 .. 20 %"})
	st := settle(t, s)
	x := testOf(t, st, "pressure")
	require.Equal(t, decide.PressureReading, x.Reading.Of)
	want := chokeHead(0.1) - 300
	assert.True(t, x.Tips)
	assert.InDelta(t, want, x.Tipping.Value, 2.5, "200 draws span the range; it is searched to 1 Pa")
	var paths []string
	for _, q := range x.Inputs {
		paths = append(paths, q.Path)
	}
	assert.ElementsMatch(t, []string{"engine.pulsation", "separator.pressure_loss.loss"}, paths)
	low, high := gasAlone(t, change(t, s, "separator.pressure_loss.loss", 500)), gasAlone(t, change(t, s, "separator.pressure_loss.loss", 1100))
	assert.InDelta(t, 1-2*1.96*30/(high-low), x.Decides, 0.04, "a uniform law, but for the pulsation's part")
	bench := testOf(t, st, "separator")
	assert.Equal(t, "separator.pressure_loss.loss", bench.Inputs[0].Path)
}

// Where the greatest pressure that is to be expected only just breaks the limit, no
// reading tells for sure that it does: with the port drawn in ±20 Pa and the head
// 7.6 Pa above the greatest pressure the chance is (20 - 7.6)/40 there, 31 %, above the
// limit of 20 %, and about 22 % where 97.5 % of pressures lie below.
func TestAReadingThatOnlyJustBreaksDecidesOneWayOnly(t *testing.T) {
	s := held(t, "0.3 kPa", "100 mm",
		scenarios.Change{Path: "separator.pressure_loss.loss", Value: "0.5 .. 0.8 kPa"},
		scenarios.Change{Path: "drain.port_pressure", Value: "-20 .. 20 Pa"},
		scenarios.Change{Path: "limits.risk", Value: "20 %"})
	greatest := gasAlone(t, change(t, s, "separator.pressure_loss.loss", 800))
	s = change(t, s, "drain.fall", (greatest+7.6+300)/(density*9.80665)-0.1*0.15e-3/44e-4)
	st := settle(t, s)
	x := testOf(t, st, "pressure")
	require.True(t, x.Tips)
	assert.True(t, math.IsInf(x.Tipping.High, 1))
	assert.False(t, math.IsInf(x.Tipping.Low, 0))
	assert.Greater(t, x.Decides, 0.4, "that it keeps the limit")
	bench := testOf(t, st, "separator")
	assert.False(t, math.IsInf(bench.Tipping.High, 0))
}

func change(t *testing.T, s *scenarios.Scenario, path string, value float64) *scenarios.Scenario {
	t.Helper()
	c, err := decide.Changed(s, path, value)
	require.NoError(t, err)
	return c
}

// The can holds the oil of a session or it doesn't: weighing tips at the can's volume,
// as large as it is at 15 °C.
func TestWeighingTipsAtTheCansVolume(t *testing.T) {
	s := still.Read(t, sealed,
		scenarios.Change{Path: "carry_over", Value: "{oil_used: 0.15 x/ 1.5 L, during: 40 min, through_breathers: 60 .. 100 %, mist: 0 g/m3, flow_exponent: 2, corner_share: 0 %}"},
		scenarios.Change{Path: "limits.risk", Value: "20 %"}, scenarios.Change{Path: "sessions", Value: "[40 min]"})
	st := settle(t, s)
	x := testOf(t, st, "weigh")
	require.Equal(t, decide.OilReading, x.Reading.Of)
	assert.True(t, x.Tips)
	want := 0.15e-3 * density / 870
	assert.InDelta(t, want, x.Tipping.Value, 0.01*want)
	assert.True(t, x.Tipping.KeptBelow)
}

// The same, read over a road interval or under another separator: what is weighed on
// track tips where it did.
func TestWeighingTakesTheReadingsPlace(t *testing.T) {
	for _, carry := range []string{
		"{oil_used: 0.5 x/ 1.5 L, during: {distance: 3000 .. 5000 km, mean_speed: 60 km/h, full_throttle: 1 .. 4 %}, mist: 0 g/m3, corner_share: 0 %}",
		"{oil_used: 0.05 x/ 1.5 L, during: 40 min, separator_lost: 20 .. 60 %, mist: 0 g/m3, corner_share: 0 %}",
	} {
		s := still.Read(t, sealed, scenarios.Change{Path: "carry_over", Value: carry},
			scenarios.Change{Path: "limits.risk", Value: "20 %"}, scenarios.Change{Path: "sessions", Value: "[40 min]"})
		x := testOf(t, settle(t, s), "weigh")
		assert.True(t, x.Tips, carry)
		assert.InEpsilon(t, 0.15e-3*density/870, x.Tipping.Value, 0.02, carry)
	}
}

// Of two inputs that only tip together each decides on one side alone: the valve from
// its low end up to where the port at its highest no longer breaks the limit.
// With v + p to stay below S, v decides below S - 100 Pa, p below S - 400 Pa. Derived.
func TestOneOfAPairDecidesOnOneSide(t *testing.T) {
	s := held(t, "0.2 .. 0.4 kPa", "100 mm", scenarios.Change{Path: "drain.port_pressure", Value: "-100 .. 100 Pa"}, scenarios.Change{Path: "limits.risk", Value: "30 %"})
	const sum = 500 - 0.08*400 // Pa
	fall := (gasAlone(t, s)+sum)/(density*9.80665) - 0.1*0.15e-3/44e-4
	s = change(t, s, "drain.fall", fall)
	st := settle(t, s)
	require.NotEmpty(t, st.Pairs)
	valve, port := testOf(t, st, "valve"), testOf(t, st, "port")
	assert.InDelta(t, sum-100, valve.Tipping.Value, 2)
	assert.InDelta(t, sum-400, port.Tipping.Value, 2)
	assert.InDelta(t, (sum-100-19.6-200)/200, valve.Decides, 0.015)
	assert.InDelta(t, (sum-400-19.6+100)/200, port.Decides, 0.015)
	require.Len(t, valve.Against, 1)
	assert.Equal(t, "drain.port_pressure", valve.Against[0].Path)
	assert.Equal(t, "valve", st.Tests[0].Test.Name, "as much for a third of the minutes")
}

// Three inputs of which any two tip the verdict: the drain is held from v + p + g = S
// on, v in 200 .. 400 Pa, p in ±100 Pa, the gas's g in ±60 Pa about its middle. With p
// at its end v tips where a share of the limit of g is beyond; with g at its end,
// where as much of p is. What one reading decides holds against both. Derived:
//
//	limit 30 %, S = 490: v* = min(490 - 100 - 24, 490 - 60 - 40), decides below
//	limit 70 %, S = 110: v* = max(110 + 100 + 24, 110 + 60 + 40), decides above
func TestOneOfThreeDecidesAgainstEachOfTheOthers(t *testing.T) {
	for _, x := range []struct {
		limit            string
		sum, valve, port float64
		decides          float64
	}{
		{"30 %", 490, 366, 66, (366 - 19.6 - 200) / 200},
		{"70 %", 110, 234, -66, (400 - 234 - 19.6) / 200},
	} {
		s := held(t, "0.2 .. 0.4 kPa", "100 mm", scenarios.Change{Path: "drain.port_pressure", Value: "-100 .. 100 Pa"}, scenarios.Change{Path: "limits.risk", Value: x.limit})
		const loss = "separator.pressure_loss.loss"
		g := gasAlone(t, s)
		slope := (gasAlone(t, change(t, s, loss, 900)) - g) / 100
		spread, err := uncertainty.Uniform(800-60/slope, 800+60/slope)
		require.NoError(t, err)
		s = must(t)(s.With(scenarios.Change{Path: loss, Value: spread}))
		s = change(t, s, "drain.fall", (g+x.sum)/(density*9.80665)-0.1*0.15e-3/44e-4)
		st := settle(t, s)
		assert.Len(t, st.Pairs, 3, x.limit)
		valve, port := testOf(t, st, "valve"), testOf(t, st, "port")
		assert.Len(t, valve.Against, 2)
		assert.InDelta(t, x.valve, valve.Tipping.Value, 6, "a share of 1,000 stratified draws of ±60 Pa")
		assert.InDelta(t, x.port, port.Tipping.Value, 6)
		pressure := testOf(t, st, "pressure") // with either of the two others it tips 50 Pa off its middle
		assert.InDelta(t, g+math.Copysign(50, x.sum-300), pressure.Tipping.Value, 6)
		assert.Len(t, pressure.Against, 2)
		assert.InDelta(t, x.decides, valve.Decides, 0.08, "less the interval of the tipping value")
		assert.LessOrEqual(t, valve.Decides, x.decides+0.03)
	}
}

// Where nothing tips the strongest input comes first, and nothing where none moves
// the chance.
func TestNothingToSettle(t *testing.T) {
	st := settle(t, held(t, "0.2 .. 0.4 kPa", "200 mm"))
	assert.Nil(t, st.Strongest)
	assert.Empty(t, st.Tests)
	s := still.Read(t, sealed,
		scenarios.Change{Path: "carry_over.full_throttle", Value: "{value: 0.1 x/ 1.8221188 g/s, basis: measured}"},
		scenarios.Change{Path: "oil.aeration", Value: "5 .. 35 %"})
	st = settle(t, s)
	assert.False(t, st.Depends(), "it breaks 1 % wherever the aeration lies")
	require.NotNil(t, st.Strongest)
	assert.Equal(t, "oil.aeration", st.Strongest.Input.Path)
	require.Len(t, st.Tests, 1)
	x := st.Tests[0]
	assert.Equal(t, "sample", x.Test.Name)
	assert.Zero(t, x.Decides)
	assert.Less(t, x.Left, x.Now/2)
	assert.InDelta(t, failsAt(0.35)-failsAt(0.05), x.Now, 0.06, "four standard errors of 1,000 and the closed form")
}

// failsAt is the chance that the sealed can of 0.15 L overflows in 20 min with a share
// of gas in the oil. Exact mathematics.
func failsAt(aeration float64) float64 {
	holds := 0.15e-3 * density * (1 - aeration) // kg
	return distuv.UnitNormal.CDF(math.Log(1200*1e-4/holds) / 0.6)
}

// Blow-by that follows from the engine is read as one flow.
func TestAFlowMeterReadsWhatBlowByFollowsFrom(t *testing.T) {
	s := held(t, "0.3 kPa", "100 mm", scenarios.Change{Path: "engine", Value: "{displacement: 2.2 L, boost: 0.9 .. 1.1 bar, wear: 1, blow_by_law: 14 .. 22 L/min, shaft_seals: 1, gas_temperature: 90 C, intake_depression: 3 kPa, pulsation: 0, closed_throttle_per_litre: 0 L/min}"})
	st := settle(t, s)
	x := testOf(t, st, "blow-by")
	require.Equal(t, decide.BlowByReading, x.Reading.Of)
	assert.True(t, x.Tips)
	// at the tipping flow the pressure is the head of the fall less the valve
	at := gasAlone(t, must(t)(s.With(scenarios.Change{Path: "engine.blow_by.full_throttle", Value: x.Tipping.Value})))
	assert.InDelta(t, chokeHead(0.1)-300, at, 3)
	assert.False(t, math.IsNaN(x.Decides))
}

func must(t *testing.T) func(*scenarios.Scenario, error) *scenarios.Scenario {
	return func(s *scenarios.Scenario, err error) *scenarios.Scenario {
		t.Helper()
		require.NoError(t, err)
		return s
	}
}
