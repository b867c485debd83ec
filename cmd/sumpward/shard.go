package main

import (
	"context"
	"errors"
	"fmt"

	"sumpward/sim/decide"
	"sumpward/sim/kept"
)

// wantsShard reports whether only a shard is to be simulated.
func (w *work) wantsShard() bool { return w != nil && w.shard != (decide.Shard{}) }

// writeShard simulates a shard and writes it as a partial result.
func (w *work) writeShard(ctx context.Context, o *outputFlags, simulate func(decide.Shard) (decide.Extent, error)) error {
	e, err := simulate(w.shard)
	if errors.Is(err, decide.ErrNotCounted) {
		return usageError{fmt.Errorf("--shard: %w: give --realizations N", err)}
	}
	if err != nil {
		return w.cutShort(ctx, err)
	}
	content := w.content
	content.Shard = &kept.Shard{Number: w.shard.Number, Of: w.shard.Shards}
	content.Realizations = &kept.Realizations{From: e.From, To: e.To, All: e.All}
	file := kept.File{Kind: kept.Part, Content: content, Work: w.Work}
	data, err := file.Bytes()
	if err != nil {
		return err
	}
	if err := o.put(w.app, data); err != nil {
		return err
	}
	return w.done(ctx)
}
