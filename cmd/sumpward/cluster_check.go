package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"sumpward/cluster"
	"sumpward/scenarios/units"
	"sumpward/sim/kept"
)

// Memory that a task may be given, MB.
const (
	leastMemory = 64
	mostMemory  = 16 << 20
)

// check says, ahead of any work, what of the flags can't stand in a script, and which flag it is.
func (f *clusterFlags) check(c *cobra.Command) error {
	switch {
	case f.tasks < 1 || f.tasks > cluster.MostTasks:
		return fmt.Errorf("--tasks: say in how many shards, 1 to %d (got %d)", cluster.MostTasks, f.tasks)
	case f.procs < 1 || f.procs > mostWorkers:
		return fmt.Errorf("--processors: 1 to %d are possible (got %d)", mostWorkers, f.procs)
	case c.Flags().Changed("memory") && (f.memory < leastMemory || f.memory > mostMemory):
		return fmt.Errorf("--memory: %d to %d MB a task are possible (got %d): leave it out to have what is expected", leastMemory, mostMemory, f.memory)
	}
	if err := cluster.CheckWord(f.partition); err != nil {
		return fmt.Errorf("--partition: %w: sinfo tells which there are", err)
	}
	if err := cluster.CheckWord(f.account); err != nil {
		return fmt.Errorf("--account: %w: as your cluster names it", err)
	}
	for _, d := range f.more {
		if err := checkDirective(d); err != nil {
			return fmt.Errorf("--directive: %w", err)
		}
	}
	for _, flag := range []string{"program", "folder", "result"} {
		if err := cluster.CheckText(c.Flags().Lookup(flag).Value.String()); err != nil {
			return fmt.Errorf("--%s: %w: name another", flag, err)
		}
	}
	if _, known := formatByEnding[strings.ToLower(filepath.Ext(f.result))]; !known {
		return fmt.Errorf("--result %s: the ending stands for no format: use .csv, .json, .md or .txt", f.result)
	}
	return f.readTime()
}

// readTime reads the time limit of a task, where one is stated.
func (f *clusterFlags) readTime() error {
	if f.time == "" {
		return nil
	}
	s, err := units.Parse(f.time, units.Time)
	if err != nil {
		return fmt.Errorf("--time: %w", err)
	}
	if !(s >= 180 && s <= 366*86400) {
		return fmt.Errorf("--time: 3 min to a year (got %s): a task is told to write its checkpoint up to two minutes before its time is up", f.time)
	}
	f.stated = time.Duration(s * float64(time.Second))
	return nil
}

// statedOptions are options of sbatch that the scripts state themselves, with the flag that
// says them; empty: the scripts rest on their own.
var statedOptions = map[string]string{
	"array": "--tasks", "cpus-per-task": "--processors", "mem": "--memory", "mem-per-cpu": "--memory", "time": "--time",
	"partition": "--partition", "account": "--account", "ntasks": "", "signal": "", "output": "", "open-mode": "",
}

// checkDirective is an error where a text is no further option of sbatch.
func checkDirective(text string) error {
	if err := cluster.CheckDirective(text); err != nil {
		return fmt.Errorf("%w: write --directive=--qos=long", err)
	}
	name, _, _ := strings.Cut(strings.TrimPrefix(text, "--"), "=")
	flag, stated := statedOptions[name]
	switch {
	case stated && flag != "":
		return fmt.Errorf("the scripts state --%s themselves: say it with %s (got %q)", name, flag, text)
	case stated:
		return fmt.Errorf("the scripts need a --%s of their own: leave it out (got %q)", name, text)
	}
	return nil
}

// room checks, ahead of any work, that scripts and result can be written, and that nothing
// of another work is in the way.
func (f *clusterFlags) room(job *cluster.Job, w *clusterPlan) error {
	if err := f.roomForResult(job); err != nil {
		return fmt.Errorf("--result: %w", err)
	}
	switch info, err := os.Stat(job.Folder); {
	case errors.Is(err, fs.ErrNotExist):
		if err := mayMake(job.Folder); err != nil {
			return fmt.Errorf("--folder: %w: name another", err)
		}
		return nil
	case err != nil:
		return fmt.Errorf("--folder: %w: name another", err)
	case !info.IsDir():
		return fmt.Errorf("--folder: %s is not a folder: name another", job.Folder)
	}
	left, err := filepath.Glob(filepath.Join(job.Folder, cluster.Parts, "part-*"))
	if err != nil || len(left) > 0 && !f.output.force {
		return fmt.Errorf("%s holds parts of another work: name another with --folder, or let it go on with --force if it is the same", job.Folder)
	}
	if why := f.another(left, w); why != "" {
		return fmt.Errorf("%s holds parts of another work: %s: name another with --folder, or remove %s", job.Folder, why, filepath.Join(job.Folder, cluster.Parts))
	}
	for _, name := range []string{cluster.TasksScript, cluster.MergeScript, cluster.SubmitScript} {
		path := filepath.Join(job.Folder, name)
		if exists(path) && !f.output.force {
			return fmt.Errorf("%s holds scripts already (%s): name another with --folder, or replace them with --force", job.Folder, name)
		}
		if err := mayWrite(path, f.output.force); err != nil {
			return fmt.Errorf("--folder: %w", err)
		}
	}
	return nil
}

// roomForResult checks where the merge is to write in the end: it replaces what is there.
func (f *clusterFlags) roomForResult(job *cluster.Job) error {
	if filepath.Dir(job.Result) == job.Folder && !exists(job.Folder) {
		return nil
	}
	return mayWrite(job.Result, f.output.force)
}

// mayMake is an error where a folder that isn't there can't be made.
func mayMake(folder string) error {
	for above := filepath.Dir(folder); above != folder && !exists(above); above = filepath.Dir(folder) {
		folder = above
	}
	return mayWrite(folder, false)
}

// another says what sets a work apart from the one that parts are of: a task whose part is
// there has nothing left to do. That all of them are of one work the merge finds out.
func (f *clusterFlags) another(parts []string, w *clusterPlan) string {
	for _, path := range parts {
		kind := kept.Part
		if filepath.Ext(path) == ".checkpoint" {
			kind = kept.Checkpoint
		}
		there, err := kept.Open(path, kind)
		if err != nil {
			continue // its task, or the merge, will tell
		}
		content := w.content
		if f.program != "" { // which is not the one that writes this
			content.Program = there.Content.Program
		}
		why := kept.Differ(there.Content, content)
		if shard := there.Content.Shard; why == "" && shard != nil && shard.Of != f.tasks {
			why = fmt.Sprintf("shards of %d, shards of %d", shard.Of, f.tasks)
		}
		return why
	}
	return ""
}
