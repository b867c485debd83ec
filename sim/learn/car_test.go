package learn

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/observe"
	"sumpward/sim/sampling"
)

func ready(t *testing.T, name string, changes ...scenarios.Change) *scenarios.Scenario {
	t.Helper()
	s, err := scenarios.Ready(name)
	require.NoError(t, err)
	s, err = s.With(changes...)
	require.NoError(t, err)
	return s
}

// always is a sealed can at full throttle without end, whose carry-over alone is
// uncertain.
func always(t *testing.T, carriedOver string) *scenarios.Scenario {
	t.Helper()
	s := ready(t, "sealed-can",
		scenarios.Change{Path: "carry_over", Value: "{full_throttle: " + carriedOver + ", flow_exponent: 1}"},
		scenarios.Change{Path: "duty.log", Value: nil},
		scenarios.Change{Path: "duty.lap", Value: "[{for: 60 s, load: 100 %}]"},
		scenarios.Change{Path: "duty.lap_variation", Value: "0 %"},
		scenarios.Change{Path: "sessions", Value: "[30 min, 60 min, 90 min]"})
	var changes []scenarios.Change
	for _, q := range s.Inputs {
		if !q.IsExact() && q.Path != "carry_over.full_throttle" {
			changes = append(changes, scenarios.Change{Path: q.Path, Value: q.Nominal()})
		}
	}
	s, err := s.With(changes...)
	require.NoError(t, err)
	return s
}

// short is the ready-made sealed can with all its inputs, on a lap of three phases.
func short(t *testing.T) *scenarios.Scenario {
	t.Helper()
	return ready(t, "sealed-can",
		scenarios.Change{Path: "duty.log", Value: nil},
		scenarios.Change{Path: "duty.lap", Value: "[{for: 30 s, load: 100 %}, {for: 10 s, load: 0 %, forward: -1 g}, {for: 20 s, load: 50 %, left: 1 g}]"},
		scenarios.Change{Path: "sessions", Value: "[60 min]"})
}

func seenOf(observations ...scenarios.Observation) *scenarios.Seen {
	return &scenarios.Seen{Observations: observations}
}

func drained(after, volume, e float64) scenarios.Observation {
	return scenarios.Observation{Kind: scenarios.Drained, Over: []float64{after}, Value: volume, Error: e}
}

// What is drained from a sealed can after 20 min at full throttle is the carry-over
// times that time: a normal reading of a normal input. Its posterior, and the chance
// that 0.45 L overflow within 60 or 90 min, have closed forms.
func TestDrainedOilTellsOfCarryOver(t *testing.T) {
	const mean, sd, seconds, e = 0.1e-3, 0.02e-3, 1200., 3e-6
	s := always(t, "0.1 +- 0.02 g/s")
	density := s.Oil.Density.Nominal()
	seen := 130e-6
	l, err := Learn(context.Background(), s, seenOf(drained(seconds, seen, e)), Options{Seed: 6, Draws: 1500})
	require.NoError(t, err)
	a := seconds / density
	variance := 1 / (1/(sd*sd) + a*a/(e*e))
	exact := variance * (mean/(sd*sd) + a*seen/(e*e))
	require.NotEmpty(t, l.Levels)
	require.Len(t, l.Inputs, 1)
	in := l.Inputs[0]
	assert.Equal(t, "carry_over.full_throttle", in.Quantity.Path)
	assert.True(t, in.Told)
	assert.InDelta(t, exact, in.Mean, 4*in.Error)
	assert.Less(t, in.Error, 0.1*math.Sqrt(variance))
	assert.InEpsilon(t, exact-1.644854*math.Sqrt(variance), in.After.P05, 0.02)
	assert.InEpsilon(t, exact+1.644854*math.Sqrt(variance), in.After.P95, 0.02)
	assert.InDelta(t, mean-1.644854*sd, in.Before.P05, 0.01*mean)
	assert.InDelta(t, 1-math.Sqrt(variance)/sd, in.Narrower(), 0.06)
	assert.InDelta(t, 0.5*math.Erfc(-(exact-mean)/sd/math.Sqrt2), in.Place.P50, 0.03)
	off := (seen - a*mean) / math.Hypot(a*sd, e)
	assert.InDelta(t, -off*off/2-math.Log(math.Hypot(a*sd, e)*math.Sqrt(2*math.Pi)), l.LogEvidence, 4*l.LogEvidenceError+1e-3)
	require.Len(t, l.Readings, 1)
	assert.Equal(t, Fits, l.Readings[0].Fit())
	assert.InDelta(t, math.Erfc(math.Abs(seen-a*mean)/math.Hypot(a*sd, e)/math.Sqrt2), l.Readings[0].Rare, 0.02, "two sides of a normal")
	assert.False(t, l.Readings[0].IsRare())
	assert.InDelta(t, a*exact, l.Readings[0].Predicted, 4*a*in.Error)
	above := func(rate, m, v float64) float64 { return 0.5 * math.Erfc((rate-m)/math.Sqrt(2*v)) }
	require.Len(t, l.Sessions, 3)
	for _, session := range l.Sessions {
		assert.False(t, session.Drains)
		rate := overflowsFrom(t, s, session.Length)
		for _, x := range []struct {
			Chance
			exact float64
		}{{session.Before[Overflow], above(rate, mean, sd*sd)}, {session.After[Overflow], above(rate, exact, variance)}} {
			assert.InDelta(t, x.exact, x.Probability, 2*(x.High-x.Low)/2+0.01, "%g min: %g", session.Length/60, x.exact)
			assert.LessOrEqual(t, x.Low, x.Probability)
			assert.GreaterOrEqual(t, x.High, x.Probability)
			assert.Equal(t, x.Probability == 0, x.Events == 0)
		}
		assert.Equal(t, session.Before[Overflow], session.Before[OverflowOrChoked])
	}
	assert.Empty(t, l.Warnings)
}

