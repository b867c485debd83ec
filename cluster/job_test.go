package cluster

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func job(folder string) *Job {
	return &Job{
		Name: "larkmoor", Program: filepath.Join(folder, "the program"), Command: []string{"vary", "--input=drain.fall=30..130mm:6", "--", "/data/it's $HOME.yaml"},
		Tasks: 3, Folder: folder, Result: filepath.Join(folder, "result.json"), Time: 90 * time.Minute, MergeTime: 10 * time.Minute, Memory: 512, MergeMemory: 900, Processors: 2,
		Partition: "long", Directives: []string{"--qos=low"},
	}
}

// run executes a script as a batch engine would, and returns its exit code and what it says.
func run(t *testing.T, script string, env ...string) (int, string) {
	t.Helper()
	c := exec.Command("bash", script)
	c.Env = append(os.Environ(), env...)
	out, err := c.CombinedOutput()
	if err != nil && c.ProcessState == nil {
		require.NoError(t, err)
	}
	return c.ProcessState.ExitCode(), string(out)
}

// written writes the scripts of a job whose program is a shell script.
func written(t *testing.T, program string) *Job {
	t.Helper()
	if _, err := exec.LookPath("bash"); err != nil {
		t.Skip("no bash here")
	}
	j := job(filepath.Join(t.TempDir(), "a folder, 'quoted' $X"))
	require.NoError(t, os.MkdirAll(filepath.Join(j.Folder, Parts), 0o777))
	scripts, err := j.Scripts()
	require.NoError(t, err)
	for name, text := range scripts {
		require.NoError(t, os.WriteFile(filepath.Join(j.Folder, name), []byte(text), 0o777))
	}
	require.NoError(t, os.WriteFile(j.Program, []byte("#!/bin/bash\n"+program), 0o777))
	// what stands in for the engine's own command says that it was called
	require.NoError(t, os.WriteFile(filepath.Join(j.Folder, "scontrol"), []byte("#!/bin/sh\necho scontrol \"$@\"\nexit 1\n"), 0o777))
	return j
}

// A task hands its arguments on as they are, and simulates its own shard.
func TestTaskSimulatesItsShard(t *testing.T) {
	j := written(t, `printf '<%s>' "$@"`)
	code, said := run(t, filepath.Join(j.Folder, TasksScript), "SLURM_ARRAY_TASK_ID=2", "SLURM_CPUS_PER_TASK=7")
	assert.Zero(t, code, said)
	assert.Equal(t, "<vary><--input=drain.fall=30..130mm:6><--></data/it's $HOME.yaml>", strings.Split(said, "<--shard>")[0])
	assert.Contains(t, said, "<--shard><2/3><-o><parts/part-2.json><--checkpoint><parts/part-2.checkpoint><--resume><--workers><7>")
	require.NoError(t, os.WriteFile(filepath.Join(j.Folder, "parts/part-2.json"), []byte("{}"), 0o666))
	code, said = run(t, filepath.Join(j.Folder, TasksScript), "SLURM_ARRAY_TASK_ID=2")
	assert.Zero(t, code)
	assert.Equal(t, "shard 2 is there already\n", said)
}

// A task that was interrupted or killed with a checkpoint is queued again, not for ever;
// one that failed is not.
func TestTaskIsQueuedAgain(t *testing.T) {
	for _, c := range []struct {
		does    string
		restart string
		again   bool
	}{
		{"echo x > parts/part-1.checkpoint; exit 130", "4", true},
		{"echo x > parts/part-1.checkpoint; exit 130", "5", false},
		{"echo x > parts/part-1.checkpoint; kill -9 $$", "0", true},
		{"echo x > parts/part-1.checkpoint; kill -9 $$", "5", false},
		{"exit 130", "0", false},
		{"echo x > parts/part-1.checkpoint; exit 4", "0", false},
	} {
		t.Run(c.does+" after "+c.restart, func(t *testing.T) {
			t.Parallel()
			j := written(t, c.does)
			code, said := run(t, filepath.Join(j.Folder, TasksScript), "SLURM_ARRAY_TASK_ID=1", "SLURM_ARRAY_JOB_ID=70", "SLURM_RESTART_COUNT="+c.restart, "PATH="+j.Folder+":"+os.Getenv("PATH"))
			assert.NotZero(t, code)
			assert.Equal(t, c.again, strings.Contains(said, "scontrol requeue 70_1"), said)
		})
	}
}

