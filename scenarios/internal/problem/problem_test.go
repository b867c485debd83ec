package problem

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestProblemSaysWhereWhatAndHow(t *testing.T) {
	for want, p := range map[string]Problem{
		"laps.csv:12: throttle: not a number; write 55": {Name: "laps.csv", Line: 12, Column: "throttle", What: "not a number", Hint: "write 55"},
		"laps.csv:12: not a number":                     {Name: "laps.csv", Line: 12, What: "not a number"},
		"laps.csv: throttle: not a number":              {Name: "laps.csv", Column: "throttle", What: "not a number"},
		"laps.csv: not a number":                        {Name: "laps.csv", What: "not a number"},
		"throttle: not a number":                        {Column: "throttle", What: "not a number"},
		"not a number; write 55":                        {What: "not a number", Hint: "write 55"},
	} {
		assert.EqualError(t, &p, want)
	}
}

func TestFound(t *testing.T) {
	f := Found{Name: "laps.csv"}
	require.NoError(t, f.Err())
	assert.Zero(t, f.Len())
	for i := range Most {
		f.Add(i+1, "", "not a number", "")
	}
	assert.Equal(t, Most, f.Len())
	assert.Len(t, f.Err(), Most, "as many as are listed leave nothing to count")

	f.Add(21, "", "not a number", "")
	f.Add(22, "", "not a number", "")
	assert.Equal(t, Most, f.Len())
	err := fmt.Errorf("read: %w", f.Err())
	var list List
	require.ErrorAs(t, err, &list)
	assert.Len(t, list, Most+1)
	assert.EqualError(t, list[Most], "laps.csv: and 2 more problems")
	assert.Equal(t, Most, strings.Count(list.Error(), "\n"))
	var one *Problem
	require.ErrorAs(t, err, &one)
	assert.Equal(t, &Problem{Name: "laps.csv", Line: 1, What: "not a number"}, one)
	for _, p := range list {
		require.ErrorIs(t, err, p)
	}
	assert.NotErrorIs(t, err, errors.New("another"))
}