// overflowsFrom is the carry-over from which the can overflows within a length, kg/s.
func overflowsFrom(t *testing.T, s *scenarios.Scenario, length float64) float64 {
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	single := m.Single()
	low, high := 1e-9, 1-1e-9
	for range 50 {
		middle := (low + high) / 2
		_, err := single.Settle([]float64{middle})
		require.NoError(t, err)
		out, err := single.Realize(1, 1, nil)
		require.NoError(t, err)
		if out.Overflow <= length {
			high = middle
		} else {
			low = middle
		}
	}
	return single.Value(0)
}

// What no draw comes near to is refused, and named; so is what doesn't go together.
func TestWhatCanHardlyBeIsRefused(t *testing.T) {
	s := always(t, "0.05 .. 0.15 g/s")
	learn := func(o ...scenarios.Observation) error {
		_, err := Learn(context.Background(), s, seenOf(o...), Options{Draws: 300})
		return err
	}
	var unfit *UnfitError
	require.NoError(t, learn(drained(1200, 215e-6, 3e-6)), "a little beyond what 0.15 g/s gives, 207 mL")
	err := learn(drained(1200, 100e-6, 3e-6), drained(1200, 230e-6, 3e-6))
	require.ErrorAs(t, err, &unfit)
	assert.Equal(t, 1, unfit.Index)
	assert.False(t, unfit.Together)
	assert.InEpsilon(t, 0.05e-3*1200/870, unfit.Low, 0.05)
	assert.InEpsilon(t, 0.15e-3*1200/870, unfit.High, 0.05)
	assert.InDelta(t, (230e-6-207e-6)/3e-6, unfit.Off, 1)
	assert.ErrorContains(t, err, "observation 2 (drained)")
	err = learn(drained(1200, 100e-6, 3e-6), drained(1200, 190e-6, 3e-6))
	require.ErrorAs(t, err, &unfit)
	assert.True(t, unfit.Together)
	assert.InDelta(t, 15, unfit.Off, 1, "each is 45 mL from the middle of both")
	yes := scenarios.Observation{Kind: scenarios.Overflew, Over: []float64{600}, Value: 1}
	require.ErrorAs(t, learn(yes), &unfit)
	assert.Equal(t, scenarios.Overflew, unfit.Observation.Kind)
	yes.Error = 0.02
	require.NoError(t, learn(yes), "it may have been seen wrongly")
	require.ErrorContains(t, learn(), "nothing was seen")
	_, err = Learn(context.Background(), always(t, "0.1 g/s"), seenOf(drained(1200, 130e-6, 3e-6)), Options{})
	require.ErrorContains(t, err, "no input of the scenario is uncertain")
}

// A reading that only its error lets in is told of as such.
func TestFits(t *testing.T) {
	for residual, want := range map[float64]Fit{0: Fits, -1.9: Fits, 2.5: Strained, -4: Misfit} {
		r := Reading{Observation: &scenarios.Observation{Kind: scenarios.Drained}, Residual: residual}
		assert.Equal(t, want, r.Fit())
	}
	for chance, want := range map[float64]Fit{0.9: Fits, 0.06: Fits, 0.02: Strained, 0.001: Misfit, 0: Misfit} {
		r := Reading{Observation: &scenarios.Observation{Kind: scenarios.Overflew}, Chance: chance}
		assert.Equal(t, want, r.Fit(), chance)
	}
}

