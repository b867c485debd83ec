package page

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strings"

	"sumpward/report"
	"sumpward/report/words"
	"sumpward/scenarios"
	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// Card is a card for the pit wall: when to look at the can, what to see, when to
// empty it and when to stop, with the numbers behind each.
type Card struct {
	Program string // name and version of the program
	Units   units.System
	Model   *sim.Model
	Result  *sim.Result     // of the scenario that [CardScenario] gives
	Check   *sim.DrainCheck // of the model

	Shortest float64 // the shortest session asked for, s; 0: the event is all there is
}

//go:embed card.css
var cardStyle string

//go:embed card.html.tmpl
var cardLayout string

var cardTemplate = template.Must(template.New("card").Funcs(template.FuncMap{"joined": joinUnits}).Parse(cardLayout))

// cardView is the card in words, as its template takes it.
type cardView struct {
	Style                  template.CSS
	Title, Layout, Event   string
	NotFit                 *cardAdvice // nil: it is
	Look                   []cardAdvice
	Empty                  cardAdvice
	Levels                 []cardLevel
	Gauge                  template.HTML
	Above                  string // what levels are measured from
	Stop                   []cardAdvice
	InHand                 string
	Head                   []string // of the table to write in
	Blank                  []struct{}
	Cautions               []string
	Basis, Program, Sha256 string
	Warnings               []string
}

// cardAdvice is what to do, and the numbers behind it.
type cardAdvice struct{ Do, Why string }

// blankRows is how many lines the card has to write in.
const blankRows = 5

// WriteCard writes a card as HTML that stands alone. It is an error where model,
// result or drain check is missing, or the result has no session.
func WriteCard(w io.Writer, c Card) error {
	if c.Model == nil || c.Result == nil || c.Check == nil {
		return errors.New("a card needs a model, its result and its drain check")
	}
	if len(c.Result.Sessions) == 0 {
		return errors.New("a card needs a result with at least one session length")
	}
	var b bytes.Buffer
	if err := cardTemplate.Execute(&b, c.view()); err != nil {
		return fmt.Errorf("fill in the card: %w", err)
	}
	_, err := w.Write(b.Bytes())
	return err
}

func (c Card) view() cardView {
	s := c.Result.Scenario
	length, volume := c.lengthUnit(), words.SmallVolumes(c.Units).Unit.Symbol
	v := cardView{
		Style: template.CSS(cardStyle), Title: words.OneLine(s.Title), Layout: words.OneLine(report.Layout(s, c.Units)),
		Event: c.time(c.event()), NotFit: c.notFit(), Look: append([]cardAdvice{c.look()}, c.lookAtTheEngine()...), Empty: c.empty(), Levels: c.levels(), Above: c.above(), Stop: c.stop(), InHand: c.inHand(),
		Head:     []string{"time", "level, " + length, "taken out of the can, " + volume, "put into the engine, " + volume},
		Blank:    make([]struct{}, blankRows),
		Cautions: cardCautions(),
		Basis:    c.basis(), Program: words.OneLine(c.Program), Sha256: s.SHA256, Warnings: c.warnings(),
	}
	v.Gauge = c.gauge(v.Levels)
	return v
}

// cardCautions are those of every report, the last worded for a card that lists no inputs.
func cardCautions() []string {
	list := []string{"The marshals' word and the series rules come before this card."}
	for _, caution := range report.Cautions {
		list = append(list, strings.Replace(caution, "the inputs above", "stated and assumed inputs", 1))
	}
	return list
}

// mostWarnings is how many warnings there is room for.
const mostWarnings = 2

// warnings are those of the simulation; those of the scenario are its file's matter.
func (c Card) warnings() []string {
	var list []string
	ofScenario := report.Warnings(c.Result.Scenario)
	for _, w := range c.Result.Warnings {
		if !slices.Contains(ofScenario, w) {
			list = append(list, w)
		}
	}
	if more := len(list) - mostWarnings; more > 0 {
		list = append(list[:mostWarnings], fmt.Sprintf("and %d more, which run prints", more))
	}
	return list
}

func (c Card) lengthUnit() string { return units.DisplayUnit(units.Length, c.Units).Symbol }

// event is the longest session, s.
func (c Card) event() float64 { return c.Result.Sessions[len(c.Result.Sessions)-1].Length }

func (c Card) time(seconds float64) string { return words.Length(seconds, c.Units) }

func (c Card) limit() float64 { return c.Result.Scenario.Limits.Risk.Nominal() }

func (c Card) drains() bool { return c.Result.Kind != sim.NoDrain }

// basis says what the numbers rest on.
func (c Card) basis() string {
	res := c.Result
	d := words.DrivenBy(res.Scenario, c.Units)
	return c.onRoadReading() + fmt.Sprintf("Limit of risk %s %s. %s simulated %s of up to %s, %s, seed %d. Intervals are those of sampling, 95 %%. %s",
		words.Show(c.limit(), units.Fraction, c.Units), map[bool]string{true: "an event", false: "a session"}[d.Scheduled()], words.Grouped(int64(res.Realizations)), d.Many(), c.time(c.event()), words.Design(res.Sampling), res.Seed, report.RestsOn(res.Scenario))
}

// inHand says how much full throttle there is in hand.
func (c Card) inHand() string {
	res := c.Result
	if !c.drains() {
		t := words.InHand(c.Units, c.Check.ToOver, res.ToOver.P05)
		return fmt.Sprintf("From empty, oil settled: %s of full throttle until oil goes over, at nominal values; in 95 %% of the simulated %s %s.", t[0], c.many(), atLeast(t[1]))
	}
	t := words.InHand(c.Units, c.Check.ToStand, c.Check.ToOver, res.ToStand.P05, res.ToOver.P05)
	return fmt.Sprintf("From empty, oil settled: %s of full throttle on end until oil stands in the can, %s until it goes over, at nominal values; in 95 %% of the simulated %s %s and %s.",
		t[0], t[1], c.many(), atLeast(t[2]), atLeast(t[3]))
}

// many is sessions, or events.
func (c Card) many() string { return words.DrivenBy(c.Result.Scenario, c.Units).Many() }

// onRoadReading says that a card from a road reading is no verdict on track.
func (c Card) onRoadReading() string {
	if !decide.TrackUnread(c.Result.Scenario) {
		return ""
	}
	return "No verdict on track: carry-over is " + report.RoadReading + "; weigh what the can catches in the first session. "
}

func atLeast(text string) string {
	if strings.HasPrefix(text, "more than") {
		return text
	}
	return "at least " + text
}

// to says where oil that goes over ends.
func (c Card) to() string {
	if c.Result.Scenario.Separator.Outlet.To == scenarios.ToAir {
		return "into the open"
	}
	return "to the intake"
}
