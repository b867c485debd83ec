package report

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/logbook"
	"sumpward/scenarios/units"
	"sumpward/sim/pool"
)

func book(t *testing.T, text string) *logbook.Book {
	t.Helper()
	b, err := logbook.Read(strings.NewReader(text), "shop.csv")
	require.NoError(t, err)
	return b
}

func in(t *testing.T, r Report, f Format) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Write(&b, r, f))
	return b.String()
}

func TestLogbookList(t *testing.T) {
	b := book(t, "date,car,session [min],drained [mL],topped up [L],vent hose,note,forecast overflow [%],overflowed\n"+
		"2026-05-09,42,25,120,0.2,wet,\"=SUM(A1)\x1b[31m, | <b>\",5,yes\n2026-05-10,7,,,,,,,\n")
	r := LogbookList{Book: b, Entries: b.Entries}
	text := in(t, r, Text)
	assert.Contains(t, text, "2 entries, 2 cars, 25 min driven.")
	assert.Contains(t, text, "yes (5 %)")
	assert.NotContains(t, text, "\x1b")
	for line := range strings.Lines(text) {
		assert.LessOrEqual(t, len([]rune(strings.TrimSuffix(line, "\n"))), Width, line)
	}
	records, err := csv.NewReader(strings.NewReader(in(t, r, CSV))).ReadAll()
	require.NoError(t, err)
	assert.Equal(t, []string{"2026-05-09", "42", "", "1500"}, records[1][:4])
	assert.Equal(t, "'=SUM(A1) [31m, | <b>", records[1][18])
	assert.Equal(t, "", records[2][5])
	assert.NotContains(t, in(t, r, Markdown), " <b>")

	var out map[string]any
	require.NoError(t, json.Unmarshal([]byte(in(t, r, JSON)), &out))
	entry := out["entries"].([]any)[0].(map[string]any)
	assert.InDelta(t, 120e-6, entry["drained_m3"], 1e-12)
	assert.Equal(t, true, entry["vent_hose_wet"])
	assert.Nil(t, out["entries"].([]any)[1].(map[string]any)["drained_m3"])

	assert.Contains(t, in(t, LogbookList{Book: b, Car: "9"}, Text), "No entry of car 9; the book holds 42 and 7.")
	r.Units = units.US
	assert.Contains(t, in(t, r, Text), "US fl oz")
}

func pooledOf(t *testing.T, b *logbook.Book) LogbookPool {
	t.Helper()
	cars, left := pool.FromBook(b)
	p, err := pool.Pool(context.Background(), cars, pool.Defaults)
	require.NoError(t, err)
	return LogbookPool{Pooled: p, Book: b.Name, Length: 1500, FullThrottle: 0.45, Left: left}
}

// The lines that pool prints can be written into a scenario: it gives the median
// and the factor that were pooled, in both ways.
func TestPooledRangeIsReadByAScenario(t *testing.T) {
	b, err := logbook.Read(bytes.NewReader(scenarios.ReadyLogbookSource()), scenarios.ReadyLogbookName)
	require.NoError(t, err)
	r := pooledOf(t, b)
	s, err := scenarios.Ready("sealed-can")
	require.NoError(t, err)
	s, err = s.With(scenarios.Change{Path: "carry_over", Value: "{oil_used: " + r.amount() + ", during: 25 min, through_breathers: 100 %}"})
	require.NoError(t, err)
	used := s.Input("carry_over.oil_used")
	assert.InEpsilon(t, r.Pooled.New.Median*1500, used.Distribution.Quantile(0.5), 0.05)
	assert.InEpsilon(t, r.Pooled.New.High*1500, used.Distribution.Quantile(0.95), 0.25)
	s, err = s.With(scenarios.Change{Path: "carry_over", Value: "{full_throttle: " + r.flow() + "}"})
	require.NoError(t, err)
	assert.InEpsilon(t, r.Pooled.New.Median*870/0.45, s.Input("carry_over.full_throttle").Distribution.Quantile(0.5), 0.06)

	text := in(t, r, Text)
	assert.Contains(t, text, "pooled from 6 cars, 34 sessions")
	assert.Contains(t, text, "    carry_over:    # pooled from 6 cars, 34 sessions\n")
	assert.Contains(t, text, "Left out: 3 drained from a can that drains back")
	for line := range strings.Lines(text) {
		assert.LessOrEqual(t, len([]rune(strings.TrimSuffix(line, "\n"))), Width, line)
	}
	var out map[string]any
	require.NoError(t, json.Unmarshal([]byte(in(t, r, JSON)), &out))
	assert.Equal(t, "stated", out["basis"])
	assert.Len(t, out["cars"], 6)
	assert.Len(t, strings.Split(strings.TrimSpace(in(t, r, CSV)), "\n"), 9)
}

