package report

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
	"sumpward/sim/stats"
)

// readOnTheRoad is a scenario whose oil was read over a road interval.
func readOnTheRoad(t *testing.T) *scenarios.Scenario {
	t.Helper()
	return ready(t, "sealed-drain", short, scenarios.Change{Path: "correlations"},
		scenarios.Change{Path: "carry_over", Value: "{oil_used: 1 L, during: {distance: 6000 km}}"})
}

// tracked is a dependence by hand on the carry-over on track.
func tracked(t *testing.T) *decide.Dependence {
	t.Helper()
	d := rested(t)
	d.Scenario, d.Inputs = readOnTheRoad(t), nil
	d.Session, d.Length = 0, 900
	d.Track = &decide.TrackCarryOver{
		From: 5e-6, To: 20e-3, AtFrom: stats.Estimate{High: 0.001}, AtTo: stats.Estimate{Probability: 1, Low: 0.999, High: 1},
		Tipping: decide.TippingValue{Value: 0.21e-3, Low: 0.19e-3, High: 0.24e-3, KeptBelow: true},
	}
	return d
}

const onTrackVerdict = "Whether a 15 min session meets the limit of 1 % depends on the carry-over on track, which a reading over a road interval does not tell: " +
	"met below 0.21 g/s of liquid oil at full throttle (0.19 g/s to 0.24 g/s). " +
	"To read it, weigh what a sealed can catches in one session (sumpward measure --sheet weigh prints what to do)."

func TestVerdictOnARoadReading(t *testing.T) {
	d := tracked(t)
	words := dependence{d, units.Metric}
	assert.Equal(t, onTrackVerdict, words.verdict())

	valve := d.Scenario.Input("drain.valve_opens_at")
	oil := d.Scenario.Input("carry_over.oil_used")
	for _, q := range []*scenarios.Quantity{valve, oil} {
		d.Inputs = append(d.Inputs, decide.InputDependence{Input: q, Tips: true, Tipping: decide.TippingValue{Value: 340, Low: 335, High: 344, KeptBelow: true}})
	}
	assert.Equal(t, onTrackVerdict+" With the road reading, carried to the track by the law of flow, it depends on the cracking pressure of the drain's valve: met below 0.34 kPa (0.335 kPa to 0.344 kPa).", words.verdict())
	assert.Contains(t, words.band(), "With the road reading, carried to the track by the law of flow: depending on what is not measured, ")

	r := Run{Result: ran(t, d.Scenario), Dependence: d}
	text := written(t, r, Text)
	fits(t, text)
	assert.Contains(t, oneLine(text), "its 95 % interval from sampling alone; carry-over is the road reading, carried to the track by the law of flow session ")
	assert.Contains(t, r.verdict(), " With all inputs drawn, carry-over being the road reading, carried to the track by the law of flow: in ")
	r.Dependence = nil
	assert.Contains(t, r.verdict(), " meets the limit of 1 % depends on the carry-over on track, which a reading over a road interval does not tell. To read it, weigh what")
	assert.NotContains(t, Run{Result: ran(t, ready(t, "sealed-drain", short))}.verdict(), "road")
}

func TestTrackTippingInWords(t *testing.T) {
	d := tracked(t)
	tip := &d.Track.Tipping
	for want, is := range map[string]decide.TippingValue{
		"below 0.21 g/s of liquid oil at full throttle (0.19 g/s to 0.24 g/s)":                             {Value: 0.21e-3, Low: 0.19e-3, High: 0.24e-3},
		"below 0.0061 g/s of liquid oil at full throttle (up to 0.007 g/s)":                                {Value: 0.0061e-3, Low: 0, High: 0.007e-3},
		"below 0.21 g/s of liquid oil at full throttle":                                                    {Value: 0.21e-3, Low: 0.21e-3, High: 0.21e-3},
		"below 15 g/s of liquid oil at full throttle for sure; up to 20 g/s these realizations can't tell": {Value: math.NaN(), Low: 15e-3, High: math.NaN()},
		"at no more than 0.005 g/s of liquid oil at full throttle, if at all":                              {Value: math.NaN(), Low: 0, High: math.NaN()},
	} {
		*tip = is
		assert.Equal(t, want, TrackTipping(d.Track, units.Metric))
	}
}

// What holds with any carry-over on track is told though it was read on the road.
func TestRoadReadingThatMakesNoDifference(t *testing.T) {
	d := tracked(t)
	d.Inputs = []decide.InputDependence{{Input: d.Scenario.Input("drain.fall")}}
	d.Track.AtTo = stats.Estimate{High: 0.004}
	assert.False(t, d.Depends())
	assert.Contains(t, dependence{d, units.Metric}.verdict(), " On track it is met with any carry-over from 0.005 g/s to 20 g/s of liquid oil at full throttle, all else drawn: that it was read over a road interval makes no difference.")
	d.Track.AtFrom = stats.Estimate{Probability: 0.5, Low: 0.4, High: 0.6}
	d.Track.AtTo = stats.Estimate{Probability: 1, Low: 0.99, High: 1}
	assert.Contains(t, dependence{d, units.Metric}.verdict(), " On track it is not met with any carry-over ")
}