// Shortly before its time is up a task tells the program, waits for it and is queued
// again; what was cancelled is told as well, and stays cancelled.
func TestTaskPassesSignalsOn(t *testing.T) {
	for signal, again := range map[string]bool{"USR1": true, "TERM": false} {
		t.Run(signal, func(t *testing.T) {
			t.Parallel()
			j := written(t, "trap 'sleep 0.2; echo x > parts/part-1.checkpoint; exit 130' TERM; kill -"+signal+" $PPID; for i in $(seq 100); do sleep 0.05; done")
			code, said := run(t, filepath.Join(j.Folder, TasksScript), "SLURM_ARRAY_TASK_ID=1", "SLURM_ARRAY_JOB_ID=71", "SLURM_RESTART_COUNT=400", "PATH="+j.Folder+":"+os.Getenv("PATH"))
			assert.Equal(t, 130, code, signal)
			assert.FileExists(t, filepath.Join(j.Folder, "parts/part-1.checkpoint"))
			assert.Equal(t, again, strings.Contains(said, "shard 1 ended with 130: queued again\nscontrol requeue 71_1"), "%s: %s", signal, said)
		})
	}
}

// The merge takes the folder of parts; submit has it wait for the tasks.
func TestMergeAndSubmit(t *testing.T) {
	j := written(t, `printf '<%s>' "$@"`)
	code, said := run(t, filepath.Join(j.Folder, MergeScript))
	assert.Zero(t, code)
	assert.Equal(t, "<merge><parts><-o><"+j.Result+"><--force><--workers><2>", said)
	require.NoError(t, os.WriteFile(filepath.Join(j.Folder, "sbatch"), []byte("#!/bin/sh\necho \"$@\" >> asked\necho '7;here'\n"), 0o777))
	code, said = run(t, filepath.Join(j.Folder, SubmitScript), "PATH="+j.Folder+":"+os.Getenv("PATH"))
	assert.Zero(t, code)
	assert.Contains(t, said, "tasks: job 7, 1 to 3; merge: job 7")
	asked, err := os.ReadFile(filepath.Join(j.Folder, "asked"))
	require.NoError(t, err)
	assert.Equal(t, "--parsable tasks.sbatch\n--parsable --dependency=afterok:7 --kill-on-invalid-dep=yes merge.sbatch\n", string(asked))
}

// Resources and time limits are stated.
func TestResourcesAreStated(t *testing.T) {
	scripts, err := job("/data").Scripts()
	require.NoError(t, err)
	for _, line := range []string{"--array=1-3", "--ntasks=1", "--cpus-per-task=2", "--mem=512M", "--time=1:30:00", "--requeue", "--partition=long", "--qos=low"} {
		assert.Contains(t, scripts[TasksScript], "\n#SBATCH "+line+"\n")
	}
	assert.Contains(t, scripts[MergeScript], "\n#SBATCH --time=0:10:00\n")
	assert.Contains(t, scripts[MergeScript], "\n#SBATCH --mem=900M\n")
	assert.NotContains(t, scripts[TasksScript], "--account")
	assert.Contains(t, scripts[MergeScript], "' merge parts -o '/data/result.json' --force", "one blank between words")
	told := job("/data")
	told.Merge = []string{"--units=us", "--require=a b"}
	scripts, err = told.Scripts()
	require.NoError(t, err)
	assert.Contains(t, scripts[MergeScript], "' merge parts '--units=us' '--require=a b' -o '/data/result.json' --force")
}

// A shell reads a quoted text as it was.
func TestQuoteIsOneWord(t *testing.T) {
	for _, text := range []string{"", "plain", "it's", `$HOME "x" \ * ; & | < > ( ) ~ #`, "'''", "ä 日本", "-n"} {
		out, err := exec.Command("sh", "-c", "printf %s "+Quote(text)).Output()
		require.NoError(t, err)
		assert.Equal(t, text, string(out))
	}
}

func TestWhatCanNotStandInAScript(t *testing.T) {
	for name, edit := range map[string]func(*Job){
		"no task":            func(j *Job) { j.Tasks = 0 },
		"too many":           func(j *Job) { j.Tasks = MostTasks + 1 },
		"relative":           func(j *Job) { j.Folder = "here" },
		"line break":         func(j *Job) { j.Command = []string{"run", "a\nrm"} },
		"in a directive":     func(j *Job) { j.Directives = []string{"--x=1\n#SBATCH --y"} },
		"no option":          func(j *Job) { j.Directives = []string{"qos"} },
		"dashes alone":       func(j *Job) { j.Directives = []string{"--"} },
		"no name":            func(j *Job) { j.Directives = []string{"--=1"} },
		"in an account":      func(j *Job) { j.Account = "a\n#SBATCH" },
		"two words":          func(j *Job) { j.Partition = "a b" },
		"no memory":          func(j *Job) { j.Memory = 0 },
		"no processor":       func(j *Job) { j.Processors = 0 },
		"seconds":            func(j *Job) { j.Time = time.Second },
		"control characters": func(j *Job) { j.Result = "/x\x1b[2J" },
	} {
		j := job("/data")
		edit(j)
		_, err := j.Scripts()
		assert.Error(t, err, name)
	}
}
