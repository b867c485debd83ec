package decide_test

import (
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
)

// An input that was drawn together with others and isn't measured still tips the
// verdict where it did alone; one that is measured is left out.
func TestTippingValueOfALearnedInput(t *testing.T) {
	alone := dependence(t, held(t, "0.2 .. 0.4 kPa", "100 mm")).Tips()
	require.Len(t, alone, 1)
	for _, x := range []struct {
		measured []string
		tips     bool
	}{{[]string{"oil.ambient"}, true}, {nil, false}} {
		var draws strings.Builder
		open := func(string) (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(draws.String())), nil }
		s, err := scenarios.Parse("still.yaml", []byte(sealed), open)
		require.NoError(t, err)
		s, err = s.With(append(heldBy("0.2 .. 0.4 kPa", "100 mm"), scenarios.Change{Path: "oil.ambient", Value: "20 .. 30 C"})...)
		require.NoError(t, err)
		d := dependence(t, together(t, s, &draws, x.measured, "drain.valve_opens_at", "oil.ambient"))
		for _, in := range d.Inputs {
			assert.NotEqual(t, scenarios.LearnedPath, in.Input.Path)
			assert.NotEqual(t, "oil.ambient", in.Input.Path)
		}
		assert.Equal(t, x.tips, d.Depends())
		if x.tips {
			tip := d.Tips()[0]
			assert.Equal(t, "drain.valve_opens_at", tip.Input.Path)
			assert.InDelta(t, alone[0].Tipping.Value, tip.Tipping.Value, 1, "Pa; both searches are to 0.2 Pa")
		}
	}
}

// together is a scenario in which some inputs are drawn together, each of 400 draws
// as likely, the first against the second.
func together(t *testing.T, s *scenarios.Scenario, draws *strings.Builder, measured []string, paths ...string) *scenarios.Scenario {
	t.Helper()
	const n = 400
	l := &scenarios.Learned{File: "a.csv", Measured: measured}
	for i, path := range paths {
		q := s.Input(path)
		require.NotNil(t, q)
		var values []float64
		for r := range n {
			u := (float64(r) + 0.5) / n
			if i == 0 {
				u = 1 - u
			}
			values = append(values, q.Distribution.Quantile(u))
		}
		l.Quantities, l.Values = append(l.Quantities, q), append(l.Values, values)
	}
	for range n {
		l.Weights = append(l.Weights, 1)
	}
	require.NoError(t, s.WriteLearned(draws, l))
	block := "{draws: a.csv}"
	if measured != nil {
		block = "{draws: a.csv, measured: [" + strings.Join(measured, ", ") + "]}"
	}
	s, err := s.With(scenarios.Change{Path: "learned", Value: block})
	require.NoError(t, err)
	require.Len(t, s.Learned.Quantities, len(paths))
	return s
}
