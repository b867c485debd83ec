package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"sumpward/cluster"
	"sumpward/report"
	"sumpward/scenarios"
	"sumpward/sim/cost"
)

// clusterFlags are those of cluster.
type clusterFlags struct {
	work      clusterWork
	output    outputFlags
	tasks     int
	folder    string
	result    string
	time      string
	stated    time.Duration // what time says; 0: nothing
	memory    int
	procs     int
	partition string
	account   string
	more      []string
	program   string
	estimate  bool
	submit    bool
}

// Defaults of what a task is given.
const (
	taskMemory = 1024 // MB at the least: the program takes some 30, and a few more a processor
	leastLimit = 10 * time.Minute
	timesOver  = 2 // the longest task is given so many times what it is expected to take
	measureFor = 4 * time.Second
)

func newClusterCommand(a *app) *cobra.Command {
	var f clusterFlags
	c := &cobra.Command{
		Use:   "cluster [FILE] --tasks N",
		Short: "A long run as a job array of a Slurm cluster",
		Long: `Cluster writes into a folder what a Slurm cluster needs to simulate run, size or
vary in N shards: a job array, a job that merges its parts once all are done, and
a script that submits both. Resources and time limits are stated; a task that was
killed, or that its time limit cut short, is queued again and goes on from its
checkpoint. With --estimate it writes nothing: it simulates a few realizations
here and tells what all of them will cost.

With --input it is vary, with --for size it is size, otherwise run.`,
		Example: `  sumpward cluster car.yaml --tasks 100 --realizations 10000000 --estimate
  sumpward cluster car.yaml --tasks 100 --realizations 10000000 --submit
  sumpward cluster car.yaml --tasks 500 --realizations 1000000 \
    --input drain.fall=30..130mm:40 --input drain.bore=8..19mm:25`,
		Args: oneFile,
		RunE: func(c *cobra.Command, args []string) error { return f.run(a, c, args) },
	}
	f.work.add(c)
	f.output.add(c)
	fs := c.Flags()
	fs.IntVar(&f.tasks, "tasks", 0, "simulate in `N` shards, one a task")
	fs.StringVar(&f.folder, "folder", "", "`FOLDER` for scripts, parts and logs (the scenario's name with .cluster)")
	fs.StringVar(&f.result, "result", "result.json", "`FILE` that the merge writes, in the folder unless it has one of its own: .json, .csv, .md or .txt")
	fs.StringVar(&f.time, "time", "", "time `LIMIT` of a task: 2h (twice what the longest is expected to take)")
	fs.IntVar(&f.memory, "memory", 0, "`MB` of memory a task (1024, or what it is expected to take)")
	fs.IntVar(&f.procs, "processors", 1, "`N` processors a task")
	fs.StringVar(&f.partition, "partition", "", "`NAME` of the partition")
	fs.StringVar(&f.account, "account", "", "`NAME` of the account")
	fs.StringArrayVar(&f.more, "directive", nil, "a further `OPTION` of sbatch: --directive=--qos=long; more than once if need be")
	fs.StringVar(&f.program, "program", "", "`FILE` of the program on the cluster (this one)")
	fs.BoolVar(&f.estimate, "estimate", false, "tell what it will cost, and write nothing")
	fs.BoolVar(&f.submit, "submit", false, "submit it as well")
	fs.Lookup("force").Usage = "let the folder's scripts and -o replace others"
	return c
}

func (f *clusterFlags) run(a *app, c *cobra.Command, args []string) error {
	if err := f.output.prepare(c); err != nil {
		return err
	}
	if err := f.check(c); err != nil {
		return usageError{err}
	}
	w, err := f.work.prepare(a, c, args)
	if err != nil {
		return err
	}
	if blocks := w.blocks(); f.tasks > blocks {
		return usageError{fmt.Errorf("--tasks: there is work for %d tasks at the most (got %d): take fewer", blocks, f.tasks)}
	}
	job, err := f.job(w)
	if err != nil {
		return err
	}
	if !f.estimate {
		if err := f.room(job, w); err != nil {
			return err
		}
	}
	a.say("simulating a few realizations to see what it takes")
	e, err := w.measure(c.Context(), measureFor)
	if err != nil {
		return err
	}
	job.Time, job.MergeTime = f.limit(e), mergeLimit(e)
	job.Memory, job.MergeMemory = f.remember(e)
	told := report.Cost{Estimate: e, Title: w.scenario.Title, Command: w.command, Tasks: f.tasks, Processors: f.procs, Limit: job.Time, Memory: job.Memory}
	if f.tasks > cluster.UsualTasks {
		a.say("a cluster takes up to %d tasks in an array unless it is set up for more: scontrol show config tells MaxArraySize", cluster.UsualTasks)
	}
	if f.estimate {
		return f.output.emit(a, told)
	}
	if err := f.write(job); err != nil {
		return err
	}
	if err := f.output.emit(a, told); err != nil {
		return err
	}
	a.say("wrote %s: %s, %s and %s", job.Folder, cluster.TasksScript, cluster.MergeScript, cluster.SubmitScript)
	if !f.submit {
		a.say("to submit it: sh %s", filepath.Join(job.Folder, cluster.SubmitScript))
		return nil
	}
	return a.submit(c.Context(), job)
}

