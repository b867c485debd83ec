package main

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/interview"
	"sumpward/scenarios/preset"
	"sumpward/scenarios/uncertainty"
	"sumpward/sim"
)

// Made cars, and realizations behind the band that is stated of each.
const (
	madeCars   = 300
	bandedFrom = 500
)

// The bands stated from rough numbers cover the truth of a car as often as they
// say. A made car is one of which all that a preset leaves open is drawn, apart from
// the simulator's own draws; its truth is the car simulated with just these inputs
// and a lap luck of its own. Engines, uses and ways back take turns.
//
// The number of cars covered is binomial, so within four standard errors of what is
// stated; a band from n realizations adds a variance of p(1 - p)/n for each edge.
func TestBandsCoverMadeCars(t *testing.T) {
	if testing.Short() {
		t.Skip("hundreds of cars")
	}
	r := rand.New(rand.NewPCG(4, 300))
	type stated struct {
		scenario *scenarios.Scenario
		band     *sim.Result
	}
	kinds := map[int]stated{}
	var fill, stands, over tally
	for i := range madeCars {
		kind := i % (len(preset.EngineNames()) * len(preset.UseNames()))
		k, ok := kinds[kind]
		if !ok {
			k.scenario = madeOf(t, kind)
			k.band = realized(t, k.scenario, 1, bandedFrom)
			kinds[kind] = k
		}
		band, truth := k.band, realized(t, exactly(t, k.scenario, r), 1000+uint64(i), 1)

		edge, peak := band.Sessions[0].PeakFill.P95, truth.Sessions[0].PeakFill.P50
		if edge < 1 { // a full can is full: nothing lies above
			fill.count(peak <= edge, 0.95)
		}
		if band.ToStand.P05 > 0 && band.ToStand.P05 < sim.HandHorizon { // else there is no edge
			stands.count(truth.ToStand.P50 >= band.ToStand.P05, 0.95)
		}
		if band.ToOver.P05 < sim.HandHorizon {
			over.count(truth.ToOver.P50 >= band.ToOver.P05, 0.95)
		}
	}
	fill.check(t, "peak fill below its 95 % quantile", madeCars/2)
	stands.check(t, "full throttle until oil stands in the can above its 5 % quantile", madeCars/2)
	over.check(t, "full throttle until oil goes over above its 5 % quantile", madeCars/2)
}

// tally counts how often a band covered the truth.
type tally struct{ n, covered, expected, variance float64 }

func (c *tally) count(covered bool, stated float64) {
	c.n++
	if covered {
		c.covered++
	}
	c.expected += stated
	c.variance += stated * (1 - stated) * (1 + 1.0/bandedFrom)
}

func (c *tally) check(t *testing.T, what string, atLeast float64) {
	t.Helper()
	t.Logf("%s: %.0f of %.0f, %.1f expected, standard error %.1f", what, c.covered, c.n, c.expected, math.Sqrt(c.variance))
	assert.GreaterOrEqual(t, c.n, atLeast, what)
	assert.InDelta(t, c.expected, c.covered, 4*math.Sqrt(c.variance), what)
}

// madeOf is what is told of a made car: its engine and use, in turn, and a way back.
func madeOf(t *testing.T, kind int) *scenarios.Scenario {
	t.Helper()
	engines, uses := preset.EngineNames(), preset.UseNames()
	ways := []string{"block breather, valve", "block breather, plain hose", "by hand"}
	engine, use := kind%len(engines), kind/len(engines)
	a := interview.Answers{}
	var err error
	for _, answer := range []interview.Answer{
		{Question: "use", Text: uses[use]}, {Question: "engine", Text: engines[engine]}, {Question: "return", Text: ways[(engine+use)%len(ways)]},
	} {
		a, err = a.With(answer.Question, answer.Text)
		require.NoError(t, err)
	}
	data, err := a.File()
	require.NoError(t, err)
	s, err := scenarios.Parse("made", data, nil)
	require.NoError(t, err)
	s, err = s.With(scenarios.Change{Path: "sessions", Value: "[10 min]"}) // longer ones only take longer
	require.NoError(t, err)
	return s
}

// exactly draws all that a scenario leaves open, and returns it with just these
// values. A reading that is written as exact is taken as no better than readings
// are, so a draw is written as a range too narrow to matter.
func exactly(t *testing.T, s *scenarios.Scenario, r *rand.Rand) *scenarios.Scenario {
	t.Helper()
	var changes []scenarios.Change
	for _, q := range s.Inputs {
		if q.IsExact() {
			continue
		}
		v := q.Distribution.Quantile(r.Float64())
		narrow := max(1e-9*math.Abs(v), 1e-12)
		d, err := uncertainty.Uniform(v-narrow, v+narrow)
		require.NoError(t, err)
		changes = append(changes, scenarios.Change{Path: q.Path, Value: d})
	}
	made, err := s.With(changes...)
	require.NoError(t, err)
	return made
}

func realized(t *testing.T, s *scenarios.Scenario, seed uint64, n int) *sim.Result {
	t.Helper()
	res, err := sim.Run(context.Background(), s, sim.Options{Seed: &seed, Realizations: n})
	require.NoError(t, err)
	return res
}
