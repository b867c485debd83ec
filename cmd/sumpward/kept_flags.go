package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/decide"
	"sumpward/sim/kept"
)

// keptFlags say what is kept of a command's work: a shard of it for merge, or a
// checkpoint to go on from.
type keptFlags struct {
	shard      string
	checkpoint string
	resume     bool
	every      time.Duration // how often a checkpoint is written
}

// saveEvery is how often a checkpoint is written, but for a test that can't wait.
const saveEvery = 30 * time.Second

func (f *keptFlags) add(c *cobra.Command) {
	c.Flags().StringVar(&f.shard, "shard", "", "simulate only the K-th of N shards, \"`K/N`\", and write it as a partial result: merge puts all N together")
	c.Flags().StringVar(&f.checkpoint, "checkpoint", "", "keep what is done in a `FILE` now and then, to go on from after an interruption; it is taken away once the result is written")
	c.Flags().BoolVar(&f.resume, "resume", false, "go on from the checkpoint, or begin where there is none")
	c.Flags().DurationVar(&f.every, "checkpoint-every", saveEvery, "write a checkpoint every `SO LONG`")
	_ = c.Flags().MarkHidden("checkpoint-every") // for tests
	_ = c.RegisterFlagCompletionFunc("shard", cobra.NoFileCompletions)
}

// work is what a command's work is kept in, and what for.
type work struct {
	*sim.Work
	app        *app
	content    kept.Content
	shard      decide.Shard // zero: all of it
	checkpoint string       // file; empty: none
	partial    bool         // what is there of a run is all there is
	failing    error        // why the last checkpoint could not be written
}

// goesWithMerge are flags that say how a result is told, which a shard isn't.
var goesWithMerge = []string{"format", "report", "price", "card", "plot", "require", "allow-missing"}

// notRecorded are flags that a result does not depend on.
var notRecorded = append([]string{"output", "force", "workers", "shard", "checkpoint", "checkpoint-every", "resume", "help"}, goesWithMerge...)

// prepare checks the flags ahead of any work. Of a shard the output has a format of its own.
func (f *keptFlags) prepare(a *app, c *cobra.Command, o *outputFlags) error {
	if f.resume && f.checkpoint == "" {
		return usageError{errors.New("--resume goes with --checkpoint FILE: name the file to go on from")}
	}
	if err := f.apart(c); err != nil {
		return err
	}
	if f.shard == "" {
		return o.prepare(c)
	}
	if _, err := f.parse(); err != nil {
		return err
	}
	for _, name := range goesWithMerge {
		if flag := c.Flags().Lookup(name); flag != nil && flag.Changed {
			return usageError{fmt.Errorf("--%s: a shard is no result yet: give it to merge", name)}
		}
	}
	if o.file == "" {
		return nil
	}
	if ending := filepath.Ext(o.file); ending != ".json" {
		return usageError{fmt.Errorf("--output %s: a part of a run is JSON, and merge finds it in a folder by that ending: name it %s.json", o.file, strings.TrimSuffix(o.file, ending))}
	}
	return mayWrite(o.file, o.force)
}

// apart is an error where a file that is written besides is the checkpoint.
func (f *keptFlags) apart(c *cobra.Command) error {
	for name, path := range besidesCheckpoint(c) {
		if err := apart("--"+name, path, "--checkpoint", f.checkpoint); err != nil {
			return err
		}
	}
	return nil
}

// besidesCheckpoint are the files that a command line has written, by their flags.
func besidesCheckpoint(c *cobra.Command) map[string]string {
	files := map[string]string{}
	for _, name := range []string{"output", "report", "card", "plot"} {
		if flag := c.Flags().Lookup(name); flag != nil && flag.Changed {
			files[name] = flag.Value.String()
		}
	}
	return files
}

// parse reads "3/16".
func (f *keptFlags) parse() (decide.Shard, error) {
	if f.shard == "" {
		return decide.Shard{}, nil
	}
	number, shards, both := strings.Cut(f.shard, "/")
	k, err := strconv.Atoi(strings.TrimSpace(number))
	n, err2 := strconv.Atoi(strings.TrimSpace(shards))
	if !both || err != nil || err2 != nil {
		return decide.Shard{}, usageError{fmt.Errorf("--shard %s: write K/N, for instance 1/16 for the first of sixteen", f.shard)}
	}
	s, err := decide.NewShard(k, n)
	if err != nil {
		return s, usageError{fmt.Errorf("--shard %s: %w", f.shard, err)}
	}
	return s, nil
}

// open returns what the work of a command on a scenario is kept in; nil where nothing is
// to be kept.
func (f *keptFlags) open(a *app, c *cobra.Command, args []string, s *scenarios.Scenario, o sim.Options, force bool) (*work, error) {
	w := &work{Work: &sim.Work{}, app: a, content: contentOf(c, args, s, o), checkpoint: f.checkpoint}
	var err error
	if w.shard, err = f.parse(); err != nil {
		return nil, err
	}
	if a.merging != nil {
		return w, w.takeParts(a.merging)
	}
	if f.checkpoint == "" {
		if w.shard == (decide.Shard{}) {
			return nil, nil
		}
		return w, nil
	}
	if w.shard != (decide.Shard{}) {
		w.content.Shard = &kept.Shard{Number: w.shard.Number, Of: w.shard.Shards}
	}
	if f.resume { // whoever wrote these was killed
		for _, path := range besidesCheckpoint(c) {
			removeLeftovers(path)
		}
	}
	return w, w.openCheckpoint(f, force)
}

// options puts the work to options.
func (w *work) options(o *sim.Options) {
	if w != nil {
		o.Work, o.Partial = w.Work, w.partial
	}
}

// contentOf says what the work of a command is.
func contentOf(c *cobra.Command, args []string, s *scenarios.Scenario, o sim.Options) kept.Content {
	content := kept.Content{
		Program: version() + ", " + runtime.GOARCH, Command: c.Name(), Seed: s.Simulation.Seed, Sampling: o.Sampling,
		Scenario: kept.Scenario{Title: s.Title, SHA256: s.SHA256, Fingerprint: s.Fingerprint()},
	}
	if len(args) > 0 {
		content.Scenario.Name = args[0]
	}
	if o.Seed != nil {
		content.Seed = *o.Seed
	}
	c.Flags().Visit(func(flag *pflag.Flag) {
		if slices.Contains(notRecorded, flag.Name) {
			return
		}
		values := []string{flag.Value.String()}
		if list, many := flag.Value.(pflag.SliceValue); many {
			values = list.GetSlice()
		}
		for _, v := range values {
			content.Arguments = append(content.Arguments, "--"+flag.Name+"="+v)
		}
	})
	return content
}