// limit is the time limit of a task.
func (f *clusterFlags) limit(e *cost.Estimate) time.Duration {
	if f.stated > 0 {
		return f.stated
	}
	_, most := e.Task(f.tasks)
	minutes := time.Duration(timesOver*most/60/float64(f.procs)+1) * time.Minute
	return max(minutes, leastLimit)
}

// remember is the memory of a task, as it is given or expected, and that of the merge, MB.
func (f *clusterFlags) remember(e *cost.Estimate) (task, merge int) {
	one, all := e.Memory(f.tasks)
	if task = f.memory; task == 0 {
		task = taskMemory + int(one/1e6)
	}
	return task, max(task, taskMemory+int(all/1e6))
}

// mergeLimit leaves the merge time for what a run rests on, and for reading the parts.
func mergeLimit(e *cost.Estimate) time.Duration {
	seconds := timesOver*30_000*e.High + 0.02*float64(e.Points)
	return max(time.Duration(seconds/60+1)*time.Minute, 30*time.Minute)
}

// job describes the work to the cluster, all but the limits that are to be measured.
func (f *clusterFlags) job(w *clusterPlan) (*cluster.Job, error) {
	job := &cluster.Job{
		Name: "sumpward-" + w.command, Program: f.program, Command: w.line, Tasks: f.tasks,
		Processors: f.procs, Partition: f.partition, Account: f.account, Directives: f.more,
	}
	var err error
	if job.Program == "" {
		if job.Program, err = os.Executable(); err != nil {
			return nil, fmt.Errorf("where this program is: %w: say it with --program", err)
		}
	}
	if job.Program, err = filepath.Abs(job.Program); err != nil {
		return nil, err
	}
	folder := f.folder
	if folder == "" {
		folder = w.name + ".cluster"
	}
	if job.Folder, err = filepath.Abs(folder); err != nil {
		return nil, err
	}
	if job.Result = f.result; !filepath.IsAbs(f.result) {
		job.Result = filepath.Join(job.Folder, f.result)
	}
	for _, text := range append([]string{job.Program, job.Folder, job.Result}, job.Command...) {
		if err := cluster.CheckText(text); err != nil {
			return nil, usageError{err}
		}
	}
	return job, nil
}

// write makes the folder with its scripts, all of them or none.
func (f *clusterFlags) write(job *cluster.Job) error {
	scripts, err := job.Scripts()
	if err != nil {
		return usageError{err}
	}
	for _, folder := range []string{job.Folder, filepath.Join(job.Folder, cluster.Parts), filepath.Join(job.Folder, cluster.Logs)} {
		if err := os.MkdirAll(folder, 0o777); err != nil {
			return fmt.Errorf("make the folder: %w", err)
		}
	}
	for name, text := range scripts {
		if err := writeFile(filepath.Join(job.Folder, name), []byte(text), f.output.force); err != nil {
			return err
		}
	}
	return nil
}

// submit hands the scripts to the batch engine.
func (a *app) submit(ctx context.Context, job *cluster.Job) error {
	if _, err := exec.LookPath("sbatch"); err != nil {
		return fmt.Errorf("--submit: there is no sbatch here: on the cluster, run sh %s", filepath.Join(job.Folder, cluster.SubmitScript))
	}
	c := exec.CommandContext(ctx, "sh", filepath.Join(job.Folder, cluster.SubmitScript))
	out, err := c.CombinedOutput()
	text := strings.TrimSpace(string(out))
	if err != nil {
		return fmt.Errorf("submit: %w: %s", err, text)
	}
	for line := range strings.SplitSeq(text, "\n") {
		a.say("%s", line)
	}
	return nil
}

// recordedLine writes the flags of a command line that are among those of another.
func recordedLine(c *cobra.Command, names []string) []string {
	var line []string
	for _, name := range names {
		if flag := c.Flags().Lookup(name); flag != nil && flag.Changed {
			line = append(line, withValues(flag)...)
		}
	}
	return line
}

var errNoCount = errors.New("--realizations: say how many there are in all; a run that ends by itself can't be shared out")

// pathOf is how a task on another node names the scenario: by its path from the root, or
// the name of a ready-made one.
func pathOf(args []string, s *scenarios.Scenario) (string, error) {
	if len(args) == 0 || s.Example != "" {
		return s.Example, nil
	}
	return filepath.Abs(args[0])
}
