package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"sumpward/report"
	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/logbook"
	"sumpward/scenarios/units"
)

// bookError is a logbook that can't be read, or an entry that can't be kept.
type bookError struct{ error }

func (e bookError) Unwrap() error { return e.error }

func newLogbookCommand(a *app) *cobra.Command {
	c := &cobra.Command{
		Use:   "logbook",
		Short: "Keep what was seen of the shop's cars, and what it tells",
		Long: `Logbook keeps what was drained, topped up, read and seen of a shop's cars, an
entry a session, in a CSV file that a spreadsheet opens. From it come the file
of what was seen that learn and diagnose read, a range for the next car, and how
past forecasts came true.`,
		Example: `  sumpward logbook add --book shop.csv --car 42 --session 25min --drained 120mL
  sumpward logbook list --book shop.csv --car 42
  sumpward logbook seen --book shop.csv --car 42 -o seen.yaml
  sumpward logbook pool --book shop.csv
  sumpward logbook score --book shop.csv --plot forecasts.svg`,
		Args: cobra.NoArgs,
	}
	c.AddCommand(newLogbookAddCommand(a), newLogbookListCommand(a), newLogbookSeenCommand(a), newLogbookPoolCommand(a), newLogbookScoreCommand(a))
	return c
}

// bookFlags name a logbook and a car in it.
type bookFlags struct {
	book string
	car  string
}

func (f *bookFlags) add(c *cobra.Command, car string) {
	c.Flags().StringVar(&f.book, "book", "", "the logbook: a CSV `FILE`")
	if car != "" {
		c.Flags().StringVar(&f.car, "car", "", car)
	}
	c.Args = cobra.NoArgs
}

// open reads the logbook; without --book the ready-made one, which it says.
func (f *bookFlags) open(a *app) (*logbook.Book, error) {
	if f.book == "" {
		a.say("no --book: this is the ready-made logbook of the Larkmoor shop, an example, not yours")
		return parsedBook(logbook.Read(bytes.NewReader(scenarios.ReadyLogbookSource()), scenarios.ReadyLogbookName))
	}
	b, err := parsedBook(logbook.Open(f.book))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("there is no logbook %s: begin it with sumpward logbook add --book %s", f.book, shellQuoted(f.book))
	}
	if err != nil {
		return nil, err
	}
	a.warn(b.Warnings)
	return b, nil
}

// parsedBook marks the problems of a logbook as such.
func parsedBook(b *logbook.Book, err error) (*logbook.Book, error) {
	return b, ofABook(err)
}

// ofABook turns the problems of a logbook to those that are listed one a line.
func ofABook(err error) error {
	var list logbook.Problems
	if !errors.As(err, &list) {
		return err
	}
	var out scenarios.Problems
	for _, p := range list {
		out = append(out, scenarios.Problem{File: p.Name, Line: p.Line, Path: p.Column, What: p.What, Hint: p.Hint})
	}
	return bookError{out}
}

func newLogbookListCommand(a *app) *cobra.Command {
	var f bookFlags
	var output outputFlags
	c := &cobra.Command{
		Use:   "list",
		Short: "The entries of a logbook, or of one of its cars",
		RunE: func(c *cobra.Command, _ []string) error {
			if err := output.prepare(c); err != nil {
				return err
			}
			b, err := f.open(a)
			if err != nil {
				return err
			}
			entries := b.Entries
			if f.car != "" {
				entries = b.Of(f.car)
			}
			return output.emit(a, report.LogbookList{Book: b, Entries: entries, Car: f.car, Units: units.System(output.units)})
		},
	}
	f.add(c, "entries of one `CAR` only")
	output.add(c)
	return c
}

func newLogbookSeenCommand(a *app) *cobra.Command {
	var f bookFlags
	var output outputFlags
	var since string
	var first bool
	c := &cobra.Command{
		Use:   "seen --car CAR",
		Short: "What was seen of a car, as the file that learn and diagnose read",
		Long: `Seen writes the entries of a car as a file of observations, each with the error
that such a reading has (a prior: change it there if yours are better). What the
book leaves open is left out, and said: a top-up, for instance, is for the
sessions since the one before it.

What was seen before another can or drain was fitted doesn't belong to the
scenario of the present one: leave it out with --since, or name the variant that
was fitted in the logbook's column layout.`,
		Example: `  sumpward logbook seen --book shop.csv --car 42 -o seen.yaml
  sumpward logbook seen --book shop.csv --car 42 --since 2026-05-01`,
		RunE: func(c *cobra.Command, _ []string) error {
			if f.car == "" {
				return usageError{errors.New("--car: name the car: --car 42")}
			}
			if output.file != "" {
				if err := mayWrite(output.file, output.force); err != nil {
					return err
				}
			}
			b, err := f.open(a)
			if err != nil {
				return err
			}
			entries, err := entriesSince(b, f.car, since)
			if err != nil {
				return err
			}
			file, left := logbook.Seen(f.title(), entries, first)
			a.warn(left)
			return output.put(a, []byte(file))
		},
	}
	f.add(c, "the `CAR`")
	output.addFile(c)
	c.Flags().StringVar(&since, "since", "", "entries from a `DATE` on: 2026-05-09")
	c.Flags().BoolVar(&first, "from-full", false, "the oil was at its mark before the first of these entries: the first top-up counts")
	return c
}

// title names a car of a logbook.
func (f *bookFlags) title() string {
	if f.book == "" {
		return "Larkmoor, car " + f.car + ", from the logbook"
	}
	return "car " + f.car + ", from the logbook " + filepath.Base(f.book)
}

// entriesSince are those of a car from a day on.
func entriesSince(b *logbook.Book, car, since string) ([]logbook.Entry, error) {
	entries := b.Of(car)
	if len(entries) == 0 {
		return nil, usageError{fmt.Errorf("--car %s: not in the logbook, which holds %s", car, words.OneLine(carList(b)))}
	}
	if since == "" {
		return entries, nil
	}
	from, err := logbook.ParseDate(since)
	if err != nil {
		return nil, usageError{fmt.Errorf("--since: %w", err)}
	}
	var list []logbook.Entry
	for _, e := range entries {
		if !e.Date.Before(from) {
			list = append(list, e)
		}
	}
	if len(list) == 0 {
		return nil, usageError{fmt.Errorf("--since %s: car %s has no entry from then on", since, car)}
	}
	return list, nil
}

func carList(b *logbook.Book) string {
	text := ""
	for i, car := range b.Cars() {
		if i > 0 {
			text += ", "
		}
		text += car
	}
	if text == "" {
		return "no car"
	}
	return "the cars " + text
}

// exists reports whether there is a file.
func exists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}
