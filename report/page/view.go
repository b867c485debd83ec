package page

import (
	"fmt"
	"html/template"
	"regexp"
	"slices"
	"strings"

	"sumpward/report"
	"sumpward/report/words"
	"sumpward/scenarios/units"
)

// view is the page in words and drawings, as the template takes it.
type view struct {
	page Page

	Style                   template.CSS
	Title, Layout, Program  string
	ShortTitle, ProgramName string // the title as a browser's tab has room for
	StandWords              string
	Example                 bool
	Stand                   standing
	Answer, Next            string
	Session                 string
	Lengths                 lengthWords
	Event                   string // how it is driven, with a schedule

	Options     []option
	Further     []option // that the first page has no room for
	HasPrices   bool
	HasAgainst  bool
	Drains      bool
	OptionsNote string
	Limit       string
	Remarks     []string

	SideView, Chances, Fill, Pressure  template.HTML
	StintChart                         template.HTML
	Stints                             *stintTable
	Emptying                           *emptyingTable
	Curves                             []curve
	CurvesNote, FillNote, PressureNote string
	HasBefore                          bool

	Basis         basis
	RestsOn       string
	Moves         []dependenceRow
	Pairs         []string
	Logbook       logbook
	HasDependence bool
	Cautions      []string

	Shelf      *shelf
	Sessions   []sessionRow
	HeatMaps   []heatMap
	Thresholds []string
	Inputs     []input
	Phases     []phase
	Rules      []input
	Method     []string
	References []string
	Warnings   []string
	About      []fact
}

// optionTable is some of the options with the page that they stand on.
type optionTable struct {
	View *view
	Rows []option
}

// OptionTable is the options that the first page has room for.
func (v *view) OptionTable() optionTable { return optionTable{v, v.Options} }

// FurtherTable is the other options.
func (v *view) FurtherTable() optionTable { return optionTable{v, v.Further} }

// fact is a name with what is known of it.
type fact struct{ Name, Text string }

func viewOf(p Page) (*view, error) {
	v := &view{page: p, Style: template.CSS(style), Program: words.OneLine(p.Program)}
	s := p.Result.Scenario
	v.Title, v.Example, v.Drains = words.OneLine(s.Title), s.Example != "", v.drains()
	v.Layout = together(ranged(words.OneLine(report.Layout(s, p.Units))))
	v.ShortTitle = shortened(v.Title, 66)
	v.ProgramName, _, _ = strings.Cut(v.Program, " ")
	last := len(p.Result.Sessions) - 1
	v.Session, v.Lengths, v.Event = v.driven().Length(p.Result.Sessions[last].Length), v.lengthWords(), together(ranged(words.OneLine(report.Event(s, p.Units))))
	v.Stand = sessionStanding(p.Result, last, v.limit())
	if v.depends() {
		v.Stand = unclear
	}
	v.StandWords = words.Sentence(v.Stand.Words()) + ", " + v.Lengths.Whole
	if v.depends() {
		v.StandWords = "Depends on what is not measured, " + v.Lengths.Whole
	}
	v.Options, v.Further = v.options()
	for _, o := range slices.Concat(v.Options, v.Further) {
		v.HasPrices = v.HasPrices || o.Price != ""
		v.HasAgainst = v.HasAgainst || !o.subject
	}
	v.Answer, v.Next = v.answer(), v.next()
	v.Limit = percent(v.limit())
	v.OptionsNote, v.Remarks = v.optionsNote(), v.remarks()

	var err error
	if v.SideView, err = SideView(p.Model, p.Check, p.Units); err != nil {
		return nil, fmt.Errorf("draw the side view: %w", err)
	}
	v.Curves = v.curvesOf()
	v.Chances, v.Fill, v.Pressure = v.chanceChart(v.Curves), v.fillChart(), v.pressureChart()
	v.StintChart, v.Stints, v.Emptying = v.stintChart(), v.stintTable(), v.emptyingTable()
	v.CurvesNote, v.FillNote, v.PressureNote = v.curvesNote(), v.fillNote(), v.pressureNote()

	v.Basis, v.RestsOn = v.basis(), strings.Replace(report.RestsOn(s), " (validate lists them)", "", 1)
	v.Moves, v.Pairs, v.HasDependence = v.dependences(), v.pairs(), p.Dependence != nil
	v.Logbook, v.Cautions = v.logbook(), report.Cautions
	v.Shelf = v.shelf()
	v.Sessions, v.HeatMaps, v.Thresholds = v.sessionRows(), v.heatMaps(), v.thresholds()
	v.Inputs, v.Phases, v.Rules = v.inputs(), v.phases(), v.rules()
	v.Method, v.References = v.method(), report.References(p.Result)
	v.Warnings, v.About = v.warnings(), v.about()
	return v, nil
}

