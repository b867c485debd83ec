package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"sumpward/scenarios"
	"sumpward/sim/kept"
)

// mergeFlags are those of merge, and those that it hands on to the command that its
// partial results are of.
type mergeFlags struct {
	scenario     string
	allowMissing bool
}

// merging is what the command that merge executes takes its work from.
type merging struct {
	*kept.Merged
	allowMissing bool
}

func newMergeCommand(a *app) *cobra.Command {
	var f mergeFlags
	c := &cobra.Command{
		Use:   "merge PART...",
		Short: "Partial results put together to what one run gives",
		Long: `Merge puts together what run, size or vary wrote with --shard K/N: the result is
byte for byte that of one run. Which command it was, with what, the partial
results know; how the result is told is said here, as it would be there.

A folder stands for the files in it that end in .json.

A part that is missing, stands twice, is damaged or is of something else is an
error that names it. With --allow-missing the result of run and vary covers what
is there, and says what is not; size simulates what is missing.`,
		Example: `  sumpward run car.yaml --realizations 1000000 --shard 1/3 -o part-1.json
  sumpward merge part-*.json --format json -o result.json
  sumpward merge part-*.json --report page.html`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return errors.New("name the partial results: sumpward merge part-*.json")
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error { return f.run(a, c, args) },
	}
	c.Flags().StringVar(&f.scenario, "scenario", "", "the scenario's `FILE`, where it is no longer where it was")
	c.Flags().BoolVar(&f.allowMissing, "allow-missing", false, "let parts be missing")
	handedOn(c)
	return c
}

// handedOn adds the flags of run, size and vary that say how a result is told.
func handedOn(c *cobra.Command) {
	var output outputFlags
	var page pageFlags
	var card cardFlags
	var plot plotFlags
	output.add(c)
	page.add(c)
	card.add(c)
	plot.add(c)
	c.Flags().StringArray("require", nil, "a `LIMIT` that the result has to keep, as of run")
	c.Flags().Bool("quick", false, "chances alone: leave out what they rest on, as of run")
	addWorkers(c, new(int))
	c.Flags().Lookup("force").Usage = "let the files that are written replace others"
}

func (f *mergeFlags) run(a *app, c *cobra.Command, args []string) error {
	paths, err := partsIn(args)
	if err != nil {
		return err
	}
	var parts []kept.Named
	for _, path := range paths {
		part, err := kept.Open(path, kept.Part)
		if errors.As(err, new(*kept.DamagedError)) {
			err = fmt.Errorf("%w: copy it anew, or simulate that shard again", err)
		}
		if err != nil {
			return partError{err}
		}
		parts = append(parts, kept.Named{Name: path, File: part})
	}
	merged, err := kept.Merge(parts)
	if err != nil {
		return partError{err}
	}
	if err := f.complete(merged); err != nil {
		return err
	}
	if f.allowMissing && len(merged.Missing) > 0 {
		a.warn([]string{missingText(merged)})
	}
	line, err := f.commandLine(c, merged)
	if err != nil {
		return err
	}
	return a.merge(c.Context(), &merging{merged, f.allowMissing && len(merged.Missing) > 0}, line)
}

// partsIn lists partial results: a folder stands for all files in it that end in .json.
func partsIn(args []string) ([]string, error) {
	var paths []string
	for _, arg := range args {
		if info, err := os.Stat(arg); err != nil || !info.IsDir() {
			paths = append(paths, arg)
			continue
		}
		entries, err := os.ReadDir(arg)
		if err != nil {
			return nil, partError{err}
		}
		before := len(paths)
		for _, e := range entries {
			if !e.IsDir() && filepath.Ext(e.Name()) == ".json" {
				paths = append(paths, filepath.Join(arg, e.Name()))
			}
		}
		if len(paths) == before {
			return nil, partError{fmt.Errorf("%s: a folder without partial results: they end in .json", arg)}
		}
	}
	return paths, nil
}

// partError is a partial result that can't be read, or doesn't go with the others.
type partError struct{ error }

func (e partError) Unwrap() error { return e.error }

// complete is an error where parts are missing that may not be.
func (f *mergeFlags) complete(m *kept.Merged) error {
	if len(m.Missing) == 0 || f.allowMissing {
		return nil
	}
	it := "them"
	if len(m.Missing) == 1 {
		it = "it"
	}
	return partError{fmt.Errorf("%s: simulate %s, or let %s be missing with --allow-missing", missingText(m), it, it)}
}

