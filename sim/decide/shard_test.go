package decide_test

import (
	"context"
	"encoding/json"
	"fmt"
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// Shards leave nothing out and hold nothing twice.
func TestShardsCoverAll(t *testing.T) {
	for _, n := range []int{0, 1, 7, 16, 1000, 2_000_000} {
		for _, shards := range []int{1, 3, 16, 999} {
			next := 0
			for k := 1; k <= shards; k++ {
				s, err := decide.NewShard(k, shards)
				require.NoError(t, err)
				from, to := s.Of(n)
				require.Equal(t, next, from)
				require.GreaterOrEqual(t, to, from)
				require.LessOrEqual(t, to-from, n/shards+1)
				next = to
			}
			assert.Equal(t, n, next)
		}
	}
	for _, wrong := range [][2]int{{0, 3}, {4, 3}, {1, 0}, {-1, -1}, {1, decide.MostShards + 1}} {
		_, err := decide.NewShard(wrong[0], wrong[1])
		assert.Error(t, err, wrong)
	}
}

// mergedOf puts together what shards kept, each written and read.
func mergedOf(t *testing.T, shards int, simulate func(w *sim.Work, s decide.Shard) (decide.Extent, error)) *sim.Work {
	t.Helper()
	all := &sim.Work{}
	next := 0
	for k := 1; k <= shards; k++ {
		s, err := decide.NewShard(k, shards)
		require.NoError(t, err)
		w := &sim.Work{}
		extent, err := simulate(w, s)
		require.NoError(t, err)
		assert.Equal(t, next, extent.From)
		next = extent.To
		text, err := json.Marshal(w)
		require.NoError(t, err)
		read := &sim.Work{}
		require.NoError(t, json.Unmarshal(text, read))
		require.NoError(t, all.Merge(read))
		if k == shards {
			assert.Equal(t, extent.All, extent.To)
		}
	}
	return all
}

// plain writes a value without what two runs of one scenario don't shard.
func plain(v any) string {
	return fmt.Sprintf("%+v", withoutScenarios(reflect.ValueOf(v)))
}

func withoutScenarios(v reflect.Value) any {
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() || v.Type() == reflect.TypeFor[*scenarios.Scenario]() {
			return nil
		}
		return withoutScenarios(v.Elem())
	case reflect.Struct:
		var list []any
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				list = append(list, withoutScenarios(v.Field(i)))
			}
		}
		return list
	case reflect.Slice:
		var list []any
		for i := range v.Len() {
			list = append(list, withoutScenarios(v.Index(i)))
		}
		return list
	}
	return v.Interface()
}

// A sizing on shards is the sizing, whatever they found on their own.
func TestShardsOfASizingAreTheSizing(t *testing.T) {
	s := lasting(t, "[8 min]")
	o := decide.SizeOptions{Options: sim.Options{Realizations: 700}, Cell: 520, Falls: []float64{0.1, 0.15}, Bores: []float64{12.7e-3}, Volumes: []float64{0.4e-3, 0.6e-3}}
	whole, err := decide.Size(context.Background(), s, o)
	require.NoError(t, err)
	for _, shards := range []int{1, 3, 16} {
		all := mergedOf(t, shards, func(w *sim.Work, shard decide.Shard) (decide.Extent, error) {
			o := o
			o.Work = w
			return decide.SizeShard(context.Background(), s, o, shard)
		})
		o := o
		o.Work = all
		before := all.Simulated()
		merged, err := decide.Size(context.Background(), s, o)
		require.NoError(t, err)
		assert.Equal(t, plain(whole), plain(merged), "%d shards", shards)
		t.Logf("%d shards: %d realizations simulated besides", shards, all.Simulated()-before)
		if shards == 1 {
			assert.Equal(t, before, all.Simulated())
		}
	}
}

// A variation on shards is the variation, points that can't be included.
func TestShardsOfAVariationAreTheVariation(t *testing.T) {
	s := lasting(t, "[10 min]")
	axis, err := decide.NewAxis(s, "drain.fall", []float64{0.05, 0.1, 0.9})
	require.NoError(t, err)
	axes := []decide.Axis{axis}
	o := sim.Options{Realizations: 1200}
	whole, err := decide.Vary(context.Background(), s, axes, o)
	require.NoError(t, err)
	for _, shards := range []int{1, 4, 16} {
		all := mergedOf(t, shards, func(w *sim.Work, shard decide.Shard) (decide.Extent, error) {
			o := o
			o.Work = w
			return decide.VaryShard(context.Background(), s, axes, o, shard)
		})
		o := o
		o.Work = all
		merged, err := decide.Vary(context.Background(), s, axes, o)
		require.NoError(t, err)
		assert.Equal(t, plain(whole), plain(merged), "%d shards", shards)
		assert.Zero(t, all.Simulated())
	}
	o.Partial, o.Work = true, &sim.Work{}
	_, err = decide.VaryShard(context.Background(), s, axes, o, decide.Shard{Number: 1, Shards: 2})
	require.NoError(t, err)
	some, err := decide.Vary(context.Background(), s, axes, o)
	require.NoError(t, err)
	assert.Empty(t, some.Points[0].Problem)
	assert.Equal(t, []sim.Gap{{From: 500, To: 1200}}, some.Points[1].Result.Missing)
	assert.Contains(t, some.Points[2].Problem, "none of its realizations are there")
}

// A run that ends by itself has no shards.
func TestShardsNeedANumber(t *testing.T) {
	s := lasting(t, "[10 min]")
	m, err := sim.NewModel(s)
	require.NoError(t, err)
	_, err = decide.RunShard(context.Background(), m, sim.Options{Work: &sim.Work{}}, decide.Shard{Number: 1, Shards: 2})
	assert.ErrorIs(t, err, decide.ErrNotCounted)
	_, err = decide.RunShard(context.Background(), m, sim.Options{Work: &sim.Work{}, Realizations: 600}, decide.Shard{Number: 2, Shards: 2})
	assert.NoError(t, err)
}

// lasting is the sealed drain over other session lengths.
func lasting(t *testing.T, sessions string) *scenarios.Scenario {
	t.Helper()
	s, err := scenarios.Ready("sealed-drain")
	require.NoError(t, err)
	s, err = s.With(scenarios.Change{Path: "sessions", Value: sessions})
	require.NoError(t, err)
	return s
}
