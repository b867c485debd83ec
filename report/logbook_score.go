package report

import (
	"fmt"
	"io"
	"math"

	"sumpward/report/words"
	"sumpward/sim/pool"
	"sumpward/sim/stats"
)

// LogbookScore is the report on how past forecasts came true.
type LogbookScore struct {
	Book   string
	Events []ScoredEvent
}

// ScoredEvent is one kind of forecast.
type ScoredEvent struct {
	Name     string // "overflow"
	Happened string // "oil got past"
	pool.Scored
	Open int // forecasts of which nobody wrote what came
}

// Document is the report for people.
func (r LogbookScore) Document() *Document {
	d := &Document{}
	d.title("Logbook "+r.Book+": how forecasts came true", "")
	for _, e := range r.Events {
		d.paragraph(e.words())
		if e.Count > 0 {
			d.table(e.table())
		}
	}
	d.list("", []string{
		"Brier score: the mean of (said - came)², 0 to 1, less is better (Brier 1950, Monthly Weather Review 78, 1-3). The base rate it is held against is that of the same sessions, known only afterwards: a hard reference.",
		"Intervals: 95 %, Clopper and Pearson, as if sessions were independent of each other. Sessions of one car, or of one day, go together: there is less in them than their number.",
	})
	return d
}

// words says how the forecasts of one event came true.
func (e ScoredEvent) words() string {
	name := words.Sentence(e.Name)
	if e.Count == 0 {
		return name + ": no forecast of which it is written what came" + e.open() + "."
	}
	text := fmt.Sprintf("%s: %s, %s in %s%s. ", name, several(e.Count, "forecast", "forecasts"), e.Happened, countOf(e.Came, e.Count), e.open())
	if !e.Enough {
		return text + fmt.Sprintf("Too few to say anything: it takes %d forecasts, with %d or more of either kind.", pool.LeastForecasts, pool.LeastEither)
	}
	return text + e.score() + " " + e.leans()
}

func (e ScoredEvent) open() string {
	if e.Open == 0 {
		return ""
	}
	return fmt.Sprintf(" (of %s nobody wrote what came)", several(e.Open, "more", "more"))
}

// countOf writes a count of some, never a bare 0.
func countOf(k, n int) string {
	switch k {
	case 0:
		return "none of " + words.Grouped(int64(n))
	case n:
		return "all of " + words.Grouped(int64(n))
	}
	return fmt.Sprintf("%d of %d", k, n)
}

func (e ScoredEvent) score() string {
	text := fmt.Sprintf("Brier score %.3f; of always saying %s, the base rate, %.3f: ", e.Brier, percent(words.Round(e.BaseRate, 3)), e.Reference)
	d := e.Better
	switch {
	case d.High < 0:
		return text + fmt.Sprintf("the forecasts did better, by %.3f (%.3f to %.3f).", -d.Difference, -d.High, -d.Low)
	case d.Low > 0:
		return text + fmt.Sprintf("the forecasts did worse, by %.3f (%.3f to %.3f).", d.Difference, d.Low, d.High)
	}
	return text + fmt.Sprintf("can't be told apart (difference %+.3f, %+.3f to %+.3f).", d.Difference, d.Low, d.High)
}

// leans says whether the chances lean to one side, where luck doesn't explain it.
func (e ScoredEvent) leans() string {
	const luck = 1.96
	switch {
	case e.Bias < -luck:
		return "Too much was said: it came less often."
	case e.Bias > luck:
		return "Too little was said: it came more often."
	case e.Deviation > luck:
		return "The chances were too sure of themselves: too near to 0 and 100 %."
	case e.Deviation < -luck:
		return "The chances were too cautious: they kept to the middle."
	case math.IsNaN(e.Bias):
		return ""
	}
	return "What came agrees with what was said, as far as so many tell."
}

// table is the reliability table.
func (e ScoredEvent) table() *table {
	t := &table{heading: e.Name + ", by what was said",
		head: []string{"said", "in the mean", "came true", "that is", "95 % interval", "what came"}, words: []int{0, 2, 4, 5}}
	for _, b := range e.Bins {
		if b.Count == 0 {
			continue
		}
		t.add(rangeOfBin(b), meanSaid(b), "in "+countOf(b.Came, b.Count), share(b), between(b.Interval), judged(b))
	}
	return t
}

