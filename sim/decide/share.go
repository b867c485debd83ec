package decide

import (
	"context"
	"errors"
	"fmt"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/sampling"
)

// Share is one of several shares of a work, numbered from 1. The zero value is all of it.
type Share struct{ Number, Shares int }

// MostShares is how many shares a work may be cut into.
const MostShares = 100_000

// NewShare returns a share. It fails where there can be no such one.
func NewShare(number, shares int) (Share, error) {
	if shares < 1 || shares > MostShares {
		return Share{}, fmt.Errorf("1 to %d shares are possible (got %d)", MostShares, shares)
	}
	if number < 1 || number > shares {
		return Share{}, fmt.Errorf("shares are numbered 1 to %d (got %d)", shares, number)
	}
	return Share{number, shares}, nil
}

// Of returns which of n things are the share's: those from the first up to the second.
func (s Share) Of(n int) (from, to int) {
	if s == (Share{}) {
		return 0, n
	}
	part := func(k int) int { return int(int64(k) * int64(n) / int64(s.Shares)) }
	return part(s.Number - 1), part(s.Number)
}

// blockCount is the number of blocks of n realizations.
func blockCount(n int) int { return (n + sampling.BlockSize - 1) / sampling.BlockSize }

// Extent says which realizations a share holds: of all those of all points in their
// order, the ones from the first up to the second.
type Extent struct{ From, To, All int }

// extentOf is the extent of blocks from one up to another, n realizations at each point.
func extentOf(from, to, points, n int) Extent {
	at := func(block int) int {
		return block/blockCount(n)*n + min(block%blockCount(n)*sampling.BlockSize, n)
	}
	return Extent{at(from), at(to), points * n}
}

var errCounted = errors.New("state how many realizations there are in all: the shares of a run that ends by itself are not known beforehand")

// RunShare simulates a share of a run, of as many realizations as the options or else
// the scenario state, and keeps it in o.Work.
func RunShare(ctx context.Context, m *sim.Model, o sim.Options, s Share) (Extent, error) {
	n := realizationsOf(m.Scenario(), o)
	if n == 0 {
		return Extent{}, errCounted
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

// VaryShare simulates a share of a variation, cut through all points in their order, and
// keeps it in o.Work. Where no number of realizations is stated each point has [PerPoint].
func VaryShare(ctx context.Context, s *scenarios.Scenario, axes []Axis, o sim.Options, share Share) (Extent, error) {
	v := &Variation{Scenario: s, Axes: axes, Points: pointsOf(axes)}
	if err := v.check(); err != nil {
		return Extent{}, err
	}
	if o.SamplingError > 0 {
		return Extent{}, errCounted
	}
	if o.Realizations <= 0 {
		o.Realizations = PerPoint
	}
	each := blockCount(o.Realizations)
	from, to := share.Of(each * len(v.Points))
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

// SizeShare simulates a share of the realizations of a sizing, which looks for its sizes
// with them alone, and keeps them in o.Work. [Size] with all shares kept simulates only
// what it comes to look at besides.
func SizeShare(ctx context.Context, s *scenarios.Scenario, o SizeOptions, share Share) (Extent, error) {
	if o.Work == nil {
		return Extent{}, errors.New("a share of a sizing is kept")
	}
	m, err := sim.NewModel(s)
	if err != nil {
		return Extent{}, err
	}
	o.share = share
	if _, err := Size(ctx, s, o); err != nil {
		return Extent{}, err
	}
	n := o.definite(m.Nominal()).Realizations
	from, to := share.Of(n)
	return Extent{from, to, n}, nil
}
