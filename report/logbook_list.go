package report

import (
	"fmt"
	"io"
	"strings"
	"time"

	"sumpward/report/words"
	"sumpward/scenarios/logbook"
	"sumpward/scenarios/units"
)

// LogbookList is the report on the entries of a logbook.
type LogbookList struct {
	Book    *logbook.Book
	Entries []logbook.Entry // those of the book that are shown
	Car     string          // that they are of; empty: of all
	Units   units.System
}

// Document is the report for people.
func (r LogbookList) Document() *Document {
	d := &Document{}
	d.title("Logbook "+r.Book.Name, r.summary())
	if len(r.Entries) == 0 {
		return d
	}
	small, litres := words.SmallVolumes(r.Units), words.ColumnOf(units.Volume, r.Units)
	t := &table{
		head:  []string{"date", "car", "session\nmin", small.Headed("drained"), litres.Headed("topped up"), "vent\nhose", "oil got past\n(said before)", "read, done, note"},
		words: []int{0, 1, 5, 6, 7}, whole: 7,
	}
	for i := range r.Entries {
		e := &r.Entries[i]
		t.add(day(e.Date), e.Car, minutesOf(e.Length), small.Text(e.Drained), litres.Text(e.ToppedUp), hose(e.VentHose), came(e.Overflowed, e.ForecastOverflow), strings.Join(append(r.read(e), notes(e)...), "; "))
	}
	d.table(t)
	return d
}

func (r LogbookList) summary() string {
	if len(r.Entries) == 0 && r.Car != "" {
		return fmt.Sprintf("No entry of car %s; the book holds %s.", r.Car, words.Joined(r.Book.Cars(), "and"))
	}
	if len(r.Entries) == 0 {
		return "No entries yet."
	}
	cars := map[string]bool{}
	driven := 0.0
	for _, e := range r.Entries {
		cars[e.Car] = true
		if logbook.Written(e.Length) {
			driven += e.Length
		}
	}
	return fmt.Sprintf("%s, %s, %s driven.", several(len(r.Entries), "entry", "entries"), several(len(cars), "car", "cars"), words.Show(driven, units.Time, r.Units))
}

// several writes a count with its noun.
func several(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return words.Grouped(int64(n)) + " " + more
}

func day(t time.Time) string { return t.Format(time.DateOnly) }

func minutesOf(seconds float64) string {
	if !logbook.Written(seconds) {
		return words.None
	}
	return fmt.Sprintf("%.4g", seconds/60)
}

func hose(m logbook.Mark) string { return markWord(m, "wet", "dry", words.None) }

func markWord(m logbook.Mark, yes, no, none string) string {
	switch m {
	case logbook.Yes:
		return yes
	case logbook.No:
		return no
	}
	return none
}

// came says whether something came, and with what chance that had been said.
func came(m logbook.Mark, said float64) string {
	text := yesNo(m)
	if logbook.Written(said) {
		text = strings.TrimSpace(text + " (" + percent(said) + ")")
	}
	if text == "" {
		return words.None
	}
	return text
}

// percent writes a chance that somebody said, as it was said.
func percent(share float64) string {
	if share == 0 {
		return "said never"
	}
	return fmt.Sprintf("%.3g %%", 100*share)
}

// read says what gauges read, and whether the drain backed up.
func (r LogbookList) read(e *logbook.Entry) []string {
	var list []string
	add := func(v float64, d units.Dimension, form string) {
		if logbook.Written(v) {
			list = append(list, fmt.Sprintf(form, words.Show(v, d, r.Units)))
		}
	}
	add(e.Crankcase, units.Pressure, "crankcase %s")
	add(e.UTube, units.Length, "U-tube %s")
	if logbook.Written(e.Pour) {
		text := words.SmallVolumes(r.Units).WithUnit(e.Pour) + " poured, gone in " + words.Show(e.PourTook, units.Time, r.Units)
		if logbook.Written(e.OilTemperature) {
			text += " at " + words.Show(e.OilTemperature, units.Temperature, r.Units)
		}
		list = append(list, text)
	}
	if text := came(e.BackedUp, e.ForecastChoked); text != words.None {
		list = append(list, "drain backed up: "+text)
	}
	return list
}

func notes(e *logbook.Entry) []string {
	var list []string
	for _, text := range []string{e.Done, e.Note} {
		if text != "" {
			list = append(list, words.OneLine(text))
		}
	}
	if e.Layout != "" {
		list = append(list, "layout: "+words.OneLine(e.Layout))
	}
	return list
}

