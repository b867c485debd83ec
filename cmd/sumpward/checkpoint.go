package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"sumpward/sim/kept"
)

// openCheckpoint takes up what a checkpoint holds, where it is to go on from one that is
// there, and has work written to it from now on. It writes it once at the start: a folder
// that can't be written to is told before the work, not after it.
func (w *work) openCheckpoint(f *keptFlags, force bool) error {
	resume := f.resume
	switch info, err := os.Stat(w.checkpoint); {
	case err == nil && !info.Mode().IsRegular():
		return fmt.Errorf("--checkpoint: %s is not an ordinary file: name another", w.checkpoint)
	case err != nil && isLink(w.checkpoint):
		return fmt.Errorf("--checkpoint: %s is a link that leads nowhere: name another file, or remove it", w.checkpoint)
	case err == nil && resume:
		if err := w.takeUp(); err != nil {
			return err
		}
	case err == nil && !mayBeCheckpoint(w.checkpoint):
		return noCheckpointError(w.checkpoint)
	case err == nil && !force:
		return fmt.Errorf("--checkpoint: %s exists already: go on from it with --resume, or replace it with --force", w.checkpoint)
	}
	removeLeftovers(w.checkpoint)
	if err := w.write(); err != nil {
		return fmt.Errorf("--checkpoint: %w", err)
	}
	w.SaveEvery(f.every, w.save)
	return nil
}

// mayBeCheckpoint reports whether a file that is there begins as a checkpoint does, or is
// empty: whatever else is damaged of it, it is ours to replace and to take away. Another
// file isn't, not even with --force.
func mayBeCheckpoint(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return true // reading or writing will tell
	}
	defer f.Close()
	begins := []byte(fmt.Sprintf(`{"format":%q`, kept.Checkpoint))
	head := make([]byte, len(begins))
	n, _ := io.ReadFull(f, head)
	return bytes.HasPrefix(begins, head[:n])
}

func noCheckpointError(path string) error {
	return fmt.Errorf("--checkpoint: %s exists already, and is no checkpoint: name another file, or remove it", path)
}

func isLink(path string) bool {
	info, err := os.Lstat(path)
	return err == nil && info.Mode()&fs.ModeSymlink != 0
}

// takeUp reads the checkpoint.
func (w *work) takeUp() error {
	f, err := kept.Open(w.checkpoint, kept.Checkpoint)
	if err != nil {
		var broken *kept.DamagedError
		switch {
		case errors.As(err, &broken) && !mayBeCheckpoint(w.checkpoint):
			return noCheckpointError(w.checkpoint)
		case errors.As(err, &broken):
			return fmt.Errorf("--resume: %w: begin anew with --force in place of --resume", err)
		}
		return fmt.Errorf("--resume: %w: name the file that --checkpoint wrote", err)
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

// save writes the checkpoint. Where that fails the work goes on, and so does the last one
// that was written; it is said once, until it succeeds again.
func (w *work) save() {
	err := w.write()
	if err != nil && w.failing == nil {
		w.app.warn([]string{fmt.Sprintf("the checkpoint could not be written, and stays as it was; the work goes on: %v", err)})
	}
	w.failing = err
}

// done takes the checkpoint away, once all is written.
func (w *work) done(ctx context.Context) error {
	if !w.hasCheckpoint() {
		return nil
	}
	if ctx.Err() != nil {
		return w.cut(context.Cause(ctx))
	}
	for _, path := range []string{linked(w.checkpoint), w.checkpoint} {
		if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("all is written, but for removing the checkpoint: %w: remove it by hand", err)
		}
	}
	return nil
}

// linked is what a link leads to, or the path itself.
func linked(path string) string {
	if to, err := filepath.EvalSymlinks(path); err == nil {
		return to
	}
	return path
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
	if w.failing != nil {
		return interrupted{fmt.Errorf("interrupted (%w): what was done last could not be kept (%w); %s holds what was done before\n  to go on from there: mend that, then the same command with --resume", err, w.failing, w.checkpoint)}
	}
	return interrupted{fmt.Errorf("interrupted (%w): what was done is kept in %s\n  to go on: the same command with --resume", err, w.checkpoint)}
}

func (w *work) hasCheckpoint() bool { return w != nil && w.checkpoint != "" }

// removeLeftovers removes what a writer that was killed left beside a file: see
// temporaryBeside.
func removeLeftovers(path string) {
	path = linked(path)
	folder := filepath.Dir(path)
	entries, err := os.ReadDir(folder)
	if err != nil {
		return // writing will tell
	}
	for _, e := range entries {
		if isTemporaryOf(filepath.Base(path), e.Name()) {
			_ = os.Remove(filepath.Join(folder, e.Name()))
		}
	}
}