// missingText lists the shards that are missing, neighbours as a range.
func missingText(m *kept.Merged) string {
	var list []string
	for i := 0; i < len(m.Missing); {
		j := i
		for j+1 < len(m.Missing) && m.Missing[j+1] == m.Missing[j]+1 {
			j++
		}
		text := fmt.Sprint(m.Missing[i])
		if j > i {
			text += fmt.Sprintf(" to %d", m.Missing[j])
		}
		list = append(list, text)
		i = j + 1
	}
	const most = 8
	if len(list) > most {
		list = append(list[:most], "and more")
	}
	are := "are"
	if len(m.Missing) == 1 {
		are = "is"
	}
	return fmt.Sprintf("%d of %d shards %s missing: %s", len(m.Missing), m.Shards, are, strings.Join(list, ", "))
}

// commandLine is that of the one run that the parts are shards of.
func (f *mergeFlags) commandLine(c *cobra.Command, m *kept.Merged) ([]string, error) {
	if !slices.Contains([]string{"run", "size", "vary"}, m.Command) {
		return nil, partError{fmt.Errorf("partial results of %q: those of run, size and vary can be merged", m.Command)}
	}
	line := append([]string{m.Command}, m.Arguments...)
	target, _, err := newRootCommand(&app{}).Find([]string{m.Command})
	if err != nil {
		return nil, err
	}
	for _, argument := range m.Arguments {
		if !recorded(target, argument) {
			return nil, partError{fmt.Errorf("the partial results hold an argument that none is written with (%.60q): nothing was done", argument)}
		}
	}
	c.Flags().Visit(func(flag *pflag.Flag) {
		switch {
		case flag.Name == "scenario" || flag.Name == "allow-missing":
		case target.Flags().Lookup(flag.Name) == nil:
			err = errors.Join(err, fmt.Errorf("--%s: %s, which these parts are of, has no such flag", flag.Name, m.Command))
		default:
			line = append(line, withValues(flag)...)
		}
	})
	if err != nil {
		return nil, usageError{err}
	}
	name := m.Scenario.Name
	if f.scenario != "" {
		name = f.scenario
	} else if err := there(name); err != nil {
		return nil, scenarioError{err}
	}
	if name != "" {
		line = append(line, "--", name)
	}
	return line, nil
}

// there is an error where a scenario that partial results name can't be read from there.
func there(name string) error {
	switch info, err := os.Stat(name); {
	case err == nil && !info.Mode().IsRegular():
		return fmt.Errorf("the scenario that the partial results name (%.200s) is no ordinary file: name it with --scenario FILE", name)
	case err != nil && name != "" && !slices.Contains(scenarios.ReadyNames(), name):
		return fmt.Errorf("the scenario that the partial results name (%.200s) is not there: say with --scenario FILE where it is now", name)
	}
	return nil
}

// recorded reports whether a partial result may hold an argument: a flag of its command
// that the result depends on. One that names a file to write is none of them, whoever
// made the partial result.
func recorded(c *cobra.Command, argument string) bool {
	flag, isFlag := strings.CutPrefix(argument, "--")
	name, _, hasValue := strings.Cut(flag, "=")
	return isFlag && hasValue && !slices.Contains(notRecorded, name) && c.Flags().Lookup(name) != nil
}

// withValues writes a flag with its values as they stand on a command line.
func withValues(flag *pflag.Flag) []string {
	values := []string{flag.Value.String()}
	if list, many := flag.Value.(pflag.SliceValue); many {
		values = list.GetSlice()
	}
	var line []string
	for _, v := range values {
		line = append(line, "--"+flag.Name+"="+v)
	}
	return line
}

// merge executes the command line of one run on work that was done in shards.
func (a *app) merge(ctx context.Context, m *merging, line []string) error {
	a.merging = m
	defer func() { a.merging = nil }()
	root := newRootCommand(a)
	root.SetArgs(line)
	root.SetOut(plainWriter{a.stdout})
	root.SetErr(plainWriter{a.stderr})
	return root.ExecuteContext(ctx)
}

// takeParts takes up the work of partial results of a command on a scenario.
func (w *work) takeParts(m *merging) error {
	if m.Program != w.content.Program {
		return partError{fmt.Errorf("the partial results were simulated by another program (%s; this is %s): merge them with that one", m.Program, w.content.Program)}
	}
	if m.Sampling != w.content.Sampling { // a design that was the default of the program when they were simulated
		return partError{fmt.Errorf("the partial results are of sampling %s, and their command is one of sampling %s in this program: merge them with the program that simulated them", m.Sampling, w.content.Sampling)}
	}
	if m.Scenario.Fingerprint != w.content.Scenario.Fingerprint {
		return partError{fmt.Errorf("the scenario is not that of the partial results: %q, which has changed since, or is another (%.12s, they are of %.12s): name it with --scenario FILE",
			w.content.Scenario.Title, w.content.Scenario.Fingerprint, m.Scenario.Fingerprint)}
	}
	w.Work, w.partial = m.Work, m.allowMissing
	return nil
}