func TestPoolOfOneCarAndOfNone(t *testing.T) {
	one := pooledOf(t, book(t, "date,car,session [min],drained [mL]\n2026-05-09,42,25,120\n2026-05-10,42,,80\n"))
	text := strings.Join(strings.Fields(in(t, one, Text)), " ")
	assert.Contains(t, text, "One car doesn't tell how far the next may differ from it")
	assert.Contains(t, text, "pooled from 1 car, 1 session")
	assert.Contains(t, text, "Left out: 1 drained after a session of unknown length")
	none := pooledOf(t, book(t, "date,car\n"))
	text = strings.Join(strings.Fields(in(t, none, Text)), " ")
	assert.Contains(t, text, "Nothing was read: that is the program's default range.")
	assert.Contains(t, in(t, none, JSON), `"basis": "assumed"`)
}

func scored(name string, list ...pool.Forecast) ScoredEvent {
	return ScoredEvent{Name: name, Happened: "oil got past", Scored: pool.Score(list)}
}

func repeated(said float64, came, not int) (list []pool.Forecast) {
	for i := range came + not {
		list = append(list, pool.Forecast{Said: said, Came: i < came})
	}
	return list
}

func TestLogbookScore(t *testing.T) {
	few := scored("overflow", repeated(0.3, 3, 6)...)
	r := LogbookScore{Book: "shop.csv", Events: []ScoredEvent{few}}
	text := strings.Join(strings.Fields(in(t, r, Text)), " ")
	assert.Contains(t, text, "Overflow: 9 forecasts, oil got past in 3 of 9. Too few to say anything: it takes 20 forecasts, with 3 or more of either kind.")
	assert.Contains(t, text, "20 to 40 % 30.0 % in 3 of 9 33 % 7.5 to 70 % agrees")

	for want, list := range map[string][]pool.Forecast{
		"Too much was said: it came less often.":                        append(repeated(0.7, 10, 30), repeated(0.2, 1, 20)...),
		"Too little was said: it came more often.":                      append(repeated(0.3, 30, 10), repeated(0.1, 5, 10)...),
		"The chances were too sure of themselves":                       append(repeated(0.97, 30, 10), repeated(0.03, 10, 30)...),
		"The chances were too cautious: they kept to the middle.":       append(repeated(0.6, 40, 0), repeated(0.4, 0, 40)...),
		"What came agrees with what was said, as far as so many tell.":  append(repeated(0.8, 16, 4), repeated(0.1, 2, 18)...),
		"the forecasts did better, by 0.12":                             append(repeated(0.8, 16, 4), repeated(0.1, 2, 18)...), // by hand: 0.45 · 0.55 - (3.2 + 1.8)/40 = 0.1225
		"the forecasts did worse":                                       append(repeated(0.9, 10, 30), repeated(0.1, 10, 10)...),
		"Too few to say anything: it takes 20 forecasts":                repeated(0.01, 0, 50),
		"no forecast of which it is written what came (of 2 more nobod": nil,
	} {
		e := scored("overflow", list...)
		if list == nil {
			e.Open = 2
		}
		assert.Contains(t, e.words(), want)
	}
	assert.Contains(t, scored("overflow", repeated(0.01, 0, 50)...).words(), "in none of 50")
	for line := range strings.Lines(in(t, r, Text)) {
		assert.LessOrEqual(t, len([]rune(strings.TrimSuffix(line, "\n"))), Width, line)
	}
	assert.NotRegexp(t, `(^|[^0-9.])0 %`, text)
	var out map[string]any
	require.NoError(t, json.Unmarshal([]byte(in(t, r, JSON)), &out))
	assert.Len(t, out["events"].([]any)[0].(map[string]any)["bins"], 7)
	assert.Len(t, strings.Split(strings.TrimSpace(in(t, r, CSV)), "\n"), 8)
}
