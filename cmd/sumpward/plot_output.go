package main

import (
	"bytes"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"sumpward/report/plot"
)

// plotFlags say where a picture is written to, beside the report.
type plotFlags struct {
	file   string
	format plot.Format
}

// picture is what can be drawn.
type picture interface {
	Write(w io.Writer, f plot.Format) error
}

// add adds the flag. It comes after those of the report: --force serves both.
func (p *plotFlags) add(c *cobra.Command) {
	c.Flags().StringVar(&p.file, "plot", "", "draw it too, to a `FILE` that ends in .svg or .png")
	if force := c.Flags().Lookup("force"); force != nil {
		force.Usage = "let -o and --plot replace a file"
	}
	_ = c.RegisterFlagCompletionFunc("plot", cobra.FixedCompletions([]string{"svg", "png"}, cobra.ShellCompDirectiveFilterFileExt))
}

// prepare checks, ahead of any work, that the picture can be written.
func (p *plotFlags) prepare(c *cobra.Command, o *outputFlags) error {
	if !c.Flags().Changed("plot") {
		return nil
	}
	var err error
	if p.format, err = plot.FormatByEnding(p.file); err != nil {
		return usageError{fmt.Errorf("--plot %s: %w", p.file, err)}
	}
	if err := apart("-o", o.file, "--plot", p.file); err != nil {
		return err
	}
	return mayWrite(p.file, o.force)
}

// emit writes the picture whole, or nothing of it.
func (p *plotFlags) emit(a *app, drawn picture, force bool) error {
	if p.file == "" {
		return nil
	}
	var b bytes.Buffer
	if err := drawn.Write(&b, p.format); err != nil {
		return fmt.Errorf("draw %s: %w", p.file, err)
	}
	if err := writeFile(p.file, b.Bytes(), force); err != nil {
		return err
	}
	a.say("wrote %s", p.file)
	return nil
}
