package page

import (
	"bytes"
	"context"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

const fewSessions = "[10 min, 15 min, 25 min, 40 min, 60 min]"

// made works out a small page of a ready-made scenario, all of its parts there, from
// some hundreds of realizations.
func made(t testing.TB, name string, realizations int) Page {
	t.Helper()
	ctx := context.Background()
	s, err := scenarios.Ready(name)
	require.NoError(t, err)
	p := Page{Program: "sumpward (test)", Command: "run", Units: units.Metric}
	p.Model, err = sim.NewModel(s)
	require.NoError(t, err)
	p.Result, err = p.Model.Run(ctx, sim.Options{Realizations: realizations})
	require.NoError(t, err)
	p.Check, err = p.Model.CheckDrain(ctx)
	require.NoError(t, err)
	dense, err := s.With(scenarios.Change{Path: "sessions", Value: fewSessions})
	require.NoError(t, err)
	layouts, err := decide.Options(dense)
	require.NoError(t, err)
	p.Options, err = decide.Compare(ctx, layouts[:min(4, len(layouts))], sim.Options{Realizations: realizations / 2})
	require.NoError(t, err)
	p.Sizing, err = decide.Size(ctx, s, decide.SizeOptions{Options: sim.Options{Realizations: 60}, Cell: 40})
	require.NoError(t, err)
	p.Fan, err = p.Model.Fan(ctx, 1, 100, 30, 0)
	require.NoError(t, err)
	p.Pressures, err = p.Model.PhasePressures(ctx, 1, 40)
	require.NoError(t, err)
	p.Before = p.Pressures
	p.Prices = map[string]string{"larger can": "240 EUR"}
	return p
}

var (
	once sync.Once
	kept Page
)

// sealedDrain is the page of a drain that backs up, worked out once.
func sealedDrain(t testing.TB) Page {
	t.Helper()
	once.Do(func() { kept = made(t, "sealed-drain", 400) })
	require.NotNil(t, kept.Result, "it could not be worked out: see the first test")
	return kept
}

func htmlOf(t testing.TB, p Page) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Write(&b, p))
	return b.String()
}

// viewed is a page in words and drawings.
func viewed(t testing.TB, p Page) *view {
	t.Helper()
	v, err := viewOf(p)
	require.NoError(t, err)
	return v
}
