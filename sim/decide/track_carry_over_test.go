package decide_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/sim/decide"
	"sumpward/sim/internal/still"
)

const overTheRoad = "{oil_used: 1 L, during: {distance: 5000 km}, through_breathers: 20 .. 60 %, mist: 0 g/m3, flow_exponent: 2, corner_share: 0 %}"

func onTheRoad(t *testing.T, more ...scenarios.Change) *scenarios.Scenario {
	return still.Read(t, sealed, append([]scenarios.Change{
		{Path: "carry_over", Value: overTheRoad}, {Path: "sessions", Value: "[10 min]"}, {Path: "limits.risk", Value: "5 %"},
	}, more...)...)
}

// A can of an uncertain volume V meets the limit up to the carry-over that fills its
// lowest twentieth in the session,
//
//	m = ρ V(5 %) / T.
//
// Derived; the flow is at full throttle throughout.
func TestTrackCarryOverAgainstTheClosedForm(t *testing.T) {
	s := onTheRoad(t, scenarios.Change{Path: "separator.usable_volume", Value: "0.1 .. 0.2 L"})
	require.True(t, decide.TrackUnread(s))
	d := dependence(t, s)
	require.NotNil(t, d.Track)
	assert.True(t, d.DependsOnTrack())
	assert.True(t, d.Depends())
	want := density * s.Separator.UsableVolume.Distribution.Quantile(0.05) / 600
	tip := d.Track.Tipping
	t.Logf("exact %.5g kg/s, found %.5g (%.5g to %.5g)", want, tip.Value, tip.Low, tip.High)
	assert.InEpsilon(t, want, tip.Value, 0.02)
	assert.LessOrEqual(t, tip.Low, want)
	assert.GreaterOrEqual(t, tip.High, want)
	assert.Less(t, tip.High-tip.Low, 0.1*want)
	assert.True(t, tip.KeptBelow)
	assert.Zero(t, tip.Contrary)
	assert.Zero(t, d.Track.AtFrom.Probability)
	assert.Equal(t, 1.0, d.Track.AtTo.Probability)
}

// Correlations of the reading go with it, others stay; what else is known of the oil
// carried over stays as it is drawn.
func TestTrackCarryOverLeavesTheReadingOut(t *testing.T) {
	s := onTheRoad(t,
		scenarios.Change{Path: "separator.usable_volume", Value: "0.1 .. 0.2 L"},
		scenarios.Change{Path: "separator.efficiency", Value: "40 .. 80 %"},
		scenarios.Change{Path: "carry_over.mist", Value: "1 x/ 2 g/m3"},
		scenarios.Change{Path: "correlations", Value: "[{between: [carry_over.through_breathers, separator.usable_volume], rank: 0.8}, {between: [carry_over.mist, separator.efficiency], rank: 0.5}]"})
	d := dependence(t, s)
	require.NotNil(t, d.Track)
	// mist at its median and 60 % caught adds 1 g/m3 * 90 L/min * 0.6 = 0.9 mg/s
	assert.InEpsilon(t, density*s.Separator.UsableVolume.Distribution.Quantile(0.05)/600, d.Track.Tipping.Value, 0.03)
}

func TestTrackCarryOverThatDecidesNothing(t *testing.T) {
	huge := dependence(t, onTheRoad(t, scenarios.Change{Path: "separator.usable_volume", Value: "50 L"}, scenarios.Change{Path: "separator.cross_section", Value: "4000 cm2"}))
	require.NotNil(t, huge.Track)
	assert.True(t, huge.Track.Keeps(0.05), "20 g/s for 10 min is 15 L")
	assert.False(t, huge.DependsOnTrack())

	tiny := dependence(t, onTheRoad(t, scenarios.Change{Path: "separator.usable_volume", Value: "1 mL"}, scenarios.Change{Path: "separator.cross_section", Value: "1 cm2"}))
	require.NotNil(t, tiny.Track)
	assert.True(t, tiny.Track.Breaks(0.05), "0.005 g/s for 10 min is 3.6 mL")
	assert.False(t, tiny.DependsOnTrack())
}

// On roads a reading over a road interval stands for itself.
func TestRoadReadingOnRoads(t *testing.T) {
	pattern := func(share string) *scenarios.Scenario {
		return onTheRoad(t, scenarios.Change{Path: "duty", Value: "{pattern: {full_throttle: " + share + ", burst: 4 s}}"})
	}
	assert.False(t, decide.TrackUnread(pattern("1 .. 4 %")), "no more than over the interval, 1 .. 4 %")
	assert.True(t, decide.TrackUnread(pattern("40 %")))
	assert.True(t, decide.TrackUnread(onTheRoad(t)), "a lap")
	assert.False(t, decide.TrackUnread(still.Read(t, sealed)), "given at full throttle")
	assert.Nil(t, dependence(t, still.Read(t, sealed)).Track)
}
