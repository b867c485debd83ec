package main

import (
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/sim"
)

// TestSamplingFlagsReachTheSimulator holds what no result shows: the number of
// workers, and that a seed left out is the scenario's.
func TestSamplingFlagsReachTheSimulator(t *testing.T) {
	options := func(args ...string) sim.Options {
		var f samplingFlags
		c := &cobra.Command{}
		f.add(c)
		require.NoError(t, c.ParseFlags(args))
		o, err := f.options(c)
		require.NoError(t, err)
		return o
	}
	o := options("--workers", "7", "--realizations", "1500", "--sampling", "random", "--seed", "0")
	assert.Equal(t, 7, o.Workers)
	assert.Equal(t, 1500, o.Realizations)
	assert.Equal(t, "random", o.Sampling)
	require.NotNil(t, o.Seed)
	assert.Zero(t, *o.Seed)

	o = options("--sampling-error", "0.25 %")
	assert.InDelta(t, 0.0025, o.SamplingError, 1e-15)
	assert.Nil(t, o.Seed)
	assert.Zero(t, o.Workers)
}
