package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"sumpward/sim/kept"
)

// openCheckpoint takes up what a checkpoint holds, where it is to go on from one that is
// there, and has work written to it from now on. It writes it once at the start: a folder
// that can't be written to is told before the work, not after it.
func (w *work) openCheckpoint(resume, force bool) error {
	switch _, err := os.Stat(w.checkpoint); {
	case err == nil && resume:
		if err := w.takeUp(); err != nil {
			return err
		}
	case err == nil && !force:
		return fmt.Errorf("--checkpoint: %s exists already: go on from it with --resume, or replace it with --force", w.checkpoint)
	}
	removeLeftovers(w.checkpoint)
	if err := w.write(); err != nil {
		return fmt.Errorf("--checkpoint: %w", err)
	}
	w.SaveEvery(saveEvery, w.save)
	return nil
}

// takeUp reads the checkpoint.
func (w *work) takeUp() error {
	f, err := kept.Open(w.checkpoint, kept.Checkpoint)
	if err != nil {
		var broken *kept.DamagedError
		if errors.As(err, &broken) {
			return fmt.Errorf("--resume: %w: begin anew with --force in place of --resume", err)
		}
		return fmt.Errorf("--resume: %w", err)
	}
	why := kept.Differ(f.Content, w.content)
	if why == "" && !sameShard(f.Content.Shard, w.content.Shard) {
		why = "another shard"
	}
	if why != "" {
		return fmt.Errorf("--resume: %s is not of this work: %s: name another checkpoint, or begin anew with --force in place of --resume", w.checkpoint, why)
	}
	if err := w.Merge(f.Work); err != nil {
		return fmt.Errorf("--resume: %s: %w", w.checkpoint, err)
	}
	if !w.Empty() {
		w.app.say("going on from %s", w.checkpoint)
	}
	return nil
}

func sameShard(a, b *kept.Shard) bool {
	if a == nil || b == nil {
		return a == b
	}
	return *a == *b
}

func (w *work) write() error {
	file := kept.File{Kind: kept.Checkpoint, Content: w.content, Work: w.Work}
	data, err := file.Bytes()
	if err != nil {
		return err
	}
	return writeFile(w.checkpoint, data, true)
}

// save writes the checkpoint. Where that fails the work goes on, with the last one that
// was written.
func (w *work) save() {
	err := w.write()
	if err != nil && !w.failing {
		w.app.warn([]string{fmt.Sprintf("the checkpoint could not be written, the work goes on without: %v", err)})
	}
	w.failing = err != nil
}

// done takes the checkpoint away, once all is written.
func (w *work) done(ctx context.Context) error {
	if !w.hasCheckpoint() {
		return nil
	}
	if ctx.Err() != nil {
		return w.cut(context.Cause(ctx))
	}
	if err := os.Remove(w.checkpoint); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("remove the checkpoint: %w", err)
	}
	return nil
}

// goneOn is an error where work that can be gone on with was cut short: there is no result
// of a part of it then.
func (w *work) goneOn(ctx context.Context) error {
	if ctx.Err() == nil || !w.hasCheckpoint() {
		return nil
	}
	return w.cut(context.Cause(ctx))
}

// cutShort is an error, and where it is that of an interruption, how to go on.
func (w *work) cutShort(ctx context.Context, err error) error {
	if ctx.Err() == nil || !w.hasCheckpoint() {
		return err
	}
	return w.cut(err)
}

// cut says how to go on.
func (w *work) cut(err error) error {
	return interrupted{fmt.Errorf("interrupted (%w): what was done is kept in %s\n  to go on: the same command with --resume", err, w.checkpoint)}
}

func (w *work) hasCheckpoint() bool { return w != nil && w.checkpoint != "" }

// removeLeftovers removes what a writer that was killed left beside a file.
func removeLeftovers(path string) {
	folder := filepath.Dir(path)
	entries, err := os.ReadDir(folder)
	if err != nil {
		return // writing will tell
	}
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), "."+filepath.Base(path)+".") && strings.HasSuffix(e.Name(), ".part") {
			_ = os.Remove(filepath.Join(folder, e.Name()))
		}
	}
}
