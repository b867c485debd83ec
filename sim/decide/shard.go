package decide

import (
	"context"
	"errors"
	"fmt"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/sampling"
)

// Shard is one of several shards of a work, numbered from 1. The zero value is all of it.
type Shard struct{ Number, Shards int }

// MostShards is how many shards a work may be cut into.
const MostShards = 100_000

// NewShard returns a shard. It fails where there can be no such one.
func NewShard(number, shards int) (Shard, error) {
	if shards < 1 || shards > MostShards {
		return Shard{}, fmt.Errorf("1 to %d shards are possible (got %d)", MostShards, shards)
	}
	if number < 1 || number > shards {
		return Shard{}, fmt.Errorf("shards are numbered 1 to %d (got %d)", shards, number)
	}
	return Shard{number, shards}, nil
}

// Of returns which of n things are the shard's: those from the first up to the second.
func (s Shard) Of(n int) (from, to int) {
	if s == (Shard{}) {
		return 0, n
	}
	part := func(k int) int { return int(int64(k) * int64(n) / int64(s.Shards)) }
	return part(s.Number - 1), part(s.Number)
}

// blockCount is the number of blocks of n realizations.
func blockCount(n int) int { return (n + sampling.BlockSize - 1) / sampling.BlockSize }

// Extent says which realizations a shard holds: of all those of all points in their
// order, the ones from the first up to the second.
type Extent struct{ From, To, All int }

// extentOf is the extent of blocks from one up to another, n realizations at each point.
func extentOf(from, to, points, n int) Extent {
	at := func(block int) int {
		return block/blockCount(n)*n + min(block%blockCount(n)*sampling.BlockSize, n)
	}
	return Extent{at(from), at(to), points * n}
}

// ErrNotCounted is a shard of work whose number of realizations isn't stated.
var ErrNotCounted = errors.New("the shards of a run that ends by itself are not known beforehand")

// RunShard simulates a shard of a run, of as many realizations as the options or else
// the scenario state, and keeps it in o.Work.
func RunShard(ctx context.Context, m *sim.Model, o sim.Options, s Shard) (Extent, error) {
	n := realizationsOf(m.Scenario(), o)
	if n == 0 {
		return Extent{}, ErrNotCounted
	}
	o.Realizations = n
	from, to := s.Of(blockCount(n))
	return extentOf(from, to, 1, n), m.Simulate(ctx, o, from, to)
}

// realizationsOf is the stated number of realizations; 0 where none is.
func realizationsOf(s *scenarios.Scenario, o sim.Options) int {
	switch {
	case o.Realizations > 0:
		return o.Realizations
	case o.SamplingError > 0:
		return 0
	}
	return s.Simulation.Realizations
}

// VaryShard simulates a shard of a variation, cut through all points in their order, and
// keeps it in o.Work. Where no number of realizations is stated each point has [PerPoint].
func VaryShard(ctx context.Context, s *scenarios.Scenario, axes []Axis, o sim.Options, shard Shard) (Extent, error) {
	v := &Variation{Scenario: s, Axes: axes, Points: pointsOf(axes)}
	if err := v.check(); err != nil {
		return Extent{}, err
	}
	if o.SamplingError > 0 {
		return Extent{}, ErrNotCounted
	}
	if o.Realizations <= 0 {
		o.Realizations = PerPoint
	}
	each := blockCount(o.Realizations)
	from, to := shard.Of(each * len(v.Points))
	before, progress := 0, o.Progress
	for i := from / each; i*each < to; i++ {
		m, err := v.model(&v.Points[i])
		if err != nil {
			return Extent{}, err
		}
		if m == nil {
			continue
		}
		if progress != nil {
			o.Progress = func(n int) { progress(before + n) }
		}
		first, end := max(from-i*each, 0), min(to-i*each, each)
		if err := m.Simulate(ctx, o, first, end); err != nil {
			return Extent{}, fmt.Errorf("at %s: %w", v.where(&v.Points[i]), err)
		}
		before += (end - first) * sampling.BlockSize
	}
	return extentOf(from, to, len(v.Points), o.Realizations), nil
}

// SizeShard simulates a shard of the realizations of a sizing, which looks for its sizes
// with them alone, and keeps them in o.Work. [Size] with all shards kept simulates only
// what it comes to look at besides.
func SizeShard(ctx context.Context, s *scenarios.Scenario, o SizeOptions, shard Shard) (Extent, error) {
	if o.Work == nil {
		return Extent{}, errors.New("a shard of a sizing is kept")
	}
	m, err := sim.NewModel(s)
	if err != nil {
		return Extent{}, err
	}
	o.shard = shard
	if _, err := Size(ctx, s, o); err != nil {
		return Extent{}, err
	}
	n := o.definite(m.Nominal()).Realizations
	from, to := shard.Of(n)
	return Extent{from, to, n}, nil
}
