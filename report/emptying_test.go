package report

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim/decide"
)

// emptied is a table by hand: of 1,000 realizations so many overflow, row by row.
func emptied1000(t *testing.T, s *scenarios.Scenario, rows []decide.EmptyingInterval, events ...int64) *decide.EmptyingTable {
	t.Helper()
	require.Len(t, events, len(rows))
	table := &decide.EmptyingTable{Scenario: s, Length: s.Sessions[len(s.Sessions)-1], Limit: 0.02, Realizations: 1000, Rarest: -1, Rows: rows}
	for i, k := range events {
		row := &table.Rows[i]
		row.Overflow, row.Events = shareOf(k), k
		switch {
		case row.Overflow.High <= table.Limit:
			row.Standing = decide.Meets
			if table.Rarest == i-1 {
				table.Rarest = i
			}
		case row.Overflow.Low > table.Limit:
			row.Standing = decide.Breaks
		default:
			row.Standing = decide.Untold
		}
	}
	return table
}

func TestEmptyingTable(t *testing.T) {
	s := ready(t, "sealed-can", short)
	rows := []decide.EmptyingInterval{{Every: 300}, {Every: 600}, {Every: 900, Written: true}, {}}
	r := Run{Result: ran(t, s), Emptying: emptied1000(t, s, rows, 0, 5, 20, 300)}
	table := emptying{r.Emptying, units.Metric}.table()
	// 5 of 1,000: 0.16 .. 1.16 %; 20: 1.23 .. 3.07 %
	assert.Equal(t, [][]string{
		{"every 5 min", "none of 1,000", "up to 0.37 %", "met"},
		{"every 10 min", "0.5 %", "0.2 .. 1.2 %", "met"},
		{"every 15 min (as written)", "2.0 %", "1.2 .. 3.1 %", "can't tell"},
		{"before the session alone", "30 %", "27 .. 33 %", "not met"},
	}, table.rows)
	assert.Equal(t, []string{"emptied", "overflow", "95 % interval", "limit of 2 %"}, table.head)
	text := written(t, r, Text)
	fits(t, text)
	assert.Contains(t, oneLine(text), "Chance that the can overflows, by how often it is emptied: 1,000 simulated 20 min sessions of each, on the same draws")
	assert.Contains(t, oneLine(text), "Emptied every 10 min, or more often, it meets the limit of 2 % for overflow; whether every 15 min does, these realizations can't tell.")

	var j struct {
		Emptying struct {
			Length float64 `json:"length_s"`
			Ways   []struct {
				Emptied  string
				Every    *float64 `json:"every_s"`
				Written  bool     `json:"as_written"`
				Overflow struct {
					Probability, Low, High float64
					Events                 int
				}
				Limit string
			}
			Rarest *int `json:"rarest_that_meets"`
		}
	}
	require.NoError(t, json.Unmarshal([]byte(written(t, r, JSON)), &j))
	require.Len(t, j.Emptying.Ways, 4)
	assert.Equal(t, 1200.0, j.Emptying.Length)
	assert.Equal(t, 1, *j.Emptying.Rarest)
	assert.Equal(t, 600.0, *j.Emptying.Ways[1].Every)
	assert.Equal(t, 5, j.Emptying.Ways[1].Overflow.Events)
	assert.Equal(t, shareOf(5).High, j.Emptying.Ways[1].Overflow.High)
	assert.True(t, j.Emptying.Ways[2].Written)
	assert.Nil(t, j.Emptying.Ways[3].Every)
	assert.Equal(t, "not met", j.Emptying.Ways[3].Limit)
	assert.NotContains(t, written(t, Run{Result: r.Result}, JSON), `"emptying"`)
}

func TestRarestEmptyingInWords(t *testing.T) {
	s := ready(t, "sealed-can", short)
	rows := func() []decide.EmptyingInterval { return []decide.EmptyingInterval{{Every: 300}, {Every: 600}, {}} }
	for want, events := range map[string][]int64{
		"Not even a can that is emptied every 5 min meets the limit of 2 % for overflow.":                                                                    {300, 400, 500},
		"The limit of 2 % for overflow is met by nothing tried for sure; whether every 5 min does, these realizations can't tell.":                           {20, 400, 500},
		"Emptied every 5 min, the most often of what was tried, it meets the limit of 2 % for overflow.":                                                     {0, 400, 500},
		"Emptied every 10 min, or more often, it meets the limit of 2 % for overflow.":                                                                       {0, 0, 500},
		"Emptied every 10 min, or more often, it meets the limit of 2 % for overflow; whether before the session alone does, these realizations can't tell.": {0, 0, 20},
		"Emptied before the session alone it meets the limit of 2 % for overflow.":                                                                           {0, 0, 0},
	} {
		assert.Equal(t, want, Emptied(emptied1000(t, s, rows(), events...), units.Metric))
	}
}

func TestWaysOfEmptying(t *testing.T) {
	s := event(t, "sealed-can", "[{drive: 55 min}, {stop: 5 min, can: emptied}]", "24 h")
	table := emptied1000(t, s, []decide.EmptyingInterval{{Own: true}, {Stops: 1}, {Stops: 2}, {Stops: 3}, {Stops: 4}, {Stops: 12}, {Stops: 21}, {}}, 0, 0, 0, 0, 0, 0, 0, 0)
	var ways []string
	for i := range table.Rows {
		ways = append(ways, EmptyingWay(table, i, units.Metric))
	}
	assert.Equal(t, []string{"as the schedule says", "at every stop", "at every 2nd stop", "at every 3rd stop", "at every 4th stop", "at every 12th stop", "at every 21st stop", "before the event alone"}, ways)
	assert.Contains(t, EmptyingHeading(table, units.Metric), "1,000 simulated 24 h events of each")
	s = ready(t, "sealed-can", scenarios.Change{Path: "drain.emptied", Value: "every 7 .. 9 min"})
	assert.Equal(t, "every 7 .. 9 min", EmptyingWay(&decide.EmptyingTable{Scenario: s, Rows: []decide.EmptyingInterval{{Own: true, Every: 480}}}, 0, units.Metric))
	s = ready(t, "sealed-can", scenarios.Change{Path: "drain.emptied", Value: "at stops"})
	assert.Equal(t, "at the lap's stops", EmptyingWay(&decide.EmptyingTable{Scenario: s, Rows: []decide.EmptyingInterval{{Own: true}}}, 0, units.Metric))
}