// failing begins or ends a phrase with what counts as failing.
func (v *view) failing(ahead string) string {
	if v.drains() {
		return ahead + "the drain backs up or oil gets past"
	}
	return ahead + "oil gets past the can"
}

// percent writes a share with as many digits as it was stated with, but no more
// than three.
func percent(share float64) string { return words.Show(share, units.Fraction, units.Metric) }

// wholePercent writes a share in whole per cent, or as finely as it takes not to read 0.
func wholePercent(share float64) string { return words.Percent(share, 0.02) + " %" }

// pressure writes a pressure to a hundredth of its unit or so.
func (v *view) pressure(pa float64) string {
	c := words.ColumnOf(units.Pressure, v.page.Units)
	return strings.Replace(c.WithUnit(pa), "-", "−", 1)
}

// optionsNote says what the numbers of the options are counted from.
func (v *view) optionsNote() string {
	text := fmt.Sprintf("Simulated %s. The bar is the chance, the line across it the limit of %s", v.lengthWords().Whole, percent(v.limit()))
	if c := v.page.Options; c != nil && len(v.Options) > 1 {
		text += fmt.Sprintf("; intervals are 95 %%, from %s %s of each, all on the same draws", words.Grouped(int64(c.Realizations)), v.lengthWords().Many)
		if v.page.Result.Realizations != c.Realizations {
			text += fmt.Sprintf("; the answer above, and whether A meets the limit, from %s", words.Grouped(int64(v.page.Result.Realizations)))
		}
	} else {
		text += fmt.Sprintf("; the interval is 95 %%, from %s %s", words.Grouped(int64(v.page.Result.Realizations)), v.lengthWords().Many)
	}
	if missing := report.Missing(v.page.Result, v.lengthWords().Many); missing != "" {
		text += "; " + missing + ": the answer above covers those that were there"
	}
	if v.page.Dependence != nil && len(v.Options) > 1 {
		text += "; only A was tried at the ends of what is not measured"
	}
	if v.roadReading() {
		text += "; carry-over is " + report.RoadReading + ", which tells little of a session on track"
	}
	if len(v.Further) > 0 {
		text += "; further options are in the details"
	}
	return text + "."
}

func (v *view) fillNote() string {
	if v.page.Fan == nil {
		return ""
	}
	text := fmt.Sprintf("Median of %s simulated %s; the dark band holds half of them, the light one 9 of 10. At the right, how many of them stay below a line.", words.Grouped(int64(v.page.Fan.Realizations)), v.lengthWords().Many)
	if v.drains() {
		text += " A drain that backs up shows as fill above the choke level."
	}
	return text
}

func (v *view) pressureNote() string {
	if len(v.page.Pressures) == 0 {
		return ""
	}
	text := "Median, and the band that holds 9 of 10 simulated cars, can empty, in each phase of the lap; below 0 the crankcase is under vacuum. The grey strip is the throttle."
	if len(v.page.Before) > 0 {
		text += " The dashed line is the car as it was."
	}
	return text
}

// numberAndUnit finds the space between a number and what follows it.
var numberAndUnit = regexp.MustCompile(`([0-9]) (\S)`)

// together keeps a number and its unit on one line.
func together(text string) string { return numberAndUnit.ReplaceAllString(text, "$1\u00a0$2") }

// shortened cuts a text so that it is no longer than so many bytes once it is escaped.
func shortened(text string, most int) string {
	if len(template.HTMLEscapeString(text)) <= most {
		return text
	}
	runes := []rune(text)
	for len(runes) > 0 && len(template.HTMLEscapeString(string(runes))) > most-len("…") {
		runes = runes[:len(runes)-1]
	}
	return string(runes) + "…"
}
