package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"sumpward/report/page"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
)

// cardFlags say where a pit card is written to.
type cardFlags struct{ file string }

// add adds the flag. It comes after those of the report and the page: --force
// serves all.
func (f *cardFlags) add(c *cobra.Command) {
	c.Flags().StringVar(&f.file, "card", "", "write a card for the pit wall, too, to a `FILE`.html: when to look, empty, stop")
	if force := c.Flags().Lookup("force"); force != nil {
		force.Usage = "let -o and --card replace a file"
		if c.Flags().Lookup("report") != nil {
			force.Usage = "let -o, --report and --card replace a file"
		}
	}
	_ = c.RegisterFlagCompletionFunc("card", cobra.FixedCompletions([]string{"html"}, cobra.ShellCompDirectiveFilterFileExt))
}

// prepare checks, ahead of any work, that the card can be written; other is the
// file that a page goes to, empty for none.
func (f *cardFlags) prepare(c *cobra.Command, o *outputFlags, other string) error {
	if !c.Flags().Changed("card") {
		return nil
	}
	if err := namedHTML("--card", "card", f.file); err != nil {
		return err
	}
	if err := apart("-o", o.file, "--card", f.file); err != nil {
		return err
	}
	if err := apart("--report", other, "--card", f.file); err != nil {
		return err
	}
	return mayWrite(f.file, o.force)
}

// write runs the scenario once more, over many session lengths of the same
// draws, and writes the card whole, or nothing of it. Without the flag it does
// nothing.
func (f *cardFlags) write(ctx context.Context, a *app, s *scenarios.Scenario, o sim.Options, output *outputFlags) error {
	if f.file == "" {
		return nil
	}
	dense, err := page.CardScenario(s)
	if err != nil {
		return err
	}
	if o.SamplingError = 0; o.Realizations == 0 {
		o.Realizations = page.CardRealizations(s.Limits.Risk.Nominal())
	}
	m, err := model(dense)
	if err != nil {
		return err
	}
	var finish func()
	o.Progress, finish = a.progress(o.Realizations)
	res, err := m.Run(ctx, o)
	finish()
	if err != nil {
		return fmt.Errorf("simulate for the card: %w", err)
	}
	if res.Interrupted {
		a.say("no card: the run was interrupted")
		return interrupted{errors.New("interrupted while simulating for the card")}
	}
	check, err := m.CheckDrain(ctx)
	if err != nil {
		return fmt.Errorf("check the drain for the card: %w", err)
	}
	var b bytes.Buffer
	card := page.Card{Program: version(), Units: units.System(output.units), Model: m, Result: res, Check: check, Shortest: s.Sessions[0]}
	if err := page.WriteCard(&b, card); err != nil {
		return fmt.Errorf("write the card: %w", err)
	}
	if err := writeFile(f.file, b.Bytes(), output.force); err != nil {
		return err
	}
	a.say("wrote %s", f.file)
	return nil
}
