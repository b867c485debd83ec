package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"sumpward/report"
	"sumpward/report/plot"
	"sumpward/scenarios/logbook"
	"sumpward/scenarios/units"
	"sumpward/sim/pool"
)

// Shares and lengths that pool shows its volumes for, unless flags say otherwise.
const (
	pooledSession      = "25min"
	pooledFullThrottle = "45%"
)

func newLogbookPoolCommand(a *app) *cobra.Command {
	var f bookFlags
	var output outputFlags
	var session, full, reading string
	c := &cobra.Command{
		Use:   "pool",
		Short: "What the shop's cars move, pooled into a range for the next one",
		Long: `Pool takes what was drained from cans that are emptied by hand. It tells what
each car moves in a session, and what to expect of a new car of the shop: a
range that can be written into its scenario. Cars with few sessions are drawn
towards the shop's level; with one car the range stays wide.`,
		Example: `  sumpward logbook pool --book shop.csv
  sumpward logbook pool --book shop.csv --session 40min --format json`,
		RunE: func(c *cobra.Command, _ []string) error {
			if err := output.prepare(c); err != nil {
				return err
			}
			length, err := flagQuantity("session", session, units.Time, 1)
			if err != nil {
				return err
			}
			share, err := flagQuantity("full-throttle", full, units.Fraction, 0.01)
			if err == nil && share > 1 {
				err = usageError{fmt.Errorf("--full-throttle %s: over 100 %%", full)}
			}
			if err != nil {
				return err
			}
			priors := pool.Defaults
			if reading != "" {
				if priors.VolumeError, err = flagQuantity("reading-error", reading, units.Volume, 1e-7); err != nil {
					return err
				}
			}
			b, err := f.open(a)
			if err != nil {
				return err
			}
			cars, left := pool.FromBook(b)
			pooled, err := pool.Pool(c.Context(), cars, priors)
			if err != nil {
				return err
			}
			return output.emit(a, report.LogbookPool{Pooled: pooled, Book: b.Name, Length: length, FullThrottle: share, Left: left, Units: units.System(output.units)})
		},
	}
	f.add(c, "")
	output.add(c)
	c.Flags().StringVar(&session, "session", pooledSession, "show volumes for a session of this `LENGTH`")
	c.Flags().StringVar(&full, "full-throttle", pooledFullThrottle, "`SHARE` of it at full throttle, for the mass flow; 30 to 75 % are usual")
	c.Flags().StringVar(&reading, "reading-error", "", "standard deviation of a `VOLUME` that was drained (5 mL)")
	return c
}

// flagQuantity reads the quantity of a flag, SI, no less than a least one.
func flagQuantity(flag, text string, d units.Dimension, least float64) (float64, error) {
	v, err := units.Parse(text, d)
	if err != nil {
		return 0, usageError{fmt.Errorf("--%s: %w", flag, err)}
	}
	if v < least {
		return 0, usageError{fmt.Errorf("--%s %s: too small (allowed from %s)", flag, text, units.Format(least, d, units.Metric))}
	}
	return v, nil
}

func newLogbookScoreCommand(a *app) *cobra.Command {
	var f bookFlags
	var output outputFlags
	var drawn plotFlags
	c := &cobra.Command{
		Use:   "score",
		Short: "How past forecasts came true",
		Long: `Score holds the chances that were written before a session ("forecast overflow",
"forecast choked") against what came ("overflowed", "backed up"): the Brier
score beside that of always saying the base rate, and how often what was said
with a chance came true. It says so where there are too few to tell.`,
		Example: `  sumpward logbook score --book shop.csv
  sumpward logbook score --book shop.csv --plot forecasts.svg`,
		RunE: func(c *cobra.Command, _ []string) error {
			if err := output.prepare(c); err != nil {
				return err
			}
			if err := drawn.prepare(c, &output); err != nil {
				return err
			}
			b, err := f.open(a)
			if err != nil {
				return err
			}
			r := report.LogbookScore{Book: b.Name, Events: scoredEvents(b)}
			if drawn.file != "" && r.Events[0].Count+r.Events[1].Count == 0 {
				return errors.New("--plot: nothing to draw: the logbook holds no forecast of which it is written what came")
			}
			if err := output.emit(a, r); err != nil {
				return err
			}
			return drawn.emit(a, plot.Calibration{Title: "Logbook " + b.Name + ": how forecasts came true", Events: r.Events}, output.force)
		},
	}
	f.add(c, "")
	output.add(c)
	drawn.add(c)
	return c
}

// scoredEvents scores the two kinds of forecast that a logbook holds.
func scoredEvents(b *logbook.Book) []report.ScoredEvent {
	overflow, openOverflow := pool.ForecastsOf(b, func(e *logbook.Entry) float64 { return e.ForecastOverflow }, func(e *logbook.Entry) logbook.Mark { return e.Overflowed })
	choked, openChoked := pool.ForecastsOf(b, func(e *logbook.Entry) float64 { return e.ForecastChoked }, func(e *logbook.Entry) logbook.Mark { return e.BackedUp })
	return []report.ScoredEvent{
		{Name: "overflow", Happened: "oil got past", Scored: pool.Score(overflow), Open: openOverflow},
		{Name: "choked drain", Happened: "it backed up", Scored: pool.Score(choked), Open: openChoked},
	}
}
