// Package cluster writes the scripts that have a batch engine, Slurm, simulate a work in
// shards and merge them: a job array, a job that depends on it, and what submits both. It
// knows nothing of what is simulated: a command with arguments is all it is told.
package cluster

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"text/template"
	"time"

	_ "embed"
)

// Job is a work in shards. Paths are absolute, so that it runs on any node that shares
// the file system.
type Job struct {
	Name        string        // of the jobs, one word
	Program     string        // path of sumpward
	Command     []string      // run, size or vary with its arguments, --shard and what goes with it left out
	Tasks       int           // shards, 1 to MostTasks
	Folder      string        // where the scripts, parts and logs lie
	Result      string        // file that is written in the end
	Merge       []string      // arguments of merge that say how the result is told
	Time        time.Duration // limit of one task
	MergeTime   time.Duration // limit of the merge
	Memory      int           // MiB a task
	MergeMemory int           // MiB the merge
	Processors  int           // a task
	Partition   string        // empty: the cluster's default
	Account     string        // empty: the user's
	Directives  []string      // further options of sbatch, "--qos=long"
}

// MostTasks is how many tasks a job may have, and UsualTasks how many most clusters take at
// once: Slurm's MaxArraySize less one, as it is where nothing else is set.
const (
	MostTasks  = 100_000
	UsualTasks = 1_000
)

// MostRestarts is how often a task is queued again that its time limit cut short, and
// MostKills how often one that was killed is.
const (
	MostRestarts = 1000
	MostKills    = 5
)

// Names of what lies in the folder.
const (
	TasksScript  = "tasks.sbatch"
	MergeScript  = "merge.sbatch"
	SubmitScript = "submit"
	Parts        = "parts" // folder of partial results and checkpoints
	Logs         = "logs"  // folder of what the tasks say
)

var (
	//go:embed tasks.sbatch.tmpl
	tasksText string
	//go:embed merge.sbatch.tmpl
	mergeText string
	//go:embed submit.tmpl
	submitText string

	templates = func() *template.Template {
		t := template.New("").Funcs(template.FuncMap{
			"quote": Quote, "line": quoteAll, "limit": limit,
			"mostRestarts": func() int { return MostRestarts }, "mostKills": func() int { return MostKills },
		})
		template.Must(t.New(TasksScript).Parse(tasksText))
		template.Must(t.New(MergeScript).Parse(mergeText))
		return template.Must(t.New(SubmitScript).Parse(submitText))
	}()
)

// Scripts returns the texts of the scripts by their names. It fails where a value can't
// stand in a script.
func (j *Job) Scripts() (map[string]string, error) {
	if err := j.check(); err != nil {
		return nil, err
	}
	scripts := map[string]string{}
	for _, name := range []string{TasksScript, MergeScript, SubmitScript} {
		var b strings.Builder
		if err := templates.ExecuteTemplate(&b, name, j); err != nil {
			return nil, err
		}
		scripts[name] = b.String()
	}
	return scripts, nil
}

func (j *Job) check() error {
	switch {
	case j.Tasks < 1 || j.Tasks > MostTasks:
		return fmt.Errorf("1 to %d tasks are possible (got %d)", MostTasks, j.Tasks)
	case j.Processors < 1:
		return fmt.Errorf("a task takes 1 processor or more (got %d)", j.Processors)
	case j.Memory < 1 || j.MergeMemory < 1:
		return fmt.Errorf("a task takes 1 MB or more (got %d)", min(j.Memory, j.MergeMemory))
	case j.Time < time.Minute || j.MergeTime < time.Minute:
		return errors.New("a time limit is a minute or more")
	}
	for _, path := range []string{j.Program, j.Folder, j.Result} {
		if !filepath.IsAbs(path) {
			return fmt.Errorf("a path from the root is wanted (got %s)", path)
		}
	}
	for _, d := range j.Directives {
		if err := CheckDirective(d); err != nil {
			return err
		}
	}
	for _, word := range []string{j.Name, j.Partition, j.Account} {
		if err := CheckWord(word); err != nil {
			return err
		}
	}
	for _, text := range append(append([]string{j.Program, j.Folder, j.Result}, j.Command...), j.Merge...) {
		if err := CheckText(text); err != nil {
			return err
		}
	}
	return nil
}

// CheckDirective is an error where a text can't stand as a further option of sbatch.
func CheckDirective(text string) error {
	if name := strings.TrimPrefix(text, "--"); name == text || !beginsSmall(name) || strings.ContainsAny(text, " \t") {
		return fmt.Errorf("an option of sbatch as one word is wanted, --qos=long (got %q)", text)
	}
	return CheckText(text)
}

// beginsSmall reports whether a text begins with a small letter.
func beginsSmall(text string) bool { return text != "" && text[0] >= 'a' && text[0] <= 'z' }

// CheckWord is an error where a text can't stand as a name behind an option of sbatch.
func CheckWord(text string) error {
	if strings.ContainsAny(text, " \t\"'\\") {
		return fmt.Errorf("one word without quotes is wanted (got %q)", text)
	}
	return CheckText(text)
}

// CheckText is an error where a text can't stand in a script at all.
func CheckText(text string) error {
	if strings.ContainsFunc(text, func(r rune) bool { return r < ' ' || r == 0x7f }) {
		return fmt.Errorf("a line break or a control character can't stand in a script (got %q)", text)
	}
	return nil
}

// Quote writes a text as one word of a POSIX shell, whatever it holds.
func Quote(text string) string { return "'" + strings.ReplaceAll(text, "'", `'\''`) + "'" }

// quoteAll writes texts as words of a command line.
func quoteAll(texts []string) string {
	var words []string
	for _, t := range texts {
		words = append(words, Quote(t))
	}
	return strings.Join(words, " ")
}

// limit writes a time limit as Slurm reads it, hours, minutes and seconds.
func limit(d time.Duration) string {
	s := int(d.Round(time.Second) / time.Second)
	return fmt.Sprintf("%d:%02d:%02d", s/3600, s/60%60, s%60)
}
