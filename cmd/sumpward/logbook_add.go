package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"sumpward/report"
	"sumpward/report/words"
	"sumpward/scenarios/logbook"
)

// asked is one thing that an entry may hold, as flag and as question.
type asked struct {
	flag, usage string
	question    string // empty: not asked
	choices     []string
	set         func(*logbook.Entry, string) error
}

func quantityOf(column string, to func(*logbook.Entry) *float64) func(*logbook.Entry, string) error {
	return func(e *logbook.Entry, text string) (err error) {
		*to(e), err = logbook.ParseQuantity(column, text)
		return err
	}
}

func markOf(column string, to func(*logbook.Entry) *logbook.Mark) func(*logbook.Entry, string) error {
	return func(e *logbook.Entry, text string) (err error) {
		*to(e), err = logbook.ParseMark(column, text)
		return err
	}
}

func textOf(to func(*logbook.Entry) *string) func(*logbook.Entry, string) error {
	return func(e *logbook.Entry, text string) error {
		*to(e) = text
		return nil
	}
}

// entryParts are the parts of an entry, in the order of the questions.
var entryParts = []asked{
	{flag: "car", usage: "number or name of the `CAR`", question: "Which car?", set: textOf(func(e *logbook.Entry) *string { return &e.Car })},
	{flag: "date", usage: "`DAY` of the session: 2026-05-09 (today)", set: func(e *logbook.Entry, text string) (err error) {
		e.Date, err = logbook.ParseDate(text)
		return err
	}},
	{flag: "session", usage: "`LENGTH` of the session: 25min", question: "How long was the session? 25 min", set: quantityOf("session", func(e *logbook.Entry) *float64 { return &e.Length })},
	{flag: "drained", usage: "oil out of the can after it, a `VOLUME`: 120mL", question: "What was drained from the can? 120 mL, 4 US fl oz; 0 mL if it was dry", set: quantityOf("drained", func(e *logbook.Entry) *float64 { return &e.Drained })},
	{flag: "drain-returns", usage: "the can drains back to the engine, `YES` or no", set: markOf("drain returns", func(e *logbook.Entry) *logbook.Mark { return &e.Returns })},
	{flag: "topped-up", usage: "oil put back, a `VOLUME`: 0.2L", question: "What was topped up? 0.2 L", set: quantityOf("topped up", func(e *logbook.Entry) *float64 { return &e.ToppedUp })},
	{flag: "vent-hose", usage: "oil in the vent hose: `WET` or dry", question: "Vent hose wet or dry?", choices: []string{"wet", "dry"}, set: markOf("vent hose", func(e *logbook.Entry) *logbook.Mark { return &e.VentHose })},
	{flag: "crankcase", usage: "its `PRESSURE` at full throttle: 0.6kPa", question: "Crankcase pressure at full throttle, if it was read? 0.6 kPa, 2.4 inH2O", set: quantityOf("crankcase full throttle", func(e *logbook.Entry) *float64 { return &e.Crankcase })},
	{flag: "u-tube", usage: "`COLUMN` of oil between crankcase and can at full throttle: 64mm", set: quantityOf("U-tube", func(e *logbook.Entry) *float64 { return &e.UTube })},
	{flag: "pour", usage: "`VOLUME` poured through the drain, engine off: 300mL", set: quantityOf("pour", func(e *logbook.Entry) *float64 { return &e.Pour })},
	{flag: "pour-took", usage: "`TIME` until it had run away: 9s", set: quantityOf("pour took", func(e *logbook.Entry) *float64 { return &e.PourTook })},
	{flag: "oil-temperature", usage: "`TEMPERATURE` of the oil that was poured: 20C", set: quantityOf("oil temperature", func(e *logbook.Entry) *float64 { return &e.OilTemperature })},
	{flag: "overflowed", usage: "oil got past the can, `YES` or no", question: "Did oil get past the can? yes, no", choices: []string{"yes", "no"}, set: markOf("overflowed", func(e *logbook.Entry) *logbook.Mark { return &e.Overflowed })},
	{flag: "backed-up", usage: "the drain backed up, `YES` or no", set: markOf("backed up", func(e *logbook.Entry) *logbook.Mark { return &e.BackedUp })},
	{flag: "forecast-overflow", usage: "`CHANCE` of overflow that was said before: 5%", set: quantityOf("forecast overflow", func(e *logbook.Entry) *float64 { return &e.ForecastOverflow })},
	{flag: "forecast-choked", usage: "`CHANCE` of a choked drain that was said before: 20%", set: quantityOf("forecast choked", func(e *logbook.Entry) *float64 { return &e.ForecastChoked })},
	{flag: "layout", usage: "`NAME` of the variant of the scenario that was fitted", set: textOf(func(e *logbook.Entry) *string { return &e.Layout })},
	{flag: "done", usage: "what was done, a `TEXT`", set: textOf(func(e *logbook.Entry) *string { return &e.Done })},
	{flag: "note", usage: "a `TEXT`", question: "Anything worth a note?", set: textOf(func(e *logbook.Entry) *string { return &e.Note })},
}

