package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"sumpward/report/page"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// pageFlags say where a page is written to, and what the options on it cost.
type pageFlags struct {
	file   string
	prices []string
}

// add adds the flags. They come after those of the report: --force serves both.
func (f *pageFlags) add(c *cobra.Command) {
	c.Flags().StringVar(&f.file, "report", "", "write a page for a customer, too, to a `FILE`.html that stands alone")
	c.Flags().StringArrayVar(&f.prices, "price", nil, "what a layout on the page costs: \"`NAME=TEXT`\", for instance \"larger can=240 EUR\"; more than once if need be")
	if force := c.Flags().Lookup("force"); force != nil {
		force.Usage = "let -o and --report replace a file"
	}
	_ = c.RegisterFlagCompletionFunc("report", cobra.FixedCompletions([]string{"html"}, cobra.ShellCompDirectiveFilterFileExt))
}

// prepare checks, ahead of any work, that the page can be written.
func (f *pageFlags) prepare(c *cobra.Command, o *outputFlags) error {
	if !c.Flags().Changed("report") {
		if len(f.prices) > 0 {
			return usageError{errors.New("--price goes with --report: name the page's file")}
		}
		return nil
	}
	if err := namedHTML("--report", "page", f.file); err != nil {
		return err
	}
	if err := apart("-o", o.file, "--report", f.file); err != nil {
		return err
	}
	if _, err := f.priceList(); err != nil {
		return err
	}
	return mayWrite(f.file, o.force)
}

// wanted reports whether a page is to be written.
func (f *pageFlags) wanted() bool { return f.file != "" }

// priceList reads the prices by name of a layout.
func (f *pageFlags) priceList() (map[string]string, error) {
	list := map[string]string{}
	for _, p := range f.prices {
		name, price, given := strings.Cut(p, "=")
		name, price = strings.TrimSpace(name), strings.TrimSpace(price)
		if !given || name == "" || price == "" {
			return nil, usageError{fmt.Errorf("--price %q: write NAME=TEXT, for instance --price \"larger can=240 EUR\"", p)}
		}
		if _, twice := list[name]; twice {
			return nil, usageError{fmt.Errorf("--price: %q has two prices: give one", name)}
		}
		list[name] = price
	}
	return list, nil
}

// priced checks that every price is that of a layout on the page.
func (f *pageFlags) priced(names []string) error {
	list, err := f.priceList()
	if err != nil {
		return err
	}
	for name := range list {
		if !slices.Contains(names, name) {
			return usageError{fmt.Errorf("--price: there is no layout %q on the page (there are %s)", name, strings.Join(names, ", "))}
		}
	}
	return nil
}

// options returns the layouts that the page of a scenario shows side by side, the
// scenario first; nothing where no page is wanted. It checks the prices.
func (f *pageFlags) options(s *scenarios.Scenario) ([]decide.Layout, error) {
	if !f.wanted() {
		return nil, nil
	}
	layouts, err := decide.Options(s)
	if err != nil {
		return nil, err
	}
	return layouts, f.priced(namesOf(layouts))
}

func namesOf(layouts []decide.Layout) []string {
	var names []string
	for _, l := range layouts {
		names = append(names, l.Name)
	}
	return names
}

// pageContent is what a command found for a page.
type pageContent struct {
	command  string
	scenario *scenarios.Scenario // the layout that the page is about
	result   *sim.Result         // of it; nil: to be worked out
	sampling sim.Options         // that the command was run with
	layouts  []decide.Layout     // to be shown side by side, that one first
	prices   map[string]string   // known beside those of the command line
	sizing   *decide.Sizing      // nil: to be worked out
	rests    *decide.Dependence  // of the verdict that the command told
	emptying *decide.EmptyingTable
	quick    bool // leave out what the answer rests on
	choice   *decide.Choice
	units    units.System
	force    bool
}

// write works out what else the page shows, and writes it whole, or nothing of it.
func (f *pageFlags) write(ctx context.Context, a *app, found pageContent) error {
	if !f.wanted() {
		return nil
	}
	if found.result != nil && found.result.Interrupted {
		a.say("no page: the run was interrupted")
		return nil
	}
	if err := f.priced(namesOf(found.layouts)); err != nil {
		return err
	}
	p, err := a.page(ctx, found)
	if err != nil {
		return err
	}
	if p.Prices, err = f.priceList(); err != nil {
		return err
	}
	for name, price := range found.prices {
		if _, given := p.Prices[name]; !given {
			p.Prices[name] = price
		}
	}
	var b bytes.Buffer
	if err := page.Write(&b, p); err != nil {
		return fmt.Errorf("write the page: %w", err)
	}
	if err := writeFile(f.file, b.Bytes(), found.force); err != nil {
		return err
	}
	a.say("wrote %s", f.file)
	return nil
}