func TestRequirementOnARoadReading(t *testing.T) {
	res := made(t, sim.Sealed, 5000, sim.Events{Overflow: 45, Fails: 45})
	r, err := ParseRequirement("overflow < 1 %")
	require.NoError(t, err)
	checked := r.Check(res)
	require.Equal(t, Undecided, checked.Outcome)
	d := tracked(t)
	depends := checked.DependsOn(d)
	assert.Equal(t, Depends, depends.Outcome)
	assert.Contains(t, depends.Text(units.Metric), "depends on the carry-over on track")
	d.Track.AtTo = stats.Estimate{High: 0.004}
	kept := checked.DependsOn(d)
	assert.Equal(t, Met, kept.Outcome)
	assert.Equal(t, "overflow < 1 %: met with any carry-over on track (0.9 %, 0.7 .. 1.2 % with the road reading, carried to the track by the law of flow)", kept.Text(units.Metric))
	d.Track.AtFrom = stats.Estimate{Probability: 0.5, Low: 0.4, High: 0.6}
	d.Track.AtTo = stats.Estimate{Probability: 1, Low: 0.99, High: 1}
	assert.Equal(t, NotMet, checked.DependsOn(d).Outcome)
	assert.Equal(t, Depends, checked.Unread().Outcome)
	assert.Equal(t, "overflow < 1 %: depends on the carry-over on track, which a reading over a road interval does not tell (0.9 %, 0.7 .. 1.2 % with the road reading, carried to the track by the law of flow)", checked.Unread().Text(units.Metric))
}

func TestAskOnARoadReading(t *testing.T) {
	r := askedOf(t, "sealed-drain", decide.Dependence{Chance: none, Low: none, High: none})
	r.Result.Scenario = readOnTheRoad(t)
	r.Dependence.Scenario, r.Dependence.Track = r.Result.Scenario, tracked(t).Track
	r.Unread = "oil used on the road says little of a session"
	text := oneLine(textOf(t, r))
	assert.Contains(t, text, "Depends on carry-over on track: oil used on the road says little of a session. With the road reading, carried to the track by the law of flow: the can overflows or its drain backs up in fewer than 4 of 1,000 simulated ")
	assert.Contains(t, text, "It keeps the limit of 1 % below 0.21 g/s of liquid oil at full throttle (0.19 g/s to 0.24 g/s): weigh what a sealed can catches in one session.")
	assert.NotContains(t, text, "That keeps")
	_, test := r.FindOut()
	assert.Equal(t, "weigh", test)
	assert.Contains(t, r.run().verdict(), "which a reading over a road interval does not tell: met below 0.21 g/s")
}

func TestTrackInJSON(t *testing.T) {
	var out struct {
		RestsOn struct {
			Depends bool
			Track   struct {
				Depends bool
				To      float64 `json:"to_kg_per_s"`
				Tipping struct {
					Value, Low, High float64
					Kept             string `json:"limit_kept"`
				}
			} `json:"carry_over_on_track"`
		} `json:"rests_on"`
	}
	require.NoError(t, json.Unmarshal([]byte(written(t, Run{Result: ran(t, readOnTheRoad(t)), Dependence: tracked(t)}, JSON)), &out))
	assert.True(t, out.RestsOn.Depends && out.RestsOn.Track.Depends)
	assert.Equal(t, []float64{20e-3, 0.21e-3, 0.19e-3, 0.24e-3}, []float64{out.RestsOn.Track.To, out.RestsOn.Track.Tipping.Value, out.RestsOn.Track.Tipping.Low, out.RestsOn.Track.Tipping.High})
	assert.Equal(t, "below", out.RestsOn.Track.Tipping.Kept)
}

// The whole of it, as a run finds it.
func TestRoadReadingIsFoundByARun(t *testing.T) {
	s := readOnTheRoad(t)
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	o := sim.Options{Realizations: 300, Keep: 300}
	res, err := m.Run(t.Context(), o)
	require.NoError(t, err)
	d, err := decide.DependsOn(t.Context(), m, res, decide.Question{Event: sim.Overflow, Limit: 0.5, Ends: 1}, o)
	require.NoError(t, err)
	require.True(t, d.DependsOnTrack())
	assert.Regexp(t, `^Whether a 15 min session meets the limit of 50 % for overflow depends on the carry-over on track, .*: met below [0-9.]+ g/s of liquid oil at full throttle`, dependence{d, units.Metric}.verdict())
}
