package main

import (
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"runtime"
	"runtime/debug"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"sumpward/report"
)

// scenarioFormat is the format of scenarios that are read.
const scenarioFormat = 1

// notices are those of the modules that the program is built from.
//
//go:embed notices.txt
var notices string

func newVersionCommand(a *app) *cobra.Command {
	format := formatFlag(report.Text)
	var ofOthers bool
	c := &cobra.Command{
		Use:   "version",
		Short: "Print the version, and what it was built from",
		Long: `Version says what was built, from what and with what: put it into a report of an
error. With --notices it prints the licences of the modules it is built from.`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			var text string
			switch {
			case ofOthers:
				text = notices
			case report.Format(format) == report.Text:
				text = thisBuild().String()
			case report.Format(format) == report.JSON:
				data, err := json.MarshalIndent(thisBuild(), "", "  ")
				if err != nil {
					return err
				}
				text = string(data) + "\n"
			default:
				return usageError{errors.New("--format: version is printed as table or json")}
			}
			_, err := io.WriteString(a.stdout, text)
			return err
		},
	}
	c.Flags().Var(&format, "format", "table or json")
	c.Flags().BoolVar(&ofOthers, "notices", false, "print the licences of the modules it is built from")
	_ = c.RegisterFlagCompletionFunc("format", cobra.FixedCompletions([]string{string(report.Text), string(report.JSON)}, cobra.ShellCompDirectiveNoFileComp))
	return c
}

// build is what a program was built from, and with what.
type build struct {
	Format         string `json:"format"`
	FormatVersion  int    `json:"version"`
	Program        string `json:"program"`             // version(): one line
	Module         string `json:"module_version"`      // "(devel)" where it has none
	Commit         string `json:"commit,omitempty"`    // empty: built without version control
	Committed      string `json:"committed,omitempty"` // RFC 3339, UTC
	Modified       *bool  `json:"modified,omitempty"`  // since the commit
	Go             string `json:"go"`
	System         string `json:"os"`
	Processor      string `json:"arch"`
	ScenarioFormat int    `json:"scenario_format"`
}

// thisBuild is that of the program that runs.
func thisBuild() build {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		info = &debug.BuildInfo{GoVersion: runtime.Version()}
	}
	return buildOf(info, runtime.GOOS, runtime.GOARCH)
}

func buildOf(info *debug.BuildInfo, system, processor string) build {
	b := build{
		Format: "sumpward/version", FormatVersion: 1, Module: info.Main.Version,
		Go: info.GoVersion, System: system, Processor: processor, ScenarioFormat: scenarioFormat,
	}
	if b.Module == "" {
		b.Module = "(unknown)"
	}
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			b.Commit = s.Value
		case "vcs.time":
			b.Committed = s.Value
		case "vcs.modified":
			modified := s.Value == "true"
			b.Modified = &modified
		}
	}
	b.Program = b.line()
	return b
}

// version says on one line what was built, and which scenarios are read.
func version() string { return thisBuild().Program }

// line tells builds of different commits apart, whether or not the module's version
// does, as that of a release doesn't.
func (b build) line() string {
	built := b.Module
	if commit := b.Commit[:min(len(b.Commit), 12)]; !strings.Contains(built, commit) {
		built += " " + commit
	}
	if b.modified() && !strings.HasSuffix(built, "+dirty") {
		built += " modified"
	}
	return fmt.Sprintf("sumpward %s, %s, scenario format %d", built, b.Go, b.ScenarioFormat)
}

func (b build) modified() bool { return b.Modified != nil && *b.Modified }

// String is for people.
func (b build) String() string {
	commit := "not known: built without version control"
	if b.Commit != "" {
		commit = b.Commit
		if b.modified() {
			commit += ", modified since"
		}
	}
	text := fmt.Sprintf("sumpward   %s\ncommit     %s\n", b.Module, commit)
	if t, err := time.Parse(time.RFC3339, b.Committed); err == nil {
		text += fmt.Sprintf("committed  %s\n", t.UTC().Format("2006-01-02 15:04 UTC"))
	}
	return text + fmt.Sprintf("built      with %s, for %s/%s\nreads      scenarios of format %d\n", b.Go, b.System, b.Processor, b.ScenarioFormat) +
		"licence    Apache-2.0; of what it is built from: sumpward version --notices\n"
}
