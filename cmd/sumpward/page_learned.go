package main

import (
	"bytes"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"sumpward/report/page"
	"sumpward/scenarios/units"
)

// findingPage says where the page on what a command found is written to. It has no
// layouts side by side, and so no prices.
type findingPage struct{ pageFlags }

// add adds the flag. It comes after those of the report: --force serves both.
func (f *findingPage) add(c *cobra.Command) {
	c.Flags().StringVar(&f.file, "report", "", "write a page of it, too, to a `FILE`.html that stands alone")
	c.Flags().Lookup("force").Usage = "let -o and --report replace a file"
	_ = c.RegisterFlagCompletionFunc("report", cobra.FixedCompletions([]string{"html"}, cobra.ShellCompDirectiveFilterFileExt))
}

// write writes the page whole, or nothing of it.
func (f *findingPage) write(a *app, o outputFlags, command string, fill func(io.Writer, page.Made) error) error {
	if !f.wanted() {
		return nil
	}
	var b bytes.Buffer
	if err := fill(&b, page.Made{Program: version(), Command: command, Units: units.System(o.units)}); err != nil {
		return fmt.Errorf("write the page: %w", err)
	}
	if err := writeFile(f.file, b.Bytes(), o.force); err != nil {
		return err
	}
	a.say("wrote %s", f.file)
	return nil
}
