package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"sumpward/report"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim/decide"
)

// chooseFlags are those of choose.
type chooseFlags struct {
	scenario scenarioFlags
	sampling samplingFlags
	output   outputFlags
	page     pageFlags
}

func newChooseCommand(a *app) *cobra.Command {
	var f chooseFlags
	c := &cobra.Command{
		Use:   "choose [FILE SHELF]",
		Short: "Which can of a shelf fits the bay and keeps the limit of risk",
		Long: `Choose looks at each can of a shelf in each place of the bay where it fits: the
chance that its drain backs up or oil gets past, the smallest, the lightest and
the cheapest that keep limits.risk at the longest session, and whether a can
without a drain would do and how often it must be emptied.

SHELF is a file of cans and places: sumpward new --shelf FILE writes one to
start from. What it says of separator and drain stands instead of what the
scenario says; the rest stays. Without FILE and SHELF the ready-made ones are
taken.

2,000 realizations of each are run, and more where these can't tell, unless
--realizations or --sampling-error say otherwise. Sessions without emptying are
simulated as one as long as all of them: that each starts with a cool sump is
left out; the oil that is carried over doesn't depend on its temperature.`,
		Example: `  sumpward choose
  sumpward new --shelf my-shelf.yaml
  sumpward choose my-car.yaml my-shelf.yaml --sessions 25min`,
		Args: fileAndShelf,
		RunE: func(c *cobra.Command, args []string) error { return f.run(a, c, args) },
	}
	f.scenario.add(c)
	f.sampling.add(c)
	f.output.add(c)
	f.page.add(c)
	c.ValidArgsFunction = completeFileAndShelf
	return c
}

// fileAndShelf lets choose take a scenario and a shelf, or neither.
func fileAndShelf(_ *cobra.Command, args []string) error {
	switch {
	case len(args) == 1:
		return fmt.Errorf("FILE and SHELF go together (got %s alone): name both, or neither for the ready-made ones", args[0])
	case len(args) > 2:
		return fmt.Errorf("FILE and SHELF, no more (got %d: %s): quote a name that holds spaces", len(args), strings.Join(args, ", "))
	}
	return nil
}

// completeFileAndShelf offers the ready-made ones beside files.
func completeFileAndShelf(c *cobra.Command, args []string, to string) ([]string, cobra.ShellCompDirective) {
	if len(args) == 1 {
		return []string{scenarios.ReadyShelfName}, cobra.ShellCompDirectiveDefault
	}
	return completeScenario(c, args, to)
}

func (f *chooseFlags) run(a *app, c *cobra.Command, args []string) error {
	options, err := f.sampling.options(c)
	if err != nil {
		return err
	}
	if err := f.output.prepare(c); err != nil {
		return err
	}
	if err := f.page.prepare(c, &f.output); err != nil {
		return err
	}
	s, err := f.scenario.load(a, args[:min(1, len(args))])
	if err != nil {
		return err
	}
	sh, err := a.shelf(args)
	if err != nil {
		return err
	}
	if _, err := model(s); err != nil {
		return err
	}
	var finish func()
	options.Progress, finish = a.progress(-1)
	defer finish()
	choice, err := decide.Choose(c.Context(), s, sh, options)
	if err != nil {
		return err
	}
	finish()
	for _, w := range sh.Warnings {
		a.warn([]string{fmt.Sprintf("shelf, line %d: %s: %s", w.Line, w.Path, w.Text)})
	}
	a.warn(choice.Warnings)
	r := report.Choose{Choice: choice, Units: units.System(f.output.units)}
	if err := f.output.emit(a, r); err != nil {
		return err
	}
	if !f.page.wanted() {
		return nil
	}
	found, err := chosenForPage(choice, options, r.Units)
	if err != nil {
		return err
	}
	found.force = f.output.force
	return f.page.write(c.Context(), a, found)
}

// shelf loads the shelf that the command line names, or the ready-made one.
func (a *app) shelf(args []string) (*scenarios.Shelf, error) {
	if len(args) > 1 {
		_, err := os.Stat(args[1])
		switch {
		case err == nil:
			sh, err := scenarios.LoadShelf(args[1])
			if err != nil {
				return nil, shelfError{err}
			}
			return sh, nil
		case !errors.Is(err, fs.ErrNotExist):
			return nil, shelfError{fmt.Errorf("read shelf: %w", err)}
		case args[1] != scenarios.ReadyShelfName:
			return nil, shelfError{fmt.Errorf("there is no file %q, nor a ready-made shelf of that name (there is %s)\n  to start a file: sumpward new --shelf FILE", args[1], scenarios.ReadyShelfName)}
		}
	}
	a.say("this is the ready-made shelf %s: an example, no real cans", scenarios.ReadyShelfName)
	return scenarios.ReadyShelf()
}