// WriteCSV writes one row an entry, SI.
func (r LogbookList) WriteCSV(w io.Writer) error {
	s := &sheet{head: []string{"date", "car", "layout", "length_s", "done", "drained_m3", "topped_up_m3", "crankcase_Pa", "u_tube_m", "pour_m3", "pour_took_s", "oil_temperature_K",
		"forecast_overflow", "forecast_choked", "vent_hose", "overflowed", "backed_up", "drain_returns", "note"}}
	for i := range r.Entries {
		e := &r.Entries[i]
		s.add(day(e.Date), e.Car, e.Layout, e.Length, e.Done, e.Drained, e.ToppedUp, e.Crankcase, e.UTube, e.Pour, e.PourTook, e.OilTemperature,
			e.ForecastOverflow, e.ForecastChoked, markWord(e.VentHose, "wet", "dry", ""), yesNo(e.Overflowed), yesNo(e.BackedUp), yesNo(e.Returns), e.Note)
	}
	return s.write(w)
}

func yesNo(m logbook.Mark) string { return markWord(m, "yes", "no", "") }

// truth is a mark in JSON: true, false or null.
func truth(m logbook.Mark) *bool {
	if m == logbook.NotSeen {
		return nil
	}
	yes := m == logbook.Yes
	return &yes
}

type logbookEntryJSON struct {
	Line             int    `json:"line"`
	Date             string `json:"date"`
	Car              string `json:"car"`
	Layout           string `json:"layout"`
	Length           number `json:"length_s"`
	Done             string `json:"done"`
	Drained          number `json:"drained_m3"`
	ToppedUp         number `json:"topped_up_m3"`
	Crankcase        number `json:"crankcase_Pa"`
	UTube            number `json:"u_tube_m"`
	Pour             number `json:"pour_m3"`
	PourTook         number `json:"pour_took_s"`
	OilTemperature   number `json:"oil_temperature_K"`
	ForecastOverflow number `json:"forecast_overflow"`
	ForecastChoked   number `json:"forecast_choked"`
	VentHoseWet      *bool  `json:"vent_hose_wet"`
	Overflowed       *bool  `json:"overflowed"`
	BackedUp         *bool  `json:"backed_up"`
	Returns          *bool  `json:"drain_returns"`
	Note             string `json:"note"`
}

type logbookJSON struct {
	Format  string             `json:"format"`
	Version int                `json:"version"`
	Book    string             `json:"book"`
	Entries []logbookEntryJSON `json:"entries"`
}

// WriteJSON writes the entries for programs.
func (r LogbookList) WriteJSON(w io.Writer) error {
	out := logbookJSON{Format: "sumpward/logbook-list", Version: 1, Book: r.Book.Name, Entries: []logbookEntryJSON{}}
	for i := range r.Entries {
		e := &r.Entries[i]
		out.Entries = append(out.Entries, logbookEntryJSON{
			Line: e.Line, Date: day(e.Date), Car: e.Car, Layout: e.Layout, Length: number(e.Length), Done: e.Done, Drained: number(e.Drained), ToppedUp: number(e.ToppedUp),
			Crankcase: number(e.Crankcase), UTube: number(e.UTube), Pour: number(e.Pour), PourTook: number(e.PourTook), OilTemperature: number(e.OilTemperature),
			ForecastOverflow: number(e.ForecastOverflow), ForecastChoked: number(e.ForecastChoked), VentHoseWet: truth(e.VentHose),
			Overflowed: truth(e.Overflowed), BackedUp: truth(e.BackedUp), Returns: truth(e.Returns), Note: e.Note,
		})
	}
	return writeJSON(w, out)
}

// LogbookEntry says in short what an entry holds.
func LogbookEntry(e logbook.Entry) string {
	list := []string{"car " + words.OneLine(e.Car), day(e.Date)}
	add := func(v float64, d units.Dimension, form string) {
		if logbook.Written(v) {
			list = append(list, fmt.Sprintf(form, words.Show(v, d, units.Metric)))
		}
	}
	add(e.Length, units.Time, "session of %s")
	if logbook.Written(e.Drained) {
		list = append(list, "drained "+words.SmallVolumes(units.Metric).WithUnit(e.Drained))
	}
	add(e.ToppedUp, units.Volume, "topped up %s")
	if text := markWord(e.VentHose, "wet", "dry", ""); text != "" {
		list = append(list, "vent hose "+text)
	}
	if text := came(e.Overflowed, e.ForecastOverflow); text != words.None {
		list = append(list, "oil got past: "+text)
	}
	return strings.Join(append(append(list, LogbookList{}.read(&e)...), notes(&e)...), ", ")
}