func share(b pool.Bin) string {
	if b.Came == 0 || b.Came == b.Count {
		return words.None // the count says it
	}
	return words.Percent(float64(b.Came)/float64(b.Count), 0.05) + " %"
}

func meanSaid(b pool.Bin) string {
	if b.Said == 0 {
		return "never"
	}
	return fmt.Sprintf("%.1f %%", 100*b.Said)
}

// between writes an interval, one that reaches to an end as open there.
func between(i stats.Interval) string {
	switch {
	case i.Low == 0:
		return fmt.Sprintf("up to %.0f %%", 100*i.High)
	case i.High == 1:
		return fmt.Sprintf("from %.2g %%", 100*i.Low)
	}
	return fmt.Sprintf("%.2g to %.2g %%", 100*i.Low, 100*i.High)
}

func rangeOfBin(b pool.Bin) string {
	return fmt.Sprintf("%.0f to %.0f %%", 100*b.From, 100*b.To)
}

func judged(b pool.Bin) string {
	switch {
	case b.Fits():
		return "agrees"
	case b.Said > b.Interval.High:
		return "less often"
	}
	return "more often"
}

// WriteCSV writes one row a bin.
func (r LogbookScore) WriteCSV(w io.Writer) error {
	s := &sheet{head: []string{"event", "from", "to", "forecasts", "said", "came", "share", "low", "high"}}
	for _, e := range r.Events {
		for _, b := range e.Bins {
			s.add(e.Name, b.From, b.To, b.Count, b.Said, b.Came, float64(b.Came)/float64(b.Count), b.Interval.Low, b.Interval.High)
		}
	}
	return s.write(w)
}

type scoredBinJSON struct {
	From  number `json:"from"`
	To    number `json:"to"`
	Count int    `json:"forecasts"`
	Said  number `json:"said"`
	Came  int    `json:"came"`
	Low   number `json:"low"`
	High  number `json:"high"`
}

type scoredJSON struct {
	Event      string          `json:"event"`
	Count      int             `json:"forecasts"`
	Came       int             `json:"came"`
	Open       int             `json:"outcome_not_written"`
	BaseRate   number          `json:"base_rate"`
	Brier      number          `json:"brier"`
	Reference  number          `json:"brier_of_base_rate"`
	Skill      number          `json:"skill"`
	Difference number          `json:"difference"`
	Low        number          `json:"difference_low"`
	High       number          `json:"difference_high"`
	Bias       number          `json:"bias_z"`
	Deviation  number          `json:"deviation_z"`
	Enough     bool            `json:"enough"`
	Bins       []scoredBinJSON `json:"bins"`
	Words      string          `json:"words"`
}

type logbookScoreJSON struct {
	Format  string       `json:"format"`
	Version int          `json:"version"`
	Book    string       `json:"book"`
	Events  []scoredJSON `json:"events"`
}

// WriteJSON writes scores and bins for programs.
func (r LogbookScore) WriteJSON(w io.Writer) error {
	out := logbookScoreJSON{Format: "sumpward/logbook-score", Version: 1, Book: r.Book, Events: []scoredJSON{}}
	for _, e := range r.Events {
		j := scoredJSON{
			Event: e.Name, Count: e.Count, Came: e.Came, Open: e.Open, BaseRate: number(e.BaseRate), Brier: number(e.Brier), Reference: number(e.Reference), Skill: number(e.Skill),
			Difference: number(e.Better.Difference), Low: number(e.Better.Low), High: number(e.Better.High), Bias: number(e.Bias), Deviation: number(e.Deviation),
			Enough: e.Enough, Bins: []scoredBinJSON{}, Words: e.words(),
		}
		for _, b := range e.Bins {
			j.Bins = append(j.Bins, scoredBinJSON{number(b.From), number(b.To), b.Count, number(b.Said), b.Came, number(b.Interval.Low), number(b.Interval.High)})
		}
		out.Events = append(out.Events, j)
	}
	return writeJSON(w, out)
}