// plainCan is a sealed can on a lap of three phases, as a file.
const plainCan = `scenario: 1
title: plain
engine: {displacement: 2.2 L, boost: 1.1 bar, condition: used}
carry_over: {oil_used: 0.25 +- 0.1 L, during: 20 min}
breathers: [{name: block, to: separator, bore: 16 mm, length: 500 mm}]
separator: {usable_volume: 0.45 L, diameter: 75 mm, outlet: {to: intake, bore: 19 mm}}
drain: {return: emptied_by_hand, emptied: every session}
duty:
  lap: [{for: 30 s, load: 100 %}, {for: 10 s, load: 0 %, forward: -1 g}, {for: 20 s, load: 50 %, left: 1 g}]
sessions: [60 min]
`

// A can and one reading: the two inputs that multiply to what is caught
// go together afterwards; workers change nothing; and what is written and read again
// overflows as often as was said.
func TestLearnedIsReadAgain(t *testing.T) {
	s, err := scenarios.Parse("car.yaml", []byte(plainCan), nil)
	require.NoError(t, err)
	seen := seenOf(drained(1500, 150e-6, 10e-6))
	o := Options{Seed: 3, Draws: 400, Workers: 1}
	l, err := Learn(context.Background(), s, seen, o)
	require.NoError(t, err)
	o.Workers = 3
	again, err := Learn(context.Background(), s, seen, o)
	require.NoError(t, err)
	assert.Equal(t, l.Inputs, again.Inputs)
	assert.Equal(t, l.Sessions, again.Sessions)
	require.NotEmpty(t, l.Pairs)
	first := []string{l.Pairs[0].First.Path, l.Pairs[0].Second.Path}
	assert.ElementsMatch(t, []string{"carry_over.oil_used", "carry_over.through_breathers"}, first)
	assert.Less(t, l.Pairs[0].After, -0.6)
	d := l.Drawn()
	assert.Contains(t, d.Measured, "carry_over.oil_used")
	assert.NotContains(t, d.Measured, "oil.density")
	d.File, d.From = "draws.csv", "seen.yaml"
	source, err := s.SourceWith(d.Block())
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, s.WriteLearned(&b, d))
	read, err := scenarios.Parse("car.yaml", source, func(name string) (io.ReadCloser, error) {
		return io.NopCloser(strings.NewReader(b.String())), nil
	})
	require.NoError(t, err)
	assert.Equal(t, scenarios.Measured, read.Input("carry_over.oil_used").Basis)
	assert.NotEqual(t, scenarios.Measured, read.Input("oil.density").Basis)
	res, err := sim.Run(context.Background(), read, sim.Options{Realizations: 1000})
	require.NoError(t, err)
	said, got := l.Sessions[0].After[Overflow], res.Sessions[len(res.Sessions)-1].Overflow
	assert.InDelta(t, said.Probability, got.Probability, 2*(said.HalfWidth()+got.HalfWidth()))
	relearned, err := Learn(context.Background(), read, seen, Options{Seed: 3, Draws: 400})
	require.NoError(t, err, "from draws one can learn on")
	assert.Len(t, relearned.Inputs, len(l.Inputs))
}

// Simulation-based calibration on the ready-made sealed can with all its inputs, on
// shorter laps: 50 cars drawn from it, each emptied once and read to 5 mL. 5 parts, level 1/1000.
func TestRanksOfACanAreUniform(t *testing.T) {
	const cars = 50
	s := short(t)
	o := drained(600, 0, 5e-6)
	p, err := observe.NewPredictor(s, []scenarios.Observation{o})
	require.NoError(t, err)
	oil, share := make(bins, 5), make(bins, 5)
	for k := range uint64(cars) {
		stream := sampling.NewStream(77, sampling.InputKey("true"), k)
		u := make([]float64, len(p.Inputs()))
		for i := range u {
			u[i] = stream.Float64()
		}
		v, err := p.Predict(u, 99, 1<<20+k, nil)
		require.NoError(t, err)
		seen := o
		seen.Value = v[0] + seen.Error*stream.NormFloat64()
		true := p.Values(nil)
		q, err := observe.NewPredictor(s, []scenarios.Observation{seen})
		require.NoError(t, err)
		l := &Learned{Scenario: s, Seen: seenOf(seen), columns: columnsOf(q, s)}
		l.Posterior, err = l.sample(context.Background(), q, Options{Seed: k, Draws: 100})
		require.NoError(t, err)
		for i, c := range l.columns {
			switch c.quantity.Path {
			case "carry_over.oil_used":
				oil.add(rank(l.Draws, c.of(l.Draws), true[i]))
			case "carry_over.through_breathers":
				share.add(rank(l.Draws, c.of(l.Draws), true[i]))
			}
		}
	}
	t.Log(fmt.Sprint(oil, oil.chance(), share, share.chance()))
	assert.Greater(t, oil.chance(), 1e-3)
	assert.Greater(t, share.chance(), 1e-3)
}
