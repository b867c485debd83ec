package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"sumpward/report"
	"sumpward/scenarios/units"
)

// outputFlags say how a report is written and where to.
type outputFlags struct {
	format formatFlag
	units  unitsFlag
	file   string
	force  bool
}

// formatFlag and unitsFlag are checked as they are read.
type (
	formatFlag report.Format
	unitsFlag  units.System
)

func (f *formatFlag) String() string { return string(*f) }
func (f *formatFlag) Type() string   { return "FORMAT" }
func (f *formatFlag) Set(name string) error {
	format, err := report.ParseFormat(name)
	*f = formatFlag(format)
	return err
}

func (u *unitsFlag) String() string {
	if units.System(*u) == units.US {
		return "us"
	}
	return "metric"
}
func (u *unitsFlag) Type() string { return "SYSTEM" }
func (u *unitsFlag) Set(name string) error {
	switch name {
	case "metric":
		*u = unitsFlag(units.Metric)
	case "us":
		*u = unitsFlag(units.US)
	default:
		return fmt.Errorf("unknown system of units %q: use metric or us", name)
	}
	return nil
}

func (o *outputFlags) add(c *cobra.Command) {
	o.format = formatFlag(report.Text)
	c.Flags().Var(&o.format, "format", "table, csv, json or markdown")
	c.Flags().Var(&o.units, "units", "of tables: metric or us; csv and json are in SI")
	o.addFile(c)
	var names []string
	for _, f := range report.Formats {
		names = append(names, string(f))
	}
	_ = c.RegisterFlagCompletionFunc("format", cobra.FixedCompletions(names, cobra.ShellCompDirectiveNoFileComp))
	_ = c.RegisterFlagCompletionFunc("units", cobra.FixedCompletions([]string{"metric", "us"}, cobra.ShellCompDirectiveNoFileComp))
}

func (o *outputFlags) addFile(c *cobra.Command) {
	c.Flags().StringVarP(&o.file, "output", "o", "", "write to a `FILE`; .csv, .json, .md or .txt chooses the format, another ending needs --format")
	c.Flags().BoolVar(&o.force, "force", false, "let -o replace a file")
}

// formatByEnding holds the format that the ending of a file's name stands for.
var formatByEnding = map[string]report.Format{
	"": report.Text, ".txt": report.Text, ".csv": report.CSV, ".json": report.JSON, ".md": report.Markdown,
}

// prepare checks, ahead of any work, that the report can be written.
func (o *outputFlags) prepare(c *cobra.Command) error {
	if !c.Flags().Changed("format") && o.file != "" {
		ending := strings.ToLower(filepath.Ext(o.file))
		format, known := formatByEnding[ending]
		if !known {
			return usageError{fmt.Errorf("-o %s: the ending %s stands for no format: use .csv, .json, .md or .txt, or state --format", o.file, ending)}
		}
		o.format = formatFlag(format)
	}
	if o.file == "" {
		return nil
	}
	return mayWrite(o.file, o.force)
}

// tells reports whether the format has room for more than one table of numbers.
func (o *outputFlags) tells() bool { return report.Format(o.format) != report.CSV }

// emit writes a report whole, or nothing of it.
func (o *outputFlags) emit(a *app, r report.Report) error {
	var b bytes.Buffer
	if err := report.Write(&b, r, report.Format(o.format)); err != nil {
		return fmt.Errorf("write the report: %w", err)
	}
	return o.put(a, b.Bytes())
}

func (o *outputFlags) put(a *app, data []byte) error {
	if o.file != "" {
		if err := writeFile(o.file, data, o.force); err != nil {
			return err
		}
		a.say("wrote %s", o.file)
		return nil
	}
	if _, err := a.stdout.Write(data); err != nil {
		return fmt.Errorf("write the report: %w", err)
	}
	return nil
}
