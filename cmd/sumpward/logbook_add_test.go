package main

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios/logbook"
)

// TestEntriesAreOfDaysThatCame: today where none is given, tomorrow at the latest.
func TestEntriesAreOfDaysThatCame(t *testing.T) {
	day := func(text string) time.Time {
		d, err := logbook.ParseDate(text)
		require.NoError(t, err)
		return d
	}
	now := time.Date(2026, 12, 30, 23, 59, 0, 0, time.FixedZone("west", -9*3600)) // the 31st in UTC
	e := logbook.Blank()
	require.NoError(t, dated(&e, now))
	assert.Equal(t, day("2026-12-30"), e.Date, "the day where the clock is")
	for _, text := range []string{"1990-01-01", "2026-12-30", "2026-12-31"} {
		e.Date = day(text)
		assert.NoError(t, dated(&e, now), text)
		assert.Equal(t, day(text), e.Date)
	}
	for _, text := range []string{"2027-01-01", "2099-01-01"} {
		e.Date = day(text)
		err := dated(&e, now)
		assert.EqualError(t, err, "--date: "+text+" is still to come (by this computer's clock today is 2026-12-30), and a logbook holds what was seen: write the day of the session, or set the clock")
		assert.Equal(t, exitCommandLine, exitCode(err))
	}
}