func newLogbookAddCommand(a *app) *cobra.Command {
	var book string
	texts := make([]string, len(entryParts))
	c := &cobra.Command{
		Use:   "add --book FILE",
		Short: "Add an entry to a logbook",
		Long: `Add writes one entry at the end of a logbook, and makes one where there is none.
Quantities may be in any unit. What is there stays as it is, in its order.

On a terminal, without an entry in flags, it asks the few questions one after
another; Enter leaves one out.`,
		Example: `  sumpward logbook add --book shop.csv --car 42 --session 25min --drained 120mL
  sumpward logbook add --book shop.csv --car 42 --session 40min \
    --vent-hose wet --topped-up 0.2L --note "long runs, hot day"
  sumpward logbook add --book shop.csv`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if book == "" {
				return usageError{errors.New("--book: name the logbook: --book shop.csv")}
			}
			e := logbook.Blank()
			given, err := fromFlags(c, &e, texts)
			if err != nil {
				return err
			}
			if !given && isTerminal(os.Stdin) {
				if err := a.askEntry(c.Context(), &e); err != nil {
					return err
				}
			}
			return a.addEntry(book, e)
		},
	}
	c.Flags().StringVar(&book, "book", "", "the logbook: a CSV `FILE`; made where there is none")
	for i, part := range entryParts {
		c.Flags().StringVar(&texts[i], part.flag, "", part.usage)
		if part.choices != nil {
			_ = c.RegisterFlagCompletionFunc(part.flag, cobra.FixedCompletions(part.choices, cobra.ShellCompDirectiveNoFileComp))
		}
	}
	c.Flags().SortFlags = false
	return c
}

// fromFlags takes the parts of an entry from flags, all that is wrong at once, and
// reports whether one was given.
func fromFlags(c *cobra.Command, e *logbook.Entry, texts []string) (given bool, err error) {
	var wrong []string
	for i, part := range entryParts {
		if !c.Flags().Changed(part.flag) {
			continue
		}
		given = true
		if err := part.set(e, texts[i]); err != nil {
			wrong = append(wrong, fmt.Sprintf("--%s: %v", part.flag, err))
		}
	}
	if len(wrong) > 0 {
		return given, usageError{errors.New(strings.Join(wrong, "\n  "))}
	}
	return given, nil
}

// askEntry asks for the parts of an entry.
func (a *app) askEntry(ctx context.Context, e *logbook.Entry) error {
	p := a.newPrompter()
	defer p.close()
	p.say("One entry, of today. Enter leaves a question out; Ctrl-C leaves without writing.\n")
	for _, part := range entryParts {
		if part.question == "" {
			continue
		}
		p.choices = part.choices
		if err := p.part(ctx, part, e); err != nil {
			return err
		}
	}
	return nil
}

// part asks for one part until the answer can be used.
func (p *prompter) part(ctx context.Context, part asked, e *logbook.Entry) error {
	p.say(part.question)
	for wrong := 0; ; {
		text, err := p.line(ctx, "   > ")
		switch text = strings.TrimSpace(text); {
		case errors.Is(err, io.EOF):
			p.say("")
			return usageError{errors.New("the answers end before the questions: nothing was written; give the entry in flags instead")}
		case err != nil:
			return err
		case text == "" && part.flag != "car":
			return nil
		}
		if err = part.set(e, text); err == nil && text != "" {
			return nil
		}
		if err == nil {
			err = errors.New("an entry needs a car")
		}
		p.say(indented(words.Plain(words.Sentence(err.Error()))))
		if wrong++; wrong == wrongAnswers {
			return usageError{fmt.Errorf("--%s was answered wrongly %d times: %w", part.flag, wrong, err)}
		}
	}
}

// addEntry writes an entry, of today where no day was given.
func (a *app) addEntry(book string, e logbook.Entry) error {
	if err := dated(&e, time.Now()); err != nil {
		return err
	}
	if strings.TrimSpace(e.Car) == "" {
		return usageError{errors.New("--car: an entry needs a car: --car 42")}
	}
	begun := exists(book)
	if err := logbook.Append(book, e); err != nil {
		return ofABook(err)
	}
	what := "added to"
	if !begun {
		what = "began"
	}
	a.say("%s %s: %s", what, book, entryWords(e))
	return nil
}

// dated gives an entry without a day the one of now. Of a day that is still to come nothing
// can have been seen; a day on, it may have begun where the car is.
func dated(e *logbook.Entry, now time.Time) error {
	today := time.Date(now.Year(), now.Month(), now.Day(), 0, 0, 0, 0, time.UTC)
	switch {
	case e.Date.IsZero():
		e.Date = today
	case e.Date.After(today.AddDate(0, 0, 1)):
		return usageError{fmt.Errorf("--date: %s is still to come (by this computer's clock today is %s), and a logbook holds what was seen: write the day of the session, or set the clock",
			e.Date.Format(time.DateOnly), today.Format(time.DateOnly))}
	}
	return nil
}

// entryWords says in short what an entry holds.
func entryWords(e logbook.Entry) string {
	return report.LogbookEntry(e)
}
